"""The blocks of one feature's answer: what to do, with which settings, why, what to mind, and what was set back."""

from __future__ import annotations

from collections.abc import Container, Iterator

from advisor.choosing.job_advice import Advice
from advisor.choosing.left_on_walls import left_on_walls
from advisor.choosing.time_parts import time_parts
from advisor.files.problems import printable
from advisor.knowledge.conditions import Situation
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import ChangeKind, Rule, RuleBase
from advisor.knowledge.wording import DOWN, UP, fact_text, quantity, share_of, with_article
from advisor.methods.registry import METHODS
from advisor.model.answer import FeatureAdvice, RestSettings
from advisor.model.candidate import Candidate
from advisor.model.plan import Plan
from advisor.model.region import Region
from advisor.situation.pairings import ways
from advisor.text.alternatives import choice_text, difference_text
from advisor.text.blocks import Block, Heading, Item, Pairs, Para, section
from advisor.text.changes import MOST_TELLING, breakpoints
from advisor.text.house import behind, behind_text, preferred_text
from advisor.text.missing import unasked
from advisor.text.names import spaced
from advisor.text.reasons import obstacle, reasons, repair_texts, said
from advisor.text.words import (
    PARTS,
    cutter_text,
    entry_text,
    held_back,
    held_text,
    millimetres,
    no_way,
    seconds,
    size,
    way_text,
)

LAST_TOLD = 0.005  # mm: a last level that is less deep by this much is told


def feature_blocks(answer: FeatureAdvice, advice: Advice, told_elsewhere: Container[Rule] = ()) -> Iterator[Block]:
    """The blocks of one feature. Cautions in ``told_elsewhere`` are left out here: they stand at the end of the job."""
    base = advice.bench.base
    yield heading(answer)
    if answer.best is None:
        yield from _no_way(answer, advice)
    else:
        told = (*settings(answer.best, base), *each_line(answer.region, answer.best), *rest_line(answer))
        yield Pairs((*what(answer.best), *told))
        yield from section("Why", why(answer, base))
        yield from section("House rules applied", own_changes(answer, base))
        yield from mind(answer, base, told_elsewhere)
        yield from section("Limited by", (held_text(held, base) for held in held_back(answer.best)))
        yield from section("Alternatives", instead(answer, base))
        yield from section("What would change the advice", breakpoints(answer, MOST_TELLING))
        yield from section("A cutter worth buying", repair_texts(answer))
    yield from section("Not given", (unasked(item, base) for item in answer.not_asked))


PLACES = {
    "corner": ", in a corner between island and walls",
    "end": ", at an end between island and wall",
    "beside": ", beside the island",
}


def heading(answer: FeatureAdvice) -> Heading:
    """The feature's id, kind and sizes, with the grade."""
    return Heading(f"{printable(answer.region.id)}  {size(answer.region)}", 2, answer.grade)


def _no_way(answer: FeatureAdvice, advice: Advice) -> Iterator[Block]:
    base = advice.bench.base
    yield Para(no_way(answer.region))
    if answer.shown is None:
        yield Para(f"The crib has no cutter for {with_article(spaced(answer.region.kind))}.")
    yield from section("Why not", (obstacle(tried, rule, base) for tried, rule in answer.obstacles))
    yield from section("What would make it possible", repair_texts(answer))
    yield from mind(answer, base, ())


def what(best: Candidate) -> Iterator[tuple[str, str]]:
    """Method, cutter and way in, with what was assumed of the cutters."""
    yield "method", ways()[best.method].title
    yield "cutter", cutter_text(best.cutter)
    if not METHODS[best.method].by_drill:
        yield "entry", entry_line(best)
    for cutter in (best.cutter, best.drill):
        if cutter is not None and cutter.assumed:
            whose = f"{printable(cutter.id)}: " if best.drill else ""
            yield "assumed", f"{whose}{'; '.join(one.text for one in cutter.assumed)}"


def entry_line(best: Candidate) -> str:
    """The way in with how it is driven, and where an island leaves it only one place."""
    return f"{entry_text(best.entry, best.drill)}{_going_in(best.facts)}{entry_place(best)}"


def entry_place(best: Candidate) -> str:
    """Where an island leaves the entry only one place, that place behind a comma; empty elsewhere."""
    return PLACES.get(str(best.facts.get("entry_place")), "") if best.entry_kind.at_one_place else ""


def _going_in(facts: Situation) -> str:
    """How the way in is driven: the bore and feed of a helix, the speed and feed of a drill."""

    def told(name: str, unit: str) -> str:
        return quantity(facts[name], unit, typed=DOWN)

    if "helix_bore" in facts:
        centre = f"the cutter's centre at {told('helix_feed', 'mm/min')}"
        return f" in a bore of ⌀{told('helix_bore', 'mm')} at {told('entry_angle', 'deg')}, {centre}"
    if "hole_feed" in facts:
        depth = f"{told('hole_depth', 'mm')} deep at its tip"
        return f", {depth}, at {told('hole_speed', '1/min')} and {told('hole_feed', 'mm/min')}"
    return ""


def engagement_text(plan: Plan) -> str:
    """The engagement on the straight, and that in the corners where it is greater."""
    told = quantity(plan.engagement, "deg")
    straight = quantity(float(plan.facts.get("load_angle", plan.engagement)), "deg")
    turns = METHODS[plan.method].corners_engage_more and straight != told
    return f"{straight}, {told} in the corners" if turns else told


def settings(best: Candidate, base: RuleBase) -> Iterator[tuple[str, str]]:
    """The settings, the load and the time of an answer."""
    plan, facts = best.plan, best.facts
    if plan is None or best.way_in is None:
        return
    yield "axial depth", _depth(plan)
    method = METHODS[best.method]
    if not method.full_width or "cone_feed" in facts:
        share = quantity(plan.radial_width / plan.cutter.DC, "share")
        yield (
            "radial width",
            f"{millimetres(plan.radial_width, DOWN)}, {share} of DC; engagement {engagement_text(plan)}",
        )
    elif not method.by_drill:
        yield (
            "radial width",
            f"{millimetres(plan.radial_width, DOWN)}, the whole cutter; engagement {quantity(plan.engagement, 'deg')}",
        )
    bottom = float(facts.get("bottom_allowance", 0.0))
    walls = "" if facts["feature"] == "planar_face" else f"{_left(left_on_walls(best, plan))} on the side, "
    yield "allowances", f"{walls}{_left(bottom)} at the bottom"
    if float(facts.get("overcut", 0.0)) > 0:
        yield "overcut", f"{fact_text(base, 'overcut', facts)} past the bottom"
    yield "feed", _feed(plan)
    if "opening_length" in facts:
        yield "opening feed", f"{fact_text(base, 'opening_feed', facts)} for the first cut of a level, at full width"
    if "centre_feed" in facts:
        yield "centre feed", f"{fact_text(base, 'centre_feed', facts)} for the cutter's centre in the bore"
    if float(facts.get("cone_height", 0.0)) > 0:
        last = f"for the last {fact_text(base, 'cone_height', facts)}, where the drilled hole gets narrower"
        deep = f"{fact_text(base, 'cone_pitch', facts)} a turn"
        yield "cone feed", f"{fact_text(base, 'cone_feed', facts)}, {deep}, {last}"
    yield "spindle", f"{quantity(plan.spindle_speed, '1/min', typed=DOWN)}, {fact_text(base, 'cutting_speed', facts)}"
    if best.way_in.ramp_angle is not None:
        yield "ramp angle", quantity(best.way_in.ramp_angle, "deg", typed=DOWN)
    yield "load", _load(plan)
    yield "time", _time(best)


def each_line(region: Region, best: Candidate) -> Iterator[tuple[str, str]]:
    """Of several features alike, what one of them takes; each cutter is changed in once for all of them."""
    if region.copies > 1:
        each = (best.time - time_parts(best)["change"]) / region.copies
        told = f"{region.copies} alike, {seconds(each)} each without the moves from one to the next"
        yield "count", f"{told}; one tool change for all of them"


def rest_line(answer: FeatureAdvice) -> Iterator[tuple[str, str]]:
    """Which cutter of the crib takes what stays in the corners, where something does."""
    if answer.rest is not None:
        cutter = answer.rest.cutter
        other, stopping = answer.rest.wrongly_ground, answer.rest.stopping
        if cutter is not None:
            told = f"{cutter_text(cutter)}, for the corners{_rest_numbers(answer.rest.settings)}"
        elif other is not None:
            told = f"none; {other.id} fits the corners but is not ground for group {answer.facts['group']}"
        elif stopping is not None:
            told = f"none turns the corners; {stopping.id} stops in them"
        else:
            told = "the crib has none for the corners"
        yield "rest cutter", told


def _rest_numbers(settings: RestSettings | None) -> str:
    """What is typed for the rest in the corners."""
    if settings is None:
        return ""
    levels = f"{settings.levels} level{'' if settings.levels == 1 else 's'}"
    deep, wide, tooth = (
        millimetres(value, DOWN) for value in (settings.axial_depth, settings.radial_width, settings.feed_per_tooth)
    )
    speed, feed = (
        quantity(settings.spindle_speed, "1/min", typed=DOWN),
        quantity(settings.feed_rate, "mm/min", typed=DOWN),
    )
    return f": {levels} of {deep}, a_e {wide}, {speed}, {feed} ({tooth} per tooth)"


def _feed(plan: Plan) -> str:
    feed, per = plan.feed_per_tooth, "tooth"
    if "feed_per_revolution" in plan.facts:  # a drill's feed is told and typed per revolution
        feed, per = float(plan.facts["feed_per_revolution"]), "revolution"
    return f"{millimetres(feed, DOWN)} per {per}, {quantity(plan.feed_rate, 'mm/min', typed=DOWN)}"


def _left(allowance: float) -> str:
    return millimetres(allowance, UP) if allowance > 0 else "none"


def _depth(plan: Plan) -> str:
    method = METHODS[plan.method]
    if method.by_drill:
        full = millimetres(float(plan.facts["full_depth"]), DOWN)
        return f"{millimetres(plan.axial_depth, DOWN)} to the tip, {full} at full diameter"
    if method.in_turns:
        return f"{millimetres(plan.axial_depth, DOWN)} a turn, {plan.levels} {'turn' if plan.levels == 1 else 'turns'}"
    told = f"{millimetres(plan.axial_depth, DOWN)}, {plan.levels} {'level' if plan.levels == 1 else 'levels'}"
    last = thinner_last(plan)
    return told if last is None else f"{told}, the last {millimetres(last, DOWN)}"


def thinner_last(plan: Plan, least: float = LAST_TOLD) -> float | None:
    """The depth of the last level [mm], where it is less deep than the others by more than ``least``."""
    last = float(plan.facts.get("last_depth", plan.axial_depth))  # a plan may say more levels than there is depth for
    thinner = METHODS[plan.method].in_levels and plan.levels > 1 and plan.axial_depth - last > least
    return last if thinner else None


def _load(plan: Plan) -> str:
    load = plan.load
    power = share_of(load.power, load.power_available, "kW")
    torque = share_of(load.torque, load.torque_available, "Nm")
    bent = "tip and wall" if plan.facts.get("wall_deflection") else "the tip"
    bend = (
        f"; {quantity(load.force, 'N')} side force bends {bent} by {millimetres(load.deflection)}"
        if load.force > 0
        else ""
    )
    thrust = f"; {quantity(plan.facts['thrust'], 'N')} thrust" if "thrust" in plan.facts else ""
    return f"{power}, {torque}{bend}{thrust}"


def _time(best: Candidate) -> str:
    parts = [f"{quantity(value, 's')} {PARTS[name]}" for name, value in time_parts(best).items() if value > 0]
    return f"{seconds(best.time)}: {', '.join(parts)}"


def why(answer: FeatureAdvice, base: RuleBase) -> Iterator[Item]:
    """The reasons of an answer, with this feature's numbers."""
    best = answer.best
    if best is None:
        return
    if answer.chosen is not None:
        yield Item(choice_text(answer.chosen, base))
    for rule in reasons(answer):
        yield said(rule, best.facts, base)


def own_changes(answer: FeatureAdvice, base: RuleBase) -> Iterator[str]:
    """The thresholds moved and the rules switched off by the shop that an answer rests on, and the preference that
    decides, each with the reason.
    """
    if answer.preferred is not None:
        yield preferred_text(answer.preferred)
    for change in behind(answer, base):
        if change.kind is not ChangeKind.PREFERENCE:
            yield f"{behind_text(change, base)}."


def mind(answer: FeatureAdvice, base: RuleBase, told_elsewhere: Container[Rule]) -> tuple[Block, ...]:
    """The cautions of an answer."""
    facts = answer.cautioned
    return section("Cautions", (said(rule, facts, base) for rule in answer.cautions if rule not in told_elsewhere))


def instead(answer: FeatureAdvice, base: RuleBase) -> Iterator[Item]:
    """Each way that was set back, with its grade, what decided, and what was held back in one that takes longer."""
    for other in answer.alternatives:
        own = mark(other.reasons[0], base) if other.reasons else ""
        held = f" Limited by: {held_text(other.held, base)}." if other.held else ""
        told = difference_text(other.difference, base)
        yield Item(f"{way_text(other.candidate)} ({other.candidate.grade}): {told}{held}{own}")
