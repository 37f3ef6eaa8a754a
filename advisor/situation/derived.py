"""Measures worked out by the formulas of their register, where the facts that these read are there."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache

from advisor.knowledge.conditions import Facts, Situation
from advisor.knowledge.formulas import Function, circumstances, function, names, parsed
from advisor.knowledge.shipped import rule_base


def work_out(wanted: tuple[str, ...], facts: Situation, limits: Mapping[str, float]) -> None:
    """Put measures into the facts, one after the other, each by its formula under the circumstances of the facts.

    One is left out where the facts lack what its formula reads, or it would be divided by 0.
    """
    for name, of in _functions(wanted, _read(wanted).difference(facts)):
        try:
            facts[name] = of(facts, limits)
        except (KeyError, ZeroDivisionError):
            continue


def worked_out(wanted: tuple[str, ...], *facts: Facts, limits: Mapping[str, float]) -> Situation:
    """The measures that ``work_out`` would put into the facts together, alone; of two of one name the later counts."""
    known: Situation = {}
    for some in facts:
        known.update(some)
    work_out(wanted, known, limits)
    return {name: known[name] for name in wanted if name in known}


@cache
def _read(wanted: tuple[str, ...]) -> frozenset[str]:
    """What the formulas of measures read of the facts, beyond the measures themselves."""
    return frozenset(part for name in wanted for part in _plainly_read(name)).difference(wanted)


@lru_cache(maxsize=1024)
def _functions(wanted: tuple[str, ...], absent: frozenset[str]) -> tuple[tuple[str, Function], ...]:
    """The arithmetic of those measures that need no absent fact; kept, since raising an error for each takes longer."""
    found, without = [], set(absent)
    for name in wanted:
        if without.isdisjoint(_plainly_read(name)):
            found.append((name, _function(name)))
        else:
            without.add(name)
    return tuple(found)


def _plainly_read(name: str) -> tuple[str, ...]:
    """The measures that a formula reads under all circumstances; none where it depends on them."""
    base = rule_base()
    formulas = dict(base.measures[name].formulas)
    return tuple(part for part in names(formulas.get("", "")) if part in base.measures) if len(formulas) == 1 else ()


@cache
def _function(name: str) -> Function:
    """The arithmetic of a measure.

    Raises:
        KeyError: the measure has no formula, or its formula reads what is neither a measure nor a threshold.
    """
    base = rule_base()
    units = {item.name: item.unit for item in base.measures.values()}
    units |= {item.name: item.unit for item in base.thresholds.values()}
    lengths = {known for known, unit in units.items() if unit == "mm"}
    formulas = base.measures[name].formulas
    if strange := [part for _, text in formulas for part in names(text) if part not in units] or not formulas:
        raise KeyError(f"{name}: no formula, or one of unknown names {strange}")
    by_key = {key: function(parsed(text), base.measures, lengths) for key, text in formulas}
    if set(by_key) == {""}:
        return by_key[""]

    def chosen(facts: Facts, limits: Mapping[str, float]) -> float:
        key = next((one for one in circumstances(facts) if one in by_key), "")
        return by_key[key](facts, limits)  # type: ignore[no-any-return]

    return chosen
