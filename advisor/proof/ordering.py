"""The obligations that need no solver: no rule rests on itself, thresholds are in order. Each finding has its job."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.knowledge.conditions import Compare, Facts, holds, leaves
from advisor.knowledge.evidence import quantised
from advisor.knowledge.schema import Rule, RuleBase, reads
from advisor.knowledge.threshold_order import Order, orders
from advisor.proof.context import Court, Finding, Tally
from advisor.proof.example_job import Shows
from advisor.proof.jobs import Run
from advisor.proof.structure import Circle, circles
from advisor.proof.witness import fires_together


def no_circle(court: Court, tally: Tally) -> None:
    """No rule reads what follows from what it concludes; no rule overrides itself in the end."""
    rules = [rule for rule in court.base.rules if (rule.concludes or rule.overrides) and court.concerns(rule)]
    tally.asked = len(rules)
    for circle in circles(court.base):
        if any(court.concerns(court.base.by_id[name]) for name in circle.rules):
            tally.findings.append(_circle(circle, court))
    tally.plain = tally.asked - len(
        {name for found in tally.findings for name in found.names} & {rule.id for rule in rules}
    )


def _circle(circle: Circle, court: Court) -> Finding:
    way = " → ".join((*circle.rules, circle.rules[0]))
    if circle.kind == "override":
        text, shows = f"Each overrides the next, so that none stands: {way}.", "all of them fire, and none stands"
        shown, rules = fires_together(circle.rules), [court.base.by_id[name] for name in circle.rules]
    else:
        text, shows = (
            f"Each rests on what the one before concludes: {way}.",
            "the condition of one holds, yet what it concludes is not there",
        )
        shown, rules = unheard(circle.rules, court.base), _feeding(circle.rules, court.base)
    facts = court.ask(Tally("circle"), rules).facts if rules else {}
    return Finding("circle", circle.rules, text, court.seek(facts, rules, shown).job, shows, shown)


def _feeding(names: tuple[str, ...], base: RuleBase) -> list[Rule]:
    """A rule outside a circle that concludes what one in it reads, if there is one."""
    read = {fact for name in names for fact in reads(base.by_id[name])}
    outside = (rule for rule in base.rules if rule.concludes and rule.id not in names)
    return [rule for rule in outside if rule.concludes and rule.concludes[0] in read][:1]


def unheard(names: tuple[str, ...], base: RuleBase) -> Shows:
    """That the condition of a rule holds in the end, and what it concludes is not there: it was asked too early."""

    def lost(rule: Rule, facts: Facts) -> bool:
        return (
            rule.concludes is not None
            and holds(rule.condition, facts)
            and facts.get(rule.concludes[0]) != rule.concludes[1]
        )

    def shown(found: Run) -> bool:
        seen = [quantised(one.facts) for one in found.asked if one.scope == "candidate"]
        return any(lost(base.by_id[name], facts) for name in names for facts in seen)

    return shown


def in_order(court: Court, tally: Tally) -> None:
    """Thresholds of which one must be at most another are."""
    moved = {change.name for change in court.base.changes}
    for pair in orders(court.base):
        if court.base.changes and not {pair.low.name, pair.high.name} & moved:
            continue
        tally.asked += 1
        if pair.kept:
            tally.plain += 1
        else:
            tally.findings.append(_disorder(pair, court))


def _disorder(pair: Order, court: Court) -> Finding:
    """Thresholds out of order, with a job that has a fact between the two where rules compare one, else none."""
    low, high = pair.low, pair.high
    text = f"{low.name} is {low.value:g}, above {high.name}, {high.value:g}; it should be at most that."
    facts = list(dict.fromkeys(_compared_with(low.name, high.name, court.base)))
    shown = between(facts, high.value, low.value)
    found = court.seek({}, [], shown)
    shows = f"{' or '.join(facts)} above {high.name} and yet below {low.name}" if found.job else ""
    return Finding("order", (low.name, high.name), text, found.job, shows, shown)


def _compared_with(low: str, high: str, base: RuleBase) -> Iterator[str]:
    """The facts that rules compare with both thresholds, else with one."""
    reading: dict[str, set[str]] = {low: set(), high: set()}
    for rule in base.rules:
        for leaf in leaves(rule.condition):
            if isinstance(leaf, Compare) and leaf.threshold in reading:
                reading[str(leaf.threshold)].add(leaf.fact)
    yield from sorted(reading[low] & reading[high] or reading[low] | reading[high])


def between(facts: list[str], least: float, most: float) -> Shows:
    """That one of some facts lies between two numbers."""

    def shown(found: Run) -> bool:
        return any(
            isinstance(value, float) and least < value < most
            for one in found.asked
            for fact in facts
            if (value := one.facts.get(fact)) is not None
        )

    return shown
