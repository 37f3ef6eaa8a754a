"""The obligations one by one: what is asked of jobs, what of the solver, and what a finding says."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import All, Compare, Condition, Known, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.satisfiability import possible
from advisor.knowledge.schema import Rule, RuleBase
from advisor.proof.context import Court, Finding, Tally, declared, left_open, pairs, settled
from advisor.proof.evidence import asked_apart
from advisor.proof.example_job import Shows
from advisor.proof.jobs import Run, SmallJob
from advisor.proof.ordering import in_order, no_circle
from advisor.proof.witness import fires_together
from advisor.proof.world import IMPOSSIBLE, World, together

TOLD = ("cautions", "finds")  # verdicts that say no more than their text does


def can_fire(court: Court, tally: Tally) -> None:
    """Each rule fires in a job; for one that fires in none, the solver is asked whether it can."""
    for rule in filter(court.concerns, court.base.rules):
        court.work.step()
        tally.asked += 1
        if court.evidence.fires(rule):
            tally.by_job += 1
            continue
        answer = court.ask(tally, [rule])
        if answer.can_be == IMPOSSIBLE:
            tally.findings.append(_dead(rule, court))
            continue
        found = court.seek(answer.facts, [rule], fires_together([rule.id]), unseen=True)
        if found.job:
            tally.by_job += 1
        else:
            left_open(tally, answer, (rule.id,), found.tries)


def _dead(rule: Rule, court: Court) -> Finding:
    """A rule that cannot fire, with what of its condition is too much and a job that meets all the rest of it."""
    parts = rule.condition.parts if isinstance(rule.condition, All) else (rule.condition,)
    for place, part in enumerate(parts):
        rest = rule._replace(condition=All((*parts[:place], *parts[place + 1 :])))
        job = _meets(rest, rule, court)
        if job is not None:
            text = f"It can never fire: {part_text(part)} cannot be where the rest of its condition holds."
            shows = f"{rule.id} silent, though all of its condition but {part_text(part)} holds"
            return Finding("fires", (rule.id,), text, job, shows, met_but_silent(rest, rule.id))
    return Finding("fires", (rule.id,), "It can never fire.", None, "", lambda _: False)


def _meets(rest: Rule, rule: Rule, court: Court) -> SmallJob | None:
    base = court.base
    changed = RuleBase(
        tuple(rest if one.id == rule.id else one for one in base.rules), base.thresholds, base.measures, {}, base.limits
    )
    answer = World(changed, court.world.truths, court.world.overriding, court.world.timeout)
    facts = together(answer, [rest])
    if facts.can_be == IMPOSSIBLE:
        return None
    return court.seek(facts.facts, [rest], met_but_silent(rest, rule.id)).job


def met_but_silent(rest: Rule, name: str) -> Shows:
    """That a condition holds of something that was asked, and yet a rule did not fire."""

    def shown(found: Run) -> bool:
        met = (one for one in found.asked if one.scope in ("candidate", rest.stage))
        return name not in found.fired and any(holds(rest.condition, quantised(one.facts)) for one in met)

    return shown


def part_text(condition: Condition) -> str:
    """A condition in short, as its file has it."""

    def told(leaf: Compare | Known) -> str:
        if isinstance(leaf, Compare):
            return f"{leaf.fact} {leaf.operator} {leaf.value}"
        return f"known: {leaf.fact}" if leaf.present else f"not: {{known: {leaf.fact}}}"

    return " / ".join(dict.fromkeys(map(told, leaves(condition))))


def apart(court: Court, tally: Tally) -> None:
    """No candidate is spoken for and forbidden, unless one of the rules is declared to take precedence."""
    for one, other in _undeclared(court, tally, _for_and_forbidden):
        names = (one.id, other.id)
        job = court.evidence.both_stand(one, other) or _sought(court, tally, [one, other], both_stand(names), False)
        if job is None:
            continue
        text = f"{one.id} recommends a way that {other.id} forbids, and neither takes precedence."
        tally.findings.append(Finding("apart", names, text, job, "both fire for one way", both_stand(names)))


def _undeclared(court: Court, tally: Tally, which: Callable[[Rule, Rule], bool]) -> Iterator[tuple[Rule, Rule]]:
    """The pairs of which neither is declared to take precedence; the others are counted as plain."""
    for one, other in court.pairs(which):
        tally.asked += 1
        if declared(one, other):
            tally.plain += 1
        else:
            court.work.step()
            yield one, other


def _sought(court: Court, tally: Tally, rules: Sequence[Rule], shows: Shows, in_turn: bool = True) -> SmallJob | None:
    """A job that shows what the solver holds to be possible of two rules; nothing where it cannot be, or stays open."""
    names = tuple(rule.id for rule in rules)
    answer = court.ask(tally, rules, in_turn=in_turn)
    if settled(tally, answer, names):
        return None
    found = court.seek(answer.facts, rules, shows, unseen=True)
    if found.job is None:
        left_open(tally, answer, names, found.tries)
    return found.job


def _for_and_forbidden(one: Rule, other: Rule) -> bool:
    return one.verdict == "for" and other.verdict == "forbids"


def both_stand(names: tuple[str, ...]) -> Shows:
    """That rules fire for one candidate and none of them is overridden."""

    def shown(found: Run) -> bool:
        return any(set(names) <= {rule.id for rule in standing(one.fired)} for one in found.asked)

    return shown


def needed(court: Court, tally: Tally) -> None:
    """Each rule fires somewhere without any other that says the same.

    Cautions and findings of a review say what their text says: only one with the same remedy could stand in for
    another. A rule that takes precedence over the other says it for a special case, in other words. A rule that repeats
    several is told beside the first: of a hundred that differ in one number each, nobody reads the pairs.
    """
    repeating: set[str] = set()
    for one, other in court.pairs(_says_the_same):
        court.work.step()
        if one.id in repeating or not court.evidence.fires(one):
            continue  # told already, or where every rule must fire
        tally.asked += 1
        if overrides_it(one, other) or not possible(court.base.measures, one.condition, other.condition):
            tally.plain += 1
            continue
        if court.evidence.without(one, other):
            tally.by_job += 1
            continue
        answer, names = court.ask(tally, [one], [other]), (one.id, other.id)
        if answer.can_be != IMPOSSIBLE:
            unseen = not asked_apart(one, other)
            found = court.seek(answer.facts, [one], fires_together([one.id], [other.id]), unseen=unseen)
            if found.job:
                tally.by_job += 1
            else:
                left_open(tally, answer, names, found.tries)
        elif court.ask(tally, [one]).can_be == IMPOSSIBLE:
            tally.plain += 1  # it cannot fire at all, which is told by itself
        else:
            tally.findings.append(_redundant(one, other, court))
            repeating.add(one.id)


def overrides_it(one: Rule, other: Rule) -> bool:
    """Whether the first rule is declared to take precedence over the second."""
    return other.id in one.overrides


def _says_the_same(one: Rule, other: Rule) -> bool:
    if one.verdict != other.verdict:
        return False
    if one.verdict == "concludes":
        return (one.concludes or ())[:2] == (other.concludes or ())[:2]
    return one.verdict not in TOLD or one.remedy == other.remedy


def _redundant(one: Rule, other: Rule, court: Court) -> Finding:
    names = (one.id, other.id)
    job = court.evidence.together(one, other)
    if job is None:
        facts = court.ask(Tally("needed"), [one, other]).facts
        job = court.seek(facts, [one, other], fires_together(names), unseen=True).job
    text = f"Wherever {one.id} fires, {other.id} fires too and says the same ({one.verdict})."
    return Finding("needed", names, text, job, "both fire for one way", fires_together(names))


def one_value(court: Court, tally: Tally) -> None:
    """No two rules conclude different values for one fact at once, unless one takes precedence."""
    for one, other in _undeclared(court, tally, _at_odds_once):
        names = (one.id, other.id)
        seen = (job for fault, job in court.evidence.faults.items() if all(name in fault for name in names))
        job = next(seen, None) or _sought(court, tally, [one, other], _at_odds(names))
        if job is None:
            continue
        fact = one.concludes[0] if one.concludes else ""
        text = f"{one.id} and {other.id} conclude different values for {fact} at once, and neither takes precedence."
        tally.findings.append(
            Finding("one_value", names, text, job, "both fire: no advice can be given", _at_odds(names))
        )


def _at_odds_once(one: Rule, other: Rule) -> bool:
    return one.id < other.id and _disagree(one, other)


def _disagree(one: Rule, other: Rule) -> bool:
    if one.concludes is None or other.concludes is None:
        return False
    return one.concludes[0] == other.concludes[0] and one.concludes[1] != other.concludes[1]


def _at_odds(names: tuple[str, ...]) -> Shows:
    return lambda found: all(name in found.fault for name in names)


def to_show(base: RuleBase, concerns: Callable[[Rule], bool]) -> dict[str, int]:
    """How much there is to show of each obligation that takes its time."""
    asked = {"apart": _for_and_forbidden, "one_value": _at_odds_once}
    open_pairs = {
        name: sum(not declared(*pair) for pair in pairs(base, concerns, wanted)) for name, wanted in asked.items()
    }
    alike = sum(1 for _ in pairs(base, concerns, _says_the_same))
    return {"fires": sum(map(concerns, base.rules)), "needed": alike} | open_pairs


EXAMINED: Mapping[str, Callable[[Court, Tally], None]] = {
    "fires": can_fire,
    "apart": apart,
    "needed": needed,
    "one_value": one_value,
    "circle": no_circle,
    "order": in_order,
}
