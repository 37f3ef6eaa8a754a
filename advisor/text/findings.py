"""What a review says, in words: findings, what is well chosen, what was taken, what could not be judged."""

from __future__ import annotations

from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import DOWN, UP, apart, counted, fill, in_words, quantity
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice
from advisor.model.finding import (
    FULL_WIDTH,
    IN_WIDER,
    NARROW,
    NO_DRILL_DEPTH,
    NO_ENTRY,
    NO_NUMBERS,
    ONE_LEVEL,
    OTHER_ENTRY,
    Finding,
    NotJudged,
    NotSaid,
    WellChosen,
)
from advisor.situation.pairings import ways
from advisor.text.missing import missing_text

# Settings that are told by other words than their names.
SETTINGS = {"allowance_side": "side allowance", "allowance_bottom": "bottom allowance", "entry": "entry"}
NOT_JUDGED = {
    NO_DRILL_DEPTH: "the plan does not give the depth of the drill",
    NO_NUMBERS: "no values could be calculated for this cutter here",
    IN_WIDER: "its time is counted with that of the wide cutter, as rest in the corners",
    NO_ENTRY: "no time, because this entry is not possible",
    OTHER_ENTRY: "no time, because the method has no such entry",
}


def finding_text(finding: Finding) -> str:
    """What a finding says and what to do, with the other operations of which it says the same."""
    if not finding.also:
        return finding.text
    *more, last = map(str, finding.also)
    others = f"{', '.join(more)} and {last}" if more else last
    return f"{finding.text} The same in operation{'s' if more else ''} {others}."


def advised_text(answer: FeatureAdvice | None) -> str:
    """The advised way in one line, with its settings and its time; empty where there is no advice to tell."""
    if answer is None:
        return ""
    best = answer.best
    if best is None or best.plan is None:
        return "not possible with this crib; `roughing why` shows what would make it possible"
    plan, entry = best.plan, "" if METHODS[best.method].by_drill else f", {in_words(best.entry or '')}"
    levels = counted(str(plan.levels), "turn" if METHODS[best.method].in_turns else "level")
    drill = f" ({best.drill.id})" if best.drill else ""
    turn = plan.facts.get("feed_per_revolution")  # a drill's feed is told and typed per revolution
    feed, per = (plan.feed_per_tooth, "tooth") if turn is None else (float(turn), "revolution")
    deep, wide, fed = (quantity(value, "mm", typed=DOWN) for value in (plan.axial_depth, plan.radial_width, feed))
    cut = f"{levels} of {deep}, {wide} wide" if turn is None else f"{deep} deep at the tip"
    run = f"{fed} per {per} at {quantity(plan.spindle_speed, '1/min', typed=DOWN)}"
    title = ways()[best.method].title
    return f"{title}, {best.cutter.id}{entry}{drill}: {cut}, {run}; {quantity(best.time, 's')}"


def well_chosen_text(found: WellChosen, base: RuleBase) -> str:
    """What a plan has right, and why."""
    if found.rule is not None:
        return fill(base, found.rule, found.rule.because, found.facts or {})
    if found.quicker:
        took, there = apart(found.planned, found.advised, "s")
        times = f"The plan takes {took} here, the advised way {there}"
        return f"{times}. The plan is quicker."
    alike = "Method, cutter and entry are as advised"
    took = quantity(found.planned, "s") if found.planned < float("inf") else "a time not known"
    advised = quantity(found.advised, "s")
    return f"{alike}, {took}." if took == advised else f"{alike}: {took} in the plan, {advised} as advised."


def not_said_text(said: NotSaid) -> str:
    """What is not said, with what was taken for it."""
    return f"{_setting(said)}: {_taken_text(said)} assumed{_why_taken(said)}"


def taken_text(said: NotSaid) -> str:
    """The same in short, where it is told already that all of it was assumed: without the reason."""
    return f"{_setting(said)} {_taken_text(said).removesuffix(',')}"


def _setting(said: NotSaid) -> str:
    return SETTINGS.get(said.setting, in_words(said.setting))


def _why_taken(said: NotSaid) -> str:
    """Where the plan leaves nothing else to assume, why."""
    return {
        NARROW: f", because {quantity(said.operand, 'mm')} is hardly wider than the cutter",
        FULL_WIDTH: ", because the whole cutter cuts",
        ONE_LEVEL: f", because one level of {quantity(said.operand, 'mm')} leaves it",
    }.get(said.cause, "")


def _taken_text(said: NotSaid) -> str:
    if said.setting == "method":
        return ways()[str(said.taken)].title
    typed = UP if "allowance" in said.setting else DOWN
    taken = quantity(said.taken, said.unit, typed=typed)
    if said.setting == "drilled_to":
        return f"{taken} at the tip, {quantity(said.operand, said.unit, typed=typed)} at full diameter,"
    return taken


def not_judged_text(item: NotJudged, base: RuleBase) -> str:
    """What could not be judged, and why."""
    if item.missing is not None:
        return f"{item.feature}: {missing_text(item.missing, base)}"
    return f"operation {item.operation}, {item.feature}: {NOT_JUDGED[item.cause]}"
