"""Why a way was preferred to another, and why it stands first where no rule speaks for it, in a sentence or two."""

from __future__ import annotations

from advisor.choosing.ranking import Limits, Overtaking
from advisor.choosing.rigidity import DECIDE, leaves_fillet, leaves_rest
from advisor.choosing.time_parts import grown_most, time_parts
from advisor.knowledge.conditions import Compare, Facts
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import (
    apart,
    counted,
    fill,
    known_text,
    looks_equal,
    lower_first,
    number,
    quantity,
    wanted_text,
)
from advisor.model.answer import Choice, Decided, Difference, Order, UnmetRule
from advisor.model.candidate import Candidate
from advisor.situation.pairings import ways
from advisor.text.house import prefers_text
from advisor.text.words import PARTS

NEGLIGIBLE = 0.05  # s: a difference that nobody would plan by


def difference_text(found: Difference, base: RuleBase) -> str:
    """What set the other way back, in a sentence or two."""
    best, rival, order = found.best, found.rival, found.order
    if order is None and found.rule is not None:
        return fill(base, found.rule, found.rule.because, rival.facts)
    if best is None:
        return "It has no drawback."
    if order is None and rival.grade == "good":
        return f"Good, but takes {time_between(best, rival)}: {quick_enough(best, base.limits)}."
    if order is None:
        short = rival.time < best.time and rival.grade == "workable"
        limit = f" {_not_quick_enough(base.limits)}" if short else ""
        return f"{unmet_text(found.unmet, rival.facts, base)} It would take {time_between(best, rival)}.{limit}"
    if found.rule is not None:
        return f"It has more drawbacks: {fill(base, found.rule, found.rule.because, rival.facts)}"
    if order.by == Decided.DRILL:
        return f"{drill_not_worth(order, base.limits)}."
    but = "and" if _same_time(best, rival) or order.by != Decided.TIME else "but"
    if order.by == Decided.PREFERRED:
        told = prefers_text(base.preference(order.preference))
        return f"Also {rival.grade} by the rules, and takes {time_between(best, rival)}: {told}."
    why = where_time_goes(best, rival) if order.by == Decided.TIME else firmer(best, rival, order, base.limits)
    return f"Also {rival.grade} by the rules, {but} takes {time_between(best, rival)}: {why}."


def equal(first: Candidate, second: Candidate) -> str:
    """That two ways differ in nothing that counts."""
    names = (first.cutter.id, second.cutter.id)
    two = f"{names[0]} and {names[1]}" if names[0] != names[1] else "the two"
    return f"{two} are equal here, either will do"


def quick_enough(best: Candidate, limits: Limits) -> str:
    """Why a workable way comes before a good one."""
    share = quantity(Overtaking.of(limits).shares[best.overtakes], "")
    return f"the advised way is only workable, but takes under {share} of the time of any good one"


def _not_quick_enough(limits: Limits) -> str:
    """Why a workable way that is quicker than the good one does not come before it."""
    (_, held, freely), saving = Overtaking.of(limits)
    return (
        f"A workable way comes first only if it saves {quantity(saving, 's')} and takes under {quantity(freely, '')} "
        f"of the time of every good one. The limit is {quantity(held, '')} where it keeps less than "
        f"{_kept_least(limits)}. It never comes first beside a thin wall or floor."
    )


def drill_not_worth(order: Order, limits: Limits) -> str:
    """Why a hole is not drilled to get in, though that may be quicker."""
    longer, shorter = apart(order.first, order.second, "s")
    least, share = quantity(limits["hole_saving_least"], "s"), quantity(limits["hole_saving_share_least"], "share")
    return (
        f"{shorter} with a pre-drilled hole against {longer} without: it must save {least} and {share} to be worth "
        "the drill"
    )


def firmer(first: Candidate, second: Candidate, order: Order, limits: Limits) -> str:
    """What decides between ways whose times are as good as equal."""
    if order.by == Decided.OVERTAKES:
        return _must_save_more(limits)
    told = _comes_first(first, second, order)
    if order.by not in DECIDE:
        return told
    return f"{_as_quick(order, limits, 'of the quickest')}, {told}"


def _as_quick(order: Order, limits: Limits, of_which: str) -> str:
    """How two ways stand to each other by time, where something else decides."""
    return f"within {quantity(limits['time_band'], 'share')} {of_which}" if order.within else "counted as equally quick"


def _kept_least(limits: Limits) -> str:
    """How much a way keeps at least of rate and power that is not severely limited."""
    rate, load = (quantity(limits[name], "share") for name in ("overtaking_rate_least", "overtaking_load_least"))
    if rate == load:
        return f"{rate} of the tables' rate or of the power"
    return f"{rate} of the tables' rate or {load} of the power"


def _must_save_more(limits: Limits) -> str:
    """Why a workable way stays behind the good ones, though it takes less time than one that comes before them."""
    (_, held, _), _ = Overtaking.of(limits)
    return (
        f"it keeps less than {_kept_least(limits)}, "
        f"and comes before a good way only if it takes under {quantity(held, '')} of its time"
    )


def _comes_first(first: Candidate, second: Candidate, order: Order) -> str:
    """Which of two ways that are as quick comes first, by their values."""
    match order.by:
        case Decided.LEFT:
            if "wall_rest" not in first.facts:  # no drill
                return f"milling comes before a drill that leaves {quantity(order.second, 'mm')} on the wall"
            mine, other = apart(order.first, order.second, "mm")
            return f"the wider drill comes first, since it leaves {mine} on the wall and the other {other}"
        case Decided.ASIDE:
            return "the cut that does not push the cutter aside comes first"
        case Decided.REST:
            if leaves_fillet(second.facts) and not leaves_rest(second.facts):
                return "the way that needs no second cutter for the fillet along the floor comes first"
            if leaves_rest(second.facts):
                return "the way that needs no second cutter for the corners comes first"
            return "the cutter that goes into the corners without stopping comes first"
        case Decided.COMPLIANCE:
            mine, other = apart(order.first, order.second, "µm/N")
            return f"the stiffer cutter comes first, tip compliance {mine} against {other}"
        case Decided.SLENDER:
            mine, other = apart(order.first, order.second, "")
            bars = f"it bends like a plain bar {other} DC long, and this one like {mine} DC"
            return f"its cutter is likely to chatter, since {bars}"
        case Decided.FOOT:
            more = quantity(order.second, "s")
            return f"it leaves a fillet along the floor, and the second cutter for that takes about {more} more"
        case Decided.GROUND:
            return "by the crib its cutter is ground for another material"
        case Decided.LEVELS:
            fewer = counted(quantity(order.first, "count"), "level")
            return f"fewer levels come first, {fewer} against {quantity(order.second, 'count')}"
        case Decided.WIDTH:
            mine, other = apart(order.first, order.second, "mm")
            return f"the wider cutter comes first, {mine} against {other}"
        case _:
            return equal(first, second)


def unmet_text(unmet: UnmetRule | None, facts: Facts, base: RuleBase) -> str:
    """Why no rule speaks for a way with these facts: the rule that came nearest, and what of it does not hold."""
    if unmet is None:
        return "No rule recommends it here."
    leaf = unmet.condition
    shown = wanted_text(base, leaf, quantised(facts)) if isinstance(leaf, Compare) else known_text(leaf, verb="")
    return f"No rule recommends it: “{unmet.rule.title}” needs {shown}."


def time_between(best: Candidate, rival: Candidate) -> str:
    """How the rival's time stands to the advised one's."""
    share = rival.time / best.time - 1
    if _same_time(best, rival):
        return f"the same time, {quantity(rival.time, 's')}"
    if share >= 2:
        return f"{number(share + 1, 2)} times as long, {quantity(rival.time, 's')} against {quantity(best.time, 's')}"
    word = "longer" if share > 0 else "less time"
    return f"{quantity(abs(share), 'share', 2)} {word}, {quantity(rival.time, 's')} against {quantity(best.time, 's')}"


def _same_time(best: Candidate, rival: Candidate) -> bool:
    """Whether nobody would tell the two times apart, or they are shown alike."""
    return abs(rival.time / best.time - 1) < 0.005 or looks_equal(rival.time, best.time, "s")


def where_time_goes(best: Candidate, rival: Candidate) -> str:
    """The part of the time in which the two differ most."""
    mine, other = time_parts(best), time_parts(rival)
    name = grown_most(mine, other)
    if other[name] - mine[name] < NEGLIGIBLE or looks_equal(other[name], mine[name], "s"):
        return "the difference is negligible" if best.time != rival.time else equal(best, rival)
    return f"{PARTS[name]} {quantity(other[name], 's')} instead of {quantity(mine[name], 's')}"


def choice_text(choice: Choice, base: RuleBase) -> str:
    """Why the advised way stands first where no rule speaks for it."""
    if choice.good is not None:
        return before_the_good_text(choice, choice.good, base)
    return f"No way is graded good here. {first_text(choice, base.limits)}"


def before_the_good_text(choice: Choice, good: Candidate, base: RuleBase) -> str:
    """Why a workable way is advised although there is a good one."""
    best = choice.best
    mine, other = apart(best.time, good.time, "s")
    share = quantity(Overtaking.of(base.limits).shares[best.overtakes], "")
    return (
        f"The good way, {ways()[good.method].title} with {good.cutter.id}, takes {other}; this one takes {mine}, under "
        f"{share} of it. It is only workable: {lower_first(unmet_text(choice.unmet, best.facts, base))}"
    )


def first_text(choice: Choice, limits: Limits) -> str:
    """What puts the advised way first of its grade, in one sentence with the one that comes next."""
    best, second, order = choice.best, choice.following, choice.order
    if second is None:
        return f"This is the only way graded {best.grade} with this crib."
    way = "" if second.method == best.method else f", {ways()[second.method].title}"
    grade = "" if second.grade == best.grade else f", {second.grade}"
    following = f"next is {second.cutter.id}{way} at {quantity(second.time, 's')}{grade}"
    graded = f"graded {best.grade}{' with the fewest drawbacks' if best.grade == 'poor' else ''}"
    time = quantity(best.time, "s")
    first = f"Quickest of the ways {graded}: {time}"
    if order.by in DECIDE:
        told = _comes_first(best, choice.quickest or best, order)
        first = f"{time}, {_as_quick(order, limits, f'of the quickest way {graded}')}: {told}"
    elif order.by not in (
        Decided.TIME,
        Decided.EQUAL,
    ):  # a quicker one comes later, for its drill or what it leaves
        first = f"First of the ways {graded}: {time}"
    return f"{first}; {following}."
