"""The table of the coach, ``shared/coach.yaml``: ranges of invented features, tolerances, measures of difficulty.

Closed to unknown keys; every number has bounds, and every rule, threshold and word that is named must be there. What
each entry means stands beside it in the file.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from advisor.files.checking import checked, raise_if_any
from advisor.files.problems import Problem, misfit, nearest_word, shown
from advisor.files.yaml_reader import Document, read_yaml
from advisor.knowledge.conditions import is_number
from advisor.knowledge.shipped import rule_base
from advisor.model.candidate import GRADES
from advisor.model.cause import HeldBy
from advisor.model.cutter import Body, Cutter
from advisor.model.features import FEATURE_KINDS, Purpose
from advisor.model.fields import Coolant, Frozen
from advisor.model.material import Group
from advisor.model.operations import OperationRow
from advisor.paths import shared_dir


def _named(wanted: str, known: Callable[[], Collection[str]]) -> AfterValidator:
    """The check of a name that must be among those known."""

    def check(name: str) -> str:
        names = known()
        if name not in names:
            raise misfit(wanted, found=shown(name), nearest=nearest_word(name, names))
        return name

    return AfterValidator(check)


def _sizes() -> set[str]:
    return {name for kind in FEATURE_KINDS.values() for name in kind.model_fields}


def _near(value: Any) -> float | str:
    """A number above 0, or the name of a threshold."""
    limits = rule_base().limits
    if (isinstance(value, str) and value in limits) or (is_number(value) and value > 0):
        return value
    near = nearest_word(value, limits) if isinstance(value, str) else None
    raise misfit("a number above 0 or the name of a threshold", found=shown(value), nearest=near)


def _word(value: Any) -> bool | int | str:
    """A word of a feature, or true, false or a number of sides."""
    if isinstance(value, bool | int | str):
        return value
    raise misfit("a word, a whole number, true or false", found=shown(value))


def _ordered(value: tuple[float, float]) -> tuple[float, float]:
    if value[0] > value[1]:
        raise misfit("the least first, then the most", found=f"{value[0]:g}, {value[1]:g}")
    return value


Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Positive = Annotated[Number, Field(gt=0)]
Times = Annotated[Number, Field(ge=1)]  # so many times something
Share = Annotated[Number, Field(ge=0, le=1)]
Count = Annotated[int, Field(strict=True, ge=1)]
Range = Annotated[tuple[Positive, Positive], AfterValidator(_ordered)]
Teeth = Annotated[tuple[Count, Count], AfterValidator(_ordered)]
ByDifficulty = Annotated[tuple[Positive, ...], Field(min_length=5, max_length=5)]  # the easiest first
RuleId = Annotated[str, _named("the id of a rule", lambda: rule_base().by_id)]
Rules = tuple[RuleId, ...]
Fact = Annotated[str, _named("a fact registered in measures.yaml", lambda: rule_base().measures)]
Method = Annotated[str, _named("a method", lambda: rule_base().measures["method"].words)]
Entry = Annotated[str, _named("a way in", lambda: rule_base().measures["entry"].words)]
Setting = Annotated[str, _named("a setting of a plan", lambda: OperationRow.model_fields)]
SizeName = Annotated[str, _named("a size of a feature", _sizes)]
Near = Annotated[Any, BeforeValidator(_near)]
Word = Annotated[Any, BeforeValidator(_word)]
Grade = Annotated[str, _named("a grade of a way", lambda: GRADES)]
HolePurpose = Annotated[str, _named("what a hole is for", lambda: get_args(Purpose))]
Feature = Annotated[str, _named("a kind of feature", lambda: FEATURE_KINDS)]


def _each(words: tuple[str, ...]) -> AfterValidator:
    """The check that there is a value for each of some words."""

    def check(found: Mapping[str, Any]) -> Mapping[str, Any]:
        if left := [word for word in words if word not in found]:
            raise misfit(f"a value for each of {', '.join(words)}", found=f"none for {', '.join(left)}")
        return found

    return AfterValidator(check)


class TradeNumber(Frozen):
    """A number of the trade with its unit, meaning and source."""

    value: Positive
    unit: Annotated[str, Field(min_length=1)]
    source: Annotated[Mapping[str, Any], Field(min_length=1)]
    what: Annotated[str, Field(min_length=1)]


class Trade(Frozen):
    """The numbers of the trade that decide what is worth a question."""

    tempting_time: TradeNumber
    slower_seen: TradeNumber
    single_level_depth_ratio: TradeNumber
    face_in_levels_depth: TradeNumber
    passes_many: TradeNumber
    width_told_apart: TradeNumber
    width_half: TradeNumber
    change_seen: TradeNumber
    stock_told_apart: TradeNumber
    slip_past_the_bottom: TradeNumber


class WouldRun(Frozen):
    """What a shop would run."""

    time_most: Positive
    time_plain: Positive
    time_per_cm3: Annotated[Mapping[Group, Positive], _each(get_args(Group))]
    depth_most: Mapping[Group, Positive]
    volume_most: Mapping[Group, Positive]
    wet: tuple[Group, ...]
    wet_coolants: Annotated[tuple[Coolant, ...], Field(min_length=1)]
    full_width_teeth_most: Count
    not_so: Mapping[Feature, tuple[Entry, ...]]
    best: tuple[Grade, ...]
    rate_kept_least: Share
    reach_margin_least: Positive
    entry_share_most: Share
    levels_most: Count
    turns_most: Count
    face_power_least: Mapping[Group, Positive]
    face_passes_most: Count
    never: Rules


class MeantFor(Frozen):
    """What cutters are meant for where the crib does not say it."""

    teeth: Annotated[Mapping[Group, Teeth], _each(get_args(Group))]
    hss: tuple[Group, ...]


class Several(Frozen):
    """How many of something."""

    least: Count
    most: Count

    @model_validator(mode="after")
    def _order(self) -> Several:
        if self.least > self.most:
            raise misfit(f"at least {self.least}", found=str(self.most), field="most")
        return self


class Fire(Frozen):
    """The classes of material whose chips burn, the topic that they are left to, and how often they come up there."""

    topic: Annotated[str, Field(min_length=1)]
    classes: tuple[str, ...]
    chance: Share


class Drills(Frozen):
    """The drills that somebody would reach for."""

    hole: Range
    near: Share
    way_in: Range
    features: tuple[Feature, ...]


class Weights(Frozen):
    """How the shares of difficulty are weighed."""

    near: Positive
    rules: Positive
    close: Positive


class Size(Frozen):
    """How a size of an invented feature is drawn: by words, a range of its own, or beside something."""

    chance: Share = 1.0
    words: Annotated[tuple[Word, ...], Field(min_length=1)] | None = None
    mm: Range | None = None
    of: str | None = None
    near: Annotated[tuple[Near, ...], Field(min_length=1)] | None = None
    between: Range | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Size:
        given = [name for name in ("words", "mm", "near", "between") if getattr(self, name) is not None]
        if len(given) != 1 or (given[0] in ("near", "between")) != (self.of is not None):
            raise misfit(
                "one of words, mm, near with of, or between with of", found=", ".join(given) or "none of these"
            )
        return self


class Recipe(Frozen):
    """How a feature is invented."""

    topics: Annotated[tuple[str, ...], Field(min_length=1)]
    kind: Feature
    bodies: Annotated[tuple[Body, ...], Field(min_length=1)]
    sizes: Mapping[str, Size]

    @model_validator(mode="after")
    def _sizes_there_are(self) -> Recipe:
        fields, earlier = FEATURE_KINDS[self.kind].model_fields, set[str]()
        for name, size in self.sizes.items():
            if name not in fields:
                wanted = f"a size of a {self.kind.replace('_', ' ')}"
                raise misfit(wanted, found=shown(name), field="sizes", nearest=nearest_word(name, fields))
            known = {*earlier, *rule_base().limits, *Cutter.model_fields}
            if size.of is not None and size.of not in known:
                wanted = "a symbol of the cutter, an earlier size or a threshold"
                raise misfit(wanted, found=shown(size.of), field="sizes", nearest=nearest_word(size.of, known))
            earlier.add(name)
        return self


class CoachTable(Frozen):
    """The whole table."""

    line_tolerance: Share
    line_tolerance_gap: Share
    line_half: Times
    left_most: Times
    left_half: Times
    depth_half: Times
    set_time_ratio: Times
    half_right: Rules
    everyday: Rules
    everyday_share: Share
    width_hidden: tuple[HeldBy, ...]
    time_alone: Rules
    time_alone_share: Share
    held_to: Mapping[Method, Rules]
    trade: Trade
    would_run: WouldRun
    purpose: MeantFor
    fire: Fire
    crib: Several
    crib_order: Range
    drills: Drills
    clear_time: Annotated[Mapping[Grade, Times], Field(min_length=1)]
    plainly: Share
    plainly_by: Mapping[Fact, Positive]
    by_edge_alone: Rules
    gains_nothing: Rules
    gains_nothing_time: Times
    leaves_stock: Rules
    reach_near: Share
    not_offered: Rules
    not_alone: Rules
    told_after_a_turn: Rules
    pencil: Share
    choices: Several
    nearly: Share
    untrue_least: Count
    not_planned: Rules
    trap_choices: Count
    trap_never: Rules
    trap_spoils: Mapping[str, tuple[Setting, ...]]
    longer_than_needed: Rules
    no_drill: RuleId
    turns_on: Mapping[str, tuple[SizeName, ...]]
    no_way_share: Share
    one_cut: tuple[frozenset[Method], ...]
    trap_beside: Mapping[RuleId, Rules]
    trap_first: Rules
    trap_by: Mapping[RuleId, tuple[Setting, ...]]
    told_least: Share
    of_the_substrate: Rules
    no_line: Rules
    not_a_distractor: Rules
    not_of_a_drill: Rules
    told_by_radius: Rules
    plain_measures: Mapping[Fact, Annotated[str, Field(min_length=1)]]
    same_fault: tuple[Rules, ...]
    spread: ByDifficulty
    spread_used: Range
    spoil: ByDifficulty
    spoil_most: Times
    weights: Weights
    line_far: Share
    rules_many: Count
    close_many: Count
    close_time: Times
    tries: Count
    near_enough: Positive
    far: Positive
    rounds: Count
    steps: Annotated[tuple[tuple[Positive, Positive], ...], Field(min_length=1)]
    hole_purposes: Annotated[Mapping[HolePurpose, str], _each(get_args(Purpose))]
    parts: Annotated[tuple[str, ...], Field(min_length=1)]
    recipes: Annotated[tuple[Recipe, ...], Field(min_length=1)]


@cache
def table() -> CoachTable:
    """The table, read once in a process. Raises BadInput if something of it is not as it must be."""
    return table_of(read_yaml(shared_dir() / "coach.yaml"))


def table_of(document: Document) -> CoachTable:
    """The table of a document. Raises BadInput with every fault, each with its line."""
    problems: list[Problem] = []
    found = checked(CoachTable, document, (), document.value, problems)
    raise_if_any(problems)
    assert found is not None
    return found


def by_difficulty(values: tuple[float, ...], difficulty: int) -> float:
    """The number of a list that belongs to a difficulty, 1 to 5."""
    return values[difficulty - 1]
