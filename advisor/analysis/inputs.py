"""Which inputs a fact rests on, and a feature or a cutter with one of them changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from advisor.knowledge.conditions import Facts, leaves
from advisor.knowledge.formulas import circumstances, names
from advisor.knowledge.schema import RuleBase
from advisor.model.cutter import Cutter
from advisor.model.feature_inputs import inputs_behind
from advisor.model.features import FeatureBase
from advisor.model.owner import Owner

CUTTER_INPUTS = ("DC", "APMX", "LU", "LPR", "DCONMS", "RMPX", "holder_diameter", "ZEFP")


class Input(NamedTuple):
    """One number of the input: whose it is (feature, cutter or drill) and its name there."""

    whose: Owner
    name: str


WITHOUT_A_FORMULA = {"point_room": (Input(Owner.FEATURE, "clearance_below"), Input(Owner.CUTTER, "DC"))}
ANY_OF_THEM = (*(Input(Owner.FEATURE, name) for name in ("width", "depth", "length")), Input(Owner.CUTTER, "DC"))
OF_THE_DRILL = {
    "hole_reach_margin": (Input(Owner.DRILL, "LU"), Input(Owner.FEATURE, "depth")),
    "hole_room_margin": (Input(Owner.DRILL, "DC"),),
}


def inputs_of(fact: str, facts: Facts, base: RuleBase) -> tuple[Input, ...]:
    """The inputs a fact rests on, by the formulas of the register and by the rules that conclude facts.

    Of a measure that the register has no formula for, those that could move it are given.
    """
    return tuple(dict.fromkeys(_inputs_of(fact, facts, base, set())))


def _inputs_of(fact: str, facts: Facts, base: RuleBase, seen: set[str]) -> Iterator[Input]:
    if fact in seen or fact not in base.measures:
        return
    seen.add(fact)
    measure = base.measures[fact]
    if behind := inputs_behind(fact, facts):
        yield from (Input(Owner.FEATURE, name) for name in behind)
    elif fact in CUTTER_INPUTS:
        yield Input(Owner.CUTTER, fact)
    elif fact in OF_THE_DRILL:
        yield from OF_THE_DRILL[fact]
    elif fact in WITHOUT_A_FORMULA:
        yield from WITHOUT_A_FORMULA[fact]
    elif measure.concluded:
        for rule in base.rules:
            if rule.concludes and rule.concludes[0] == fact:
                for leaf in leaves(rule.condition):
                    yield from _inputs_of(leaf.fact, facts, base, seen)
    elif formula := measure.formula(*circumstances(facts)):
        for part in names(formula):
            yield from _inputs_of(part, facts, base, seen)
    elif measure.level in ("cutter", "candidate") and measure.numeric:
        yield from ANY_OF_THEM


def value_of(item: Input, feature: FeatureBase, cutter: Cutter) -> float | None:
    """The present value of an input; None where nobody gave it."""
    owner: object = feature if item.whose is Owner.FEATURE else cutter
    value = getattr(owner, _field(item.name, feature) if item.whose is Owner.FEATURE else item.name, None)
    return None if value is None else float(value)


def changed_feature(feature: FeatureBase, name: str, value: float) -> FeatureBase | None:
    """The feature with another value; None where no feature can be so."""
    return changed_lengths(feature, {name: value})


def changed_lengths(feature: FeatureBase, values: Mapping[str, float]) -> FeatureBase | None:
    """The feature with other values of several inputs; None where no feature can be so."""
    others = {_field(name, feature): value for name, value in values.items()}
    try:
        return feature.model_validate(feature.model_dump(exclude_none=True) | others)
    except ValueError:
        return None


def _field(name: str, feature: FeatureBase) -> str:
    return "diameter" if name in ("width", "length") and hasattr(feature, "diameter") else name


def field_of(item: Input, feature: FeatureBase) -> str:
    """The name that an input goes by in its file."""
    return _field(item.name, feature) if item.whose is Owner.FEATURE else item.name


def changed_cutter(cutter: Cutter, name: str, value: float) -> Cutter | None:
    """The cutter with another value; what hangs on it follows. None where no cutter can be so.

    With DC all diameters scale; a longer edge or neck makes the cutter stand out as much farther.
    """
    given = cutter.model_dump() | {name: int(value) if name == "ZEFP" else value}
    if name == "DC":
        for other in ("DN", "DCONMS", "RE", "dead_centre"):
            if given[other]:
                given[other] *= value / cutter.DC
    _longer(given, cutter)
    given["holder_diameter"] = max(given["holder_diameter"], given["DCONMS"])
    try:
        return Cutter.model_validate(given)
    except ValueError:
        return None


def _longer(given: dict[str, float], cutter: Cutter) -> None:
    given["LU"] = max(given["LU"], given["APMX"])
    beyond = given["LU"] - cutter.LU
    if beyond > 0:
        given["LPR"] = max(given["LPR"], cutter.LPR + beyond)
