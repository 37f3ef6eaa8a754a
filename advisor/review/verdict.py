"""The verdict on a plan: what to stop, to change, to consider, and what is well chosen, worst first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from advisor.choosing.advice import advise
from advisor.choosing.candidates import grade_of
from advisor.choosing.job_advice import Advice
from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Known, Situation, leaves, yes
from advisor.knowledge.measures import JUDGING, LEVELS
from advisor.knowledge.schema import Rule, RuleBase, reads
from advisor.mechanics.lengths import exceeds, reaches
from advisor.methods.registry import METHODS
from advisor.model.answer import Failed, FeatureAdvice, NotAsked
from advisor.model.assignment import Assignment
from advisor.model.candidate import GRADES, Candidate
from advisor.model.features import FeatureBase
from advisor.model.finding import (
    IN_WIDER,
    NO_DRILL_DEPTH,
    NO_ENTRY,
    NO_NUMBERS,
    OTHER_ENTRY,
    Finding,
    NotJudged,
    NotSaid,
    WellChosen,
)
from advisor.model.operations import Operation, Plan
from advisor.model.plan import Drilled
from advisor.readers.plan_check import check_names
from advisor.review import coverage
from advisor.review.assumed import DRILLED_TO
from advisor.review.continued import down_to_the_cleared_floor, from_below, goes_on, in_stages, reached_by
from advisor.review.coverage import MAIN, PILOT, REST, Part
from advisor.review.drilled import depth_not_said
from advisor.review.finding import findings_of, once_for_the_plan, ordered, weight_of, well_chosen_of
from advisor.review.opening import as_it_is_cut
from advisor.review.operation import Task, evaluated
from advisor.review.ratios import derive
from advisor.review.safety import Cut, cautions_of
from advisor.review.savings import saved_by_one_cutter
from advisor.review.sequence import less, order_facts
from advisor.review.times import planned_time, whole_advice, whole_plan
from advisor.situation.bench import Bench


class Judged(NamedTuple):
    """An operation in one of its features, worked out and judged, beside the advice for the feature.

    The rules that fired are those of the candidate.
    """

    operation: Operation
    feature_id: str
    candidate: Candidate
    advice: FeatureAdvice
    role: str = MAIN


class Remedy(NamedTuple):
    """An operation in one feature as it is planned, and as it would be with the set of remedies."""

    planned: Judged
    changed: Candidate


class Remedies(NamedTuple):
    """The set of remedies for a plan; ``answered`` are the findings of which none is left with it."""

    changes: tuple[Remedy, ...] = ()
    answered: frozenset[tuple[int | None, str | None, str]] = frozenset()

    def answers(self, finding: Finding) -> bool:
        """Whether a finding is gone with the set."""
        return place_of(finding) in self.answered


def place_of(finding: Finding) -> tuple[int | None, str | None, str]:
    """What tells a finding from others: its operation, feature and rule."""
    return finding.operation, finding.feature, finding.rule.id


class Review(NamedTuple):
    """The review of a plan. Times are in seconds, absent where they cannot be estimated.

    ``findings`` and ``well_chosen`` come worst and best first; ``not_said`` is what was taken for what the plan leaves
    open, ``not_judged`` what could not be judged, ``uncovered`` the features without an operation, ``failed`` those
    that could not be worked out, through a fault of our own. ``remedies`` is the set of remedies, empty until
    ``remedied`` has worked it out.
    """

    assignment: Assignment
    bench: Bench
    plan: Plan
    operations: tuple[Judged, ...]
    findings: tuple[Finding, ...]
    well_chosen: tuple[WellChosen, ...]
    not_said: tuple[NotSaid, ...]
    time_plan: float | None
    time_advised: float | None
    not_judged: tuple[NotJudged, ...] = ()
    uncovered: tuple[str, ...] = ()
    cautions: tuple[Finding, ...] = ()
    failed: tuple[Failed, ...] = ()
    remedies: Remedies = Remedies()

    @property
    def stops(self) -> bool:
        """Whether anything is to be stopped."""
        return any(finding.weight == "stop" for finding in self.findings)


class _Worked(NamedTuple):
    part: Part
    candidate: Candidate
    open: tuple[NotSaid, ...]
    worked_out: bool
    begun: float = 0.0

    def with_facts(self, facts: Situation) -> _Worked:
        """The same with other facts."""
        return self._replace(candidate=self.candidate._replace(facts=facts))


def review(plan: Plan, assignment: Assignment, advice: Advice | None = None) -> Review:
    """The review of a plan that has been held against its job and crib; ``advice`` is that of the assignment.

    Raises:
        BadInput: the plan names a feature or cutter that job and crib do not have.
        ValueError: an operation has nothing to cut; ``check_plan`` refuses such a plan with file and line.
    """
    check_names(plan, assignment)
    advice = advice or advise(assignment)
    bench, answers = advice.bench, {answer.region.id: answer for answer in advice.features}
    crib = {cutter.id: cutter for cutter in assignment.crib}
    features: dict[str, FeatureBase] = {feature.id: feature for feature in assignment.job.features}
    kinds: dict[str, str] = {name: feature.kind for name, feature in features.items()}
    plan = in_stages(plan, features, crib, bench.limits)
    most = bench.limits["allowance_most"]
    every = coverage.parts(plan, crib, kinds, most)  # those of failed features too: they have their place in the order
    known = [part for part in every if part.feature in answers]
    worked: list[_Worked] = []
    for part in known:
        begun = _begun(part, answers[part.feature], worked, bench)
        own = as_it_is_cut(answers[part.feature], features[part.feature], part, assignment.crib, bench)
        if (floor := _cleared_floor(part.feature, worked, assignment.job.parts)) is not None:
            own = down_to_the_cleared_floor(own, answers[floor], bench)
        answer = from_below(own, begun, bench)
        worked.append(work_out(part, answer, assignment, bench, worked)._replace(begun=begun))
    times = _times(worked, bench)
    worked = _with_order(_with_times(worked, times, answers), answers, bench)
    saved = saved_by_one_cutter(every, times, answers, bench)
    others = _Others(worked, every, answers, kinds)
    worked = [one.with_facts(_among_the_others(one, others, saved.get(one.part.feature, {}), bench)) for one in worked]
    judged = tuple(judge(one, answers[one.part.feature], bench) for one in worked)
    findings = [
        found
        for one, own in zip(judged, worked, strict=True)
        for found in findings_of(one.operation.number, own.part.role, one.candidate, one.advice, bench)
    ]
    findings += _of_the_whole(every, kinds, bench)
    told = once_for_the_plan(findings, len({one.operation.number for one in judged}))
    change = bench.machine.tool_change
    weights: dict[tuple[int | None, str | None], set[str]] = {}
    for finding in findings:
        weights.setdefault((finding.operation, finding.feature), set()).add(finding.weight)
    return Review(
        assignment,
        bench,
        plan,
        judged,
        ordered(told),
        tuple(praise for one in judged for praise in _praised(one, weights, bench)),
        tuple(said for one in worked for said in one.open),
        whole_plan(times, known, change),
        whole_advice([answers[name] for name in times], change),
        tuple(_not_judged(worked, [answers[name] for name in times], bench.base)),
        tuple(name for name in answers if name not in times),
        cautions_of([Cut(one.operation.number, one.feature_id, one.candidate) for one in judged], bench),
        advice.failed,
    )


def _begun(part: Part, answer: FeatureAdvice, before: Sequence[_Worked], bench: Bench) -> float:
    """How deep the feature is cut already where an operation that clears it begins [mm]."""
    if part.role != MAIN or part.cutter.kind.drill:
        return 0.0
    same = (one for one in before if (one.part.role, one.part.feature) == (MAIN, part.feature))
    clearing = [one for one in same if not one.part.cutter.kind.drill]
    reached = [reached_by(one.candidate.facts, one.begun) for one in clearing]
    most = bench.limits["allowance_most"]
    staged = any(exceeds(one.part.operation.row.allowance_bottom or 0.0, most) for one in clearing)
    return goes_on(part.operation.row, answer.region, reached, staged, bench)


def _cleared_floor(feature: str, before: Sequence[_Worked], parts: Mapping[str, Sequence[str]]) -> str | None:
    """The floor beneath the walls of a casting, where an operation before clears it."""
    floor = next((two[1] for two in parts.values() if two[0] == feature), None)
    cleared = (one for one in before if (one.part.feature, one.part.role) == (floor, MAIN))
    return floor if any(not one.part.cutter.kind.drill for one in cleared) else None


def _drilled_to(part: Part, before: Sequence[_Worked]) -> float | None:
    """How deep the tip of the drill goes that an operation before takes for the way in [mm], if the plan says so."""
    depths = [
        one.candidate.facts.get("drill_depth")
        for one in before
        if part.drill is not None
        and not depth_not_said(one.part.operation.row)
        and (one.part.role, one.part.feature, one.part.cutter.id) == (PILOT, part.feature, part.drill.id)
    ]
    return float(depths[-1]) if depths and depths[-1] is not None else None


def _opens(part: Part, before: Sequence[_Worked]) -> Drilled | None:
    """The widest pilot hole that operations before drill for a drill to open, if they do."""
    pilots = [
        Drilled(one.part.cutter.DC, float(one.candidate.facts["full_depth"]))
        for one in before
        if (one.part.role, one.part.feature) == (PILOT, part.feature) and "full_depth" in one.candidate.facts
    ]
    opened = part.role == MAIN and part.cutter.kind.drill
    return max(pilots, default=None) if opened else None


def work_out(
    part: Part, answer: FeatureAdvice, assignment: Assignment, bench: Bench, before: Sequence[_Worked] = ()
) -> _Worked:
    """An operation of a plan in one feature; ``before`` are those that come before it, as they were worked out."""
    rest, pilot = part.role == REST, part.role == PILOT
    task = Task(
        number=part.operation.number,
        answer=answer,
        cutter=part.cutter,
        drill=part.drill,
        crib=assignment.crib,
        bench=bench,
        rest=rest,
        drilled_to=_drilled_to(part, before),
        pilot=pilot,
        opens=_opens(part, before),
    )
    found = evaluated(part.operation.row, task)
    open_ = tuple(said for said in found.open if not pilot or said.setting == DRILLED_TO)
    return _Worked(part, found.candidate, open_, found.worked_out)


def _times(worked: Sequence[_Worked], bench: Bench) -> dict[str, float | None]:
    """The time of the plan by feature [s]; nothing for one where it is not known."""
    features = dict.fromkeys(one.part.feature for one in worked)
    return {
        name: planned_time(
            [(one.part, one.candidate) for one in worked if one.part.feature == name], bench.machine.tool_change
        )
        for name in features
    }


def _with_times(
    worked: Sequence[_Worked], times: dict[str, float | None], answers: dict[str, FeatureAdvice]
) -> list[_Worked]:
    """The operations, each first that clears a feature with the time of the plan there and that of the advice."""
    found, cleared = list[_Worked](), set[str]()
    for one in worked:
        time, best = times[one.part.feature], answers[one.part.feature].best
        first = one.part.role == MAIN and one.part.feature not in cleared
        if first:
            cleared.add(one.part.feature)
        if first and time is not None and best is not None:
            one = one.with_facts(one.candidate.facts | {"planned_time": time, "advised_time": best.time})
        found.append(one)
    return found


def _with_order(worked: Sequence[_Worked], answers: dict[str, FeatureAdvice], bench: Bench) -> list[_Worked]:
    """The operations with what follows from the others in their place, less what these undo: from the first to the
    last, since one after another is held against what is known of that by then.
    """
    regions = {name: answer.region for name, answer in answers.items()}
    known = [(one.part, one.candidate.facts) for one in worked]
    for place, (part, facts) in enumerate(known):
        known[place] = part, facts | order_facts(part, known, regions, bench.limits["hole_ratio_least"])
    for place, (part, facts) in enumerate(known):
        undone = less(part, known, regions[part.feature])
        known[place] = part, {name: value for name, value in facts.items() if name not in undone}
    return [one.with_facts(facts) for one, (_, facts) in zip(worked, known, strict=True)]


class _Others(NamedTuple):
    """All that a plan does, worked out and in its order, beside the advice and the kind of each feature."""

    worked: Sequence[_Worked]
    every: Sequence[Part]
    answers: dict[str, FeatureAdvice]
    kinds: dict[str, str]


def _among_the_others(one: _Worked, others: _Others, saved: Situation, bench: Bench) -> Situation:
    """The facts of an operation with what only shows beside the others; ``saved`` tells what another cutter saves."""
    part, every = one.part, others.every
    facts = one.candidate.facts | {
        "rest_operation": yes(part.role == REST),
        "features_after": float(coverage.features_after(part, every, others.kinds)),
        "features_before": float(coverage.features_before(part, every, others.kinds)),
        "opened_later": coverage.opened_later(part, every),
    }
    if part.role != MAIN:
        return facts
    stays = _after_the_rest(part, others.worked)
    taken = coverage.rest_taken(part, every, others.answers[part.feature]) or float(stays.get("rest_beyond", 1.0)) <= 0
    later = every[every.index(part) + 1 :]
    facts |= stays | {
        "rest_taken": yes(taken),
        "wider_cutter_later": yes(part.wider_later),
        "same_again": 0.0 if one.begun > 0 else float(part.same_again),
        "operations_later": float(sum(one.feature == part.feature for one in later)),
        "core_taken_later": yes(any(_clears(one, part, bench) for one in later)),
        "cutter_elsewhere": yes(any(one.feature != part.feature and one.cutter.id == part.cutter.id for one in every)),
    }
    facts |= saved
    derive(facts, bench.limits)
    return facts


def _clears(later: Part, part: Part, bench: Bench) -> bool:
    """Whether a later operation clears the same feature in levels, and takes no mere skin off its wall."""
    row, wide = later.operation.row, bench.limits["hard_radial_share_wide"]
    wide_levels = row.method is not None and METHODS[row.method].wide_levels
    clears = later.feature == part.feature and wide_levels
    return clears and (row.radial_width is None or reaches(row.radial_width, wide * later.cutter.DC))


def _after_the_rest(part: Part, worked: Sequence[_Worked]) -> Situation:
    """What the narrowest later cutter of a feature leaves in its corners, and which cutter that is."""
    places = [one.part for one in worked]
    later = [
        one for one in worked[places.index(part) + 1 :] if (one.part.feature, one.part.role) == (part.feature, REST)
    ]
    known = [one for one in later if "corner_rest" in one.candidate.facts and part.cutter.DC > one.part.cutter.DC]
    if not known:
        return {}
    last = min(known, key=lambda one: float(one.candidate.facts["corner_rest"]))
    facts = last.candidate.facts
    return {
        "rest_beyond": facts["corner_rest_beyond"],
        "rest_stays": float(facts["corner_rest"]) + float(facts["side_allowance"]),
        "rest_taker": last.part.cutter.DC,
        "rest_operation_number": float(last.part.operation.number),
    }


def judge(one: _Worked, answer: FeatureAdvice, bench: Bench) -> Judged:
    """The operation with the rules that fire about it; a grade follows from those of the advice."""
    candidate = one.candidate
    fired = bench.inference.every(JUDGING, LEVELS, candidate.facts, candidate.method)
    if not one.worked_out:  # then a number that is not there is no sign of anything
        fired = tuple(rule for rule in fired if all(not isinstance(leaf, Known) for leaf in leaves(rule.condition)))
    grade, best = grade_of(fired), answer.best
    lower = yes(grade == GRADES[0] and best is not None and best.grade != GRADES[0])
    squarer = candidate.facts.get("foot_fillet") == "no" and best is not None and best.facts.get("foot_fillet") == "yes"
    facts = candidate.facts | {"advised_rates_lower": lower, "advised_leaves_foot": yes(squarer)}
    found = bench.inference.every(("review",), LEVELS, facts, candidate.method)
    graded = candidate._replace(grade=grade, fired=(*fired, *found), facts=facts)
    return Judged(one.part.operation, one.part.feature, graded, answer, one.part.role)


def _of_the_whole(every: Sequence[Part], kinds: dict[str, str], bench: Bench) -> list[Finding]:
    """What is found of the order of all operations."""
    used = coverage.sequence(every)
    planned = coverage.changes([cutter for cutter, _ in used])
    spare = planned - coverage.fewest_changes(used, kinds)
    facts: Situation = {"changes_planned": float(planned), "changes_spare": float(spare)}
    fired: tuple[Rule, ...] = standing(bench.inference.every(("review",), LEVELS, facts))
    return [Finding.of(rule, rule.weight, None, None, facts, bench.base) for rule in fired]


def _praised(
    one: Judged, weights: Mapping[tuple[int | None, str | None], set[str]], bench: Bench
) -> Sequence[WellChosen]:
    """What an operation has right; ``weights`` are those of the findings of each operation in each feature."""
    if one.role != MAIN:
        return ()
    number = one.operation.number
    return well_chosen_of(number, one.candidate, one.advice, weights.get((number, one.feature_id), set()), bench)


def _wanted(item: NotAsked, base: RuleBase) -> bool:
    """Whether a rule that judges wanted a value that nobody gave; cautions are not what a review is about."""
    judging = (rule for rule in base.rules if rule.stage in (*JUDGING, "review"))
    return any(item.missing in base.measures[fact].needs for rule in judging for fact in reads(rule))


def _not_judged(worked: Sequence[_Worked], answers: Sequence[FeatureAdvice], base: RuleBase) -> list[NotJudged]:
    found = [
        NotJudged(one.part.feature, one.part.operation.number, cause)
        for one in worked
        if (cause := _why_not_judged(one)) is not None
    ]
    missing = ((answer, item) for answer in answers for item in answer.not_asked if _wanted(item, base))
    return [*found, *(NotJudged(answer.region.id, missing=item) for answer, item in missing)]


def _why_not_judged(one: _Worked) -> str | None:
    """Why an operation, or its time, could not be judged; nothing where it could."""
    if one.part.role == PILOT:
        return None if "drill_depth" in one.candidate.facts else NO_DRILL_DEPTH
    if not one.worked_out:
        return NO_NUMBERS
    if one.part.role == REST:
        return IN_WIDER
    if one.candidate.time < float("inf"):
        return None
    stops = any(weight_of(rule) == "stop" for rule in standing(one.candidate.fired))
    return NO_ENTRY if stops else OTHER_ENTRY
