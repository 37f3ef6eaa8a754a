"""One other way beside the advised one: which it is, and the one difference that decides between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from advisor.analysis import alternatives
from advisor.analysis.breakpoints import name_of
from advisor.choosing import ranking
from advisor.choosing.advice import MANY, advise_feature
from advisor.choosing.ranking import Limits, order_between, ranked
from advisor.choosing.time_parts import PARTS, time_parts
from advisor.knowledge.conditions import All, Any, Compare, Condition, Facts, Known, holds
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.wording import apart, comparison_text, number, quantity
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.situation.bench import Bench
from advisor.situation.pairings import ways

FIXED = frozenset({"method", "feature", "entry", "body"})  # what was asked for: no fact that could be otherwise
ALIKE = 0.0005  # s: times that the rules could not tell apart


class Wanted(NamedTuple):
    """What was asked for instead: any of method, cutter and way in; None is any."""

    method: str | None = None
    cutter: str | None = None
    entry: str | None = None

    def meets(self, item: Candidate, answer: FeatureAdvice) -> bool:
        """Whether a candidate is of this kind. One that was forbidden before its ways in stands for all of these."""
        entries = ways()[item.method].entries(answer.region) if item.entry is None else (item.entry,)
        drill = item.drill.id if item.drill else None
        return (
            self.method in (None, item.method)
            and (self.cutter is None or self.cutter in (item.cutter.id, drill))
            and (self.entry is None or self.entry in entries)
        )


class Decided(NamedTuple):
    """The deciding difference: what it lies in, the sentence, and the rule behind it if there is one.

    ``by`` is forbidden, grade, against, left, drill, aside, rest, give, levels, width, time [s longer in ``much``] or
    equal.
    """

    by: str
    text: str
    rule: Rule | None = None
    much: float = 0.0


def asked_with(wanted: Wanted, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> FeatureAdvice:
    """The advice for a feature, with every way by a drill that was asked for: of a large crib only the best holes of a
    cutter are kept.
    """
    answer = advise_feature(feature, crib, bench)
    drills = [cutter for cutter in crib if cutter.id == wanted.cutter and cutter.kind.drill]
    if len(crib) <= MANY or not drills:
        return answer
    mills = [cutter for cutter in crib if not cutter.kind.drill]
    known = {name_of(item): item for item in advise_feature(feature, [*mills, *drills], bench).candidates}
    known |= {name_of(item): item for item in answer.candidates}
    return answer._replace(candidates=tuple(ranked(known.values(), bench.limits)))


def rival_of(answer: FeatureAdvice, wanted: Wanted, limits: Limits) -> Candidate | None:
    """The best candidate of the kind that was asked for; the advised one if it is of that kind itself."""
    if answer.best is not None and wanted.meets(answer.best, answer):
        return answer.best
    return ranking.nearest(answer.best, (item for item in answer.candidates if wanted.meets(item, answer)), limits)


def decided(best: Candidate | None, rival: Candidate, base: RuleBase, every: Iterable[Candidate] = ()) -> Decided:
    """What decides between the advised way and another; ``every`` are all that were ranked with them."""
    rules = ranking.against(rival)
    if rival.grade == "forbidden" and rules:
        beside = f"; the advised way is {best.grade}" if best else ""
        return Decided("forbidden", f"Forbidden by {_grounds(rules, rival.facts, base)}{beside}.", rules[0])
    if best is not None and rival.grade != best.grade:
        return _by_grade(best, rival, rules, base)
    if best is None:
        return Decided("equal", f"Nothing was advised that {rival.cutter.id} could be held against.")
    order = order_between(best, rival, every, base.limits)
    if order.by == "against":
        more = alternatives.more_against(best, rival)
        return Decided(
            "against", f"Both are poor. More speaks against it: {_grounds((more,), rival.facts, base)}.", more
        )
    if order.by == "drill":
        return Decided("drill", f"Both are {best.grade}. {alternatives.drill_not_worth(order, base.limits)}.")
    if order.by == "time" and rival.time - best.time >= ALIKE:
        return _by_time(best, rival)
    mine, other = apart(best.time, rival.time, "s")
    alike = f"Both are {best.grade} and take {mine}" if mine == other else f"Both are {best.grade}, {mine} and {other}"
    by = "equal" if order.by == "time" else order.by
    return Decided(by, f"{alike}: {alternatives.firmer(best, rival, order, base.limits)}.")


def _by_grade(best: Candidate, rival: Candidate, rules: tuple[Rule, ...], base: RuleBase) -> Decided:
    against = f"Graded {rival.grade} against {best.grade}"
    if rules:
        return Decided("grade", f"{against} by {_grounds(rules, rival.facts, base)}.", rules[0])
    rival_time, time = apart(rival.time, best.time, "s")
    times = f"both take {time}" if rival_time == time else f"{rival_time} against {time}"
    if rival.grade == "good":
        return Decided("grade", f"{against}, {times}: {alternatives.quick_enough(best, base.limits)}.")
    told = alternatives.lower_first(alternatives.nothing_for(rival, base).rstrip("."))
    return Decided("grade", f"{against}: {told}; {times}.")


def _grounds(rules: tuple[Rule, ...], facts: Facts, base: RuleBase) -> str:
    """The first rule with the facts it rests on, and how many more say the same."""
    more = f", and by {len(rules) - 1} more" if len(rules) > 1 else ""
    return f"{rules[0].id}: {' and '.join(told(leaf, facts, base) for leaf in deciding_facts(rules[0], facts))}{more}"


def told(leaf: Compare | Known, facts: Facts, base: RuleBase) -> str:
    """A fact as a condition met it: ``width ratio 1.13 < 1.15 (loop_room_ratio_least)``."""
    if isinstance(leaf, Compare):
        return comparison_text(base, leaf, quantised(facts))
    return f"{leaf.fact.replace('_', ' ')} is {'known' if leaf.present else 'not known'}"


def deciding_facts(rule: Rule, facts: Facts) -> tuple[Compare | Known, ...]:
    """The comparisons that made a rule fire, without those on what was asked for; numbers first.

    Where a rule asks for nothing else, all of them.
    """
    every = list(dict.fromkeys(_met(rule.condition, quantised(facts))))
    found = [leaf for leaf in every if leaf.fact not in FIXED] or every
    numbers = [leaf for leaf in found if not (isinstance(leaf, Compare) and isinstance(leaf.value, str))]
    return tuple(numbers or found)


def _met(condition: Condition, facts: Facts) -> Iterator[Compare | Known]:
    if isinstance(condition, All):
        for part in condition.parts:
            yield from _met(part, facts)
    elif isinstance(condition, Any):
        for part in condition.parts:
            if holds(part, facts):
                yield from _met(part, facts)
    else:
        yield condition


def _by_time(best: Candidate, rival: Candidate) -> Decided:
    mine, other = time_parts(best), time_parts(rival)
    name = max(mine, key=lambda part: other[part] - mine[part])
    much = rival.time - best.time
    longer, before = apart(rival.time, best.time, "s")
    part, less = apart(other[name], mine[name], "s")
    where = f"chiefly {PARTS[name]}, {part} against {less}"
    share = f" ({number(rival.time / best.time, 2)} times as long)" if rival.time >= 2 * best.time else ""
    text = (
        f"Both are {best.grade}, but it takes {quantity(much, 's')} longer{share}, {longer} against {before}: {where}."
    )
    return Decided("time", text, much=much)
