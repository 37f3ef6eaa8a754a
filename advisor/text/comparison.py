"""The advised way and another one, row by row, with what decides between them and what would lift what forbids it."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.analysis.blockers import Change, Lift
from advisor.analysis.comparison import Beside
from advisor.analysis.rival import Wanted, deciding_facts
from advisor.choosing.entry_feed import typed_feed
from advisor.choosing.ranking import standing
from advisor.choosing.time_parts import time_parts
from advisor.files.problems import listed, printable
from advisor.files.unit_scales import parts_in_units_of
from advisor.knowledge.conditions import OPPOSITE, Compare, Known
from advisor.knowledge.evidence import Ground, ground
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import (
    DOWN,
    IN_WORDS,
    UP,
    capitalised,
    known_text,
    quantity,
    share_of,
    stepped,
    with_article,
)
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.owner import Owner
from advisor.situation.pairings import ways
from advisor.text.advice import under_what
from advisor.text.blocks import Block, Heading, Item, Para, Table, section
from advisor.text.differences import deciding_text, facts_text
from advisor.text.feature import heading
from advisor.text.names import spaced
from advisor.text.why import since
from advisor.text.words import PARTS, millimetres, seconds, way_text

TOLD = ("for", "against", "forbids")
OPENING = {"for": "Advantage:", "against": "Drawback:", "forbids": "Forbidden:"}
NOTHING = "–"


@parts_in_units_of(lambda found: found.advice.assignment.job.units)
def beside_blocks(found: Beside) -> Iterator[Block]:
    """The blocks of the comparison."""
    answer, rival = found.answer, found.rival
    yield Heading(f"{printable(found.advice.assignment.job.part)}: why not {asked_text(found.wanted)}", 1)
    yield Para(under_what(found.advice))
    yield heading(answer)
    if rival is None:
        yield Para(no_such_way(found))
        return
    if found.same:
        yield Para(same_text(found))
        return
    if (by := found.difference) is not None:
        own = mark(by.rule, found.base) if by.rule else ""
        yield Para(f"{deciding_text(by, found.base)}{own}")
    if answer.best is None:
        yield Table(("", "compared"), tuple((label, other) for label, _, other in rows(None, rival)))
    else:
        yield Table(("", "advised", "compared"), tuple(rows(answer.best, rival)))
        yield from section(f"Rules about {way_text(answer.best)}", _rules(answer.best, found.base))
    yield from section(f"Rules about {way_text(rival)}", _rules(rival, found.base))
    if found.lift is not None:
        yield from section("What would lift the rule", lift_items(found.lift, rival, found.base))


def asked_text(wanted: Wanted) -> str:
    """What was asked for, in words."""
    parts = [ways()[wanted.method].title if wanted.method else "", printable(wanted.cutter or "")]
    parts.append(spaced(wanted.entry) if wanted.entry else "")
    return ", ".join(part for part in parts if part)


def no_such_way(found: Beside) -> str:
    """Why there is nothing to compare with: not meant for the feature, or nothing in the crib for it."""
    kind, wanted = found.answer.region.kind, found.wanted
    way = ways().get(wanted.method or "")
    if way is not None and kind not in way.features:
        kinds = ", ".join(spaced(name) for name in sorted(way.features))
        meant = ", ".join(name for name, other in ways().items() if kind in other.features)
        asked = with_article(spaced(kind))
        return f"{way.title.capitalize()} is meant for: {kinds}. Methods for {asked}: {meant}."
    if way is not None and wanted.cutter is None and wanted.entry is None:
        bodies = " or ".join(spaced(name) for name in sorted(way.bodies))
        return f"The crib has no cutter for {way.title}. It needs {with_article(bodies)}."
    if (other := _other_body(found)) is not None:
        return other
    ids = dict.fromkeys(item.cutter.id for item in found.answer.candidates if wanted.method in (None, item.method))
    entries = dict.fromkeys(item.entry for item in found.answer.candidates if item.entry)
    return (
        f"None of the {len(found.answer.candidates)} ways calculated for this {spaced(kind)} matches. "
        f"Possible cutters: {listed(map(printable, ids)) if ids else 'none of this crib'}; "
        f"possible entries: {', '.join(entries)}."
    )


def _other_body(found: Beside) -> str | None:
    """That the body of the cutter asked for is not meant for the feature, and how the crib names one for walls."""
    kind, wanted = found.answer.region.kind, found.wanted
    cutter = next((one for one in found.advice.assignment.crib if one.id == wanted.cutter), None)
    asked = [way for name, way in ways().items() if wanted.method in (None, name) and kind in way.features]
    if cutter is None or any(cutter.body in way.bodies for way in asked):
        return None
    bodies = " or ".join(spaced(name) for name in sorted({body for way in asked for body in way.bodies}))
    told = (
        f"{printable(cutter.id)} is {with_article(spaced(cutter.body))}, and "
        f"{asked[0].title if wanted.method else f'each method for this {spaced(kind)}'} takes {with_article(bodies)}."
    )
    square = " A shell mill with square edges that cuts walls is written as inserted_end_mill in the crib."
    return told + (square if cutter.kind.end_face else "")


def same_text(found: Beside) -> str:
    """That what was asked for is advised already, and what else could be asked."""
    best = found.answer.best
    if best is None:
        raise AssertionError("nothing is advised, so nothing can be the same")
    kind = found.answer.region.kind
    others = ", ".join(name for name, way in ways().items() if kind in way.features and name != best.method)
    return (
        f"That is the advised way: {way_text(best)}, {best.grade}, {seconds(best.time)}. "
        f"Name another method ({others}), or another --cutter or --entry, to compare."
    )


def rows(best: Candidate | None, rival: Candidate) -> Iterator[tuple[str, str, str]]:
    """Label, advised way, other way; what neither has is left out."""
    mine = dict(_column(best)) if best else {}
    other = dict(_column(rival))
    order = dict.fromkeys([*other, *mine]) if len(other) > len(mine) else dict.fromkeys([*mine, *other])
    for label in order:
        yield label, mine.get(label, NOTHING), other.get(label, NOTHING)


def _column(item: Candidate) -> Iterator[tuple[str, str]]:
    yield "method", ways()[item.method].title
    yield "cutter", f"{printable(item.cutter.id)}, DC {millimetres(item.cutter.DC)}"
    drill = f", drill {printable(item.drill.id)}" if item.drill else ""
    yield "entry", f"{spaced(item.entry)}{drill}" if item.entry else "any"
    yield "grade", item.grade
    if (plan := item.plan) is not None:
        turns = METHODS[item.method].in_turns
        yield "levels", f"{plan.levels} turn{'' if plan.levels == 1 else 's'}" if turns else str(plan.levels)
        yield "axial depth", millimetres(plan.axial_depth, DOWN)
        yield "radial width", millimetres(plan.radial_width, DOWN)
        yield "feed", quantity(typed_feed(item, plan), "mm/min", typed=DOWN)
        yield "spindle", quantity(plan.spindle_speed, "1/min")
        load = plan.load
        yield "power", share_of(load.power, load.power_available, "kW")
        yield "torque", share_of(load.torque, load.torque_available, "Nm")
        yield "force", quantity(load.force, "N")
        yield "deflection", millimetres(load.deflection)
    if item.time < float("inf"):
        yield "time", seconds(item.time)
        for name, value in time_parts(item).items():
            yield f"time, {PARTS[name]}", quantity(value, "s")
    else:
        yield "time", "none: forbidden"


def grounds(item: Candidate, base: RuleBase) -> list[Ground]:
    """The evidence of the rules that speak for or against a way or forbid it; those that forbid first."""
    fired = [rule for rule in standing(item.fired) if rule.verdict in TOLD]
    fired.sort(key=lambda rule: -TOLD.index(rule.verdict))
    return [ground(rule, item.facts, base) for rule in fired]


def _rules(item: Candidate, base: RuleBase) -> Iterator[Item]:
    found = grounds(item, base)
    if not found:
        yield Item("No rule recommends it or counts against it. Only its time decides.")
    for one in found:
        yield Item(f"{one.text}{one.own}", one.rule.id, OPENING[one.rule.verdict], (since(one),))


def wanted_value(leaf: Compare | Known, base: RuleBase) -> str:
    """What a fact would have to be for the comparison to fail: ``width ratio at least 1.15``."""
    if isinstance(leaf, Known):
        return known_text(Known(leaf.fact, not leaf.present), verb="")
    name = spaced(leaf.fact)
    if isinstance(leaf.value, str):
        return f"{name} {'other than ' if leaf.operator == '=' else ''}{spaced(leaf.value)}"
    named = f" ({leaf.threshold})" if leaf.threshold else ""
    return f"{name} {IN_WORDS[OPPOSITE[leaf.operator]]} {quantity(leaf.value, base.measures[leaf.fact].unit)}{named}"


def lift_items(lift: Lift, rival: Candidate, base: RuleBase) -> Iterator[Item]:
    """What the fact would have to be, then each change of the input that makes it so, as it was re-run."""
    facts = deciding_facts(lift.rule, rival.facts)
    wanted = " or ".join(wanted_value(leaf, base) for leaf in facts)
    yield Item(f"It fires at {facts_text(lift.rule, rival.facts, base)}. It would not fire at {wanted}.", lift.rule.id)
    if not lift.opened:
        others = dict.fromkeys(rule.id for change in lift.changes for rule in change.still) or dict.fromkeys(
            rule.id for rule in lift.others
        )
        also = f" Without it, {', '.join(others)} would still forbid the way." if others else ""
        yield Item(f"{_none_opens(len(lift.changes))}{also}")
    for change in lift.changes:
        yield Item(change_text(change, lift, base))


def _none_opens(changes: int) -> str:
    if changes == 0:
        return "No single change lifts this rule."
    if changes == 1:
        return "A single change lifts this rule, but others still forbid the way."
    return f"Each of {changes} changes lifts this rule, but others still forbid the way."


def change_text(change: Change, lift: Lift, base: RuleBase) -> str:
    """One change of the input and what then comes of the way."""
    owner = {Owner.FEATURE: "", Owner.CUTTER: "a cutter with ", Owner.DRILL: "a drill with "}[change.whose]
    before, after = (told_value(value, change, base) for value in (change.before, change.after))
    now = "" if change.before is None else f" instead of {before}"
    if change.before is None and change.field == "clearance_below":
        now = " instead of none"
    text = capitalised(f"{owner}{spaced(change.field)} {after}{now}")
    if change.still:
        first = change.still[0]
        facts = facts_text(first, change.then.facts, base)
        still = f"{lift.rule.id} no longer fires, but {first.id} still forbids the way: {facts}"
        return f"{text}: {still}."
    then = f"the way is {change.then.grade}, {seconds(change.then.time)}"
    *most, last = [rule.id for rule in (lift.rule, *change.also)]
    silent = f"{', '.join(most)} and {last} no longer fire" if most else f"{last} no longer fires"
    return f"{text}: {silent}, and {then}."


def told_value(value: float | str | None, change: Change, base: RuleBase) -> str:
    """A value of the input before or after a change of it."""
    if value is None or isinstance(value, str):
        return spaced(value or "none")
    before, after = change.before, change.after
    rises = isinstance(before, str) or isinstance(after, str) or before is None or after > before
    measure = base.measures.get(change.field)
    return stepped(value, measure.unit if measure else "mm", UP if rises else DOWN, 6)
