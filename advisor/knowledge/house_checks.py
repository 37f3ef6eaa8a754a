"""What house rules may not do: bear a name twice, contradict themselves, run in a circle, silence a safety caution."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from advisor.files.problems import Problem, listed, nearest_word
from advisor.knowledge.check import check, failing
from advisor.knowledge.circles import circle_through
from advisor.knowledge.conditions import MOST_ALTERNATIVES, OPERATORS, Compare, Known, alternatives, leaves
from advisor.knowledge.house_files import House, Own, change_of
from advisor.knowledge.satisfiability import implied, possible
from advisor.knowledge.schema import Asked, Change, ChangeKind, Rule, RuleBase, reads

BATCHES = {"feature": 0, "cutter": 1, "method": 2, "candidate": 2}  # conclusions are drawn in these turns
NEW = (ChangeKind.ADDED, ChangeKind.PREFERENCE)  # what bears an id of its own
DONE = {ChangeKind.PREFERENCE: "preferred"}  # what was done to a rule; of the other kinds their own word says it
MOST_COMPARISONS = 100  # in one rule
MOST_STEPS = 50_000  # in looking for rules at odds, some 20 µs each


def _at(change: Change | Asked, field: str, found: str, wanted: str, nearest: str | None = None) -> Problem:
    return Problem(change.file, change.line, field, found, wanted, nearest)


def guarded(base: RuleBase) -> frozenset[str]:
    """The ids of the cautions about people and fire, and of the rules that conclude what these rest on."""
    found = {rule.id for rule in base.rules if rule.harm}
    waiting = [base.by_id[name] for name in found]
    while waiting:
        asked = waiting.pop()
        for rule in base.rules:
            if rule.id not in found and _feeds(rule, asked):
                found.add(rule.id)
                waiting.append(rule)
    return frozenset(found)


def _feeds(rule: Rule, other: Rule) -> bool:
    """Whether what a rule concludes may make the other one fire."""
    if rule.concludes is None:
        return False
    fact, value, _ = rule.concludes
    return any(
        leaf.fact == fact and (isinstance(leaf, Known) or OPERATORS[leaf.operator](value, leaf.value))
        for leaf in leaves(other.condition)
    )


def faults_of_each(base: RuleBase, house: House) -> list[Problem]:
    """What is wrong with the changes, each looked at by itself and beside the shipped rules."""
    guard = guarded(base)
    return [
        *_twice(house, base),
        *(
            _at(change, "off", change.name, "a rule that no safety caution rests on: these may only be replaced")
            for change in house.off
            if change.name in guard
        ),
        *(problem for own in house.replaced if own.rule.id in guard for problem in _as_safe(own, base)),
        *(problem for asked in _asked(house) for problem in _by_itself(asked, base)),
        *(problem for own in (*house.replaced, *house.added) for problem in _overriding(own.rule, house, base, guard)),
    ]


def _asked(house: House) -> Iterator[Asked]:
    yield from (own.rule for own in (*house.replaced, *house.added))
    yield from house.preferred


def _twice(house: House, base: RuleBase) -> Iterator[Problem]:
    """Ids that two changes bear, or that an added rule takes from a shipped one."""
    changes = (*house.off, *(own.change for own in (*house.replaced, *house.added)), *map(change_of, house.preferred))
    counts = Counter(change.name for change in changes)
    seen: dict[str, Change] = {}
    for change in changes:
        if change.name in seen:
            first = seen[change.name]
            wanted = f"one change of it; line {first.line} has it {DONE.get(first.kind, first.kind)} already"
            yield _at(change, change.name, f"it {DONE.get(change.kind, change.kind)}", wanted)
        elif change.kind in NEW and change.name in base.by_id and counts[change.name] == 1:
            yield _at(change, change.name, "the id of a shipped rule", "another id, or the rule under replace")
        seen.setdefault(change.name, change)


def _as_safe(own: Own, base: RuleBase) -> Iterator[Problem]:
    """What makes the replacement of a safety caution, or of what it rests on, less than the shipped rule."""
    rule, shipped = own.rule, base.by_id[own.rule.id]
    if shipped.harm and not (rule.harm and rule.verdict == shipped.verdict):
        told = f"verdict {rule.verdict}, harm {'true' if rule.harm else 'false'}"
        yield _at(rule, rule.id, told, "a caution with harm: true, as the rule it replaces")
    elif (shipped.concludes or ())[:2] != (rule.concludes or ())[:2]:
        yield _at(rule, rule.id, "another conclusion", "the same one: a safety caution rests on it")
    elif not implied(base.measures, shipped.condition, rule.condition):
        yield _at(rule, rule.id, "a condition that is silent where the shipped one fires", "one that fires there too")


def _by_itself(rule: Asked, base: RuleBase) -> Iterator[Problem]:
    ways, asked = alternatives(rule.condition), sum(1 for _ in leaves(rule.condition))
    if asked > MOST_COMPARISONS:
        found = f"a condition of {asked} comparisons"
        yield _at(rule, f"{rule.id}.when", found, f"at most {MOST_COMPARISONS}: split the rule")
    elif ways > MOST_ALTERNATIVES:
        found = f"a condition that can come true in {ways} ways"
        yield _at(rule, f"{rule.id}.when", found, f"at most {MOST_ALTERNATIVES}: split the rule")
    elif not possible(base.measures, rule.condition):
        yield _at(rule, f"{rule.id}.when", "a condition that can never hold", "one that some feature meets")
    else:
        yield from failing(rule)


def _overriding(rule: Rule, house: House, base: RuleBase, guard: frozenset[str]) -> Iterator[Problem]:
    off, field = {change.name for change in house.off}, f"{rule.id}.overrides"
    shipped = base.by_id[rule.id].overrides if rule.id in base.by_id else ()
    stages = {name: known.stage for name, known in base.by_id.items()}
    stages |= {own.rule.id: own.rule.stage for own in house.added}
    for other in rule.overrides:
        if other in off:
            yield _at(rule, field, other, "a rule that is there; it is switched off")
        elif other not in stages and other not in house.named:
            yield _at(rule, field, other, "the id of a rule", nearest_word(other, stages))
        elif other in guard and other not in shipped:
            yield _at(rule, field, other, "a rule that no safety caution rests on: these may only be replaced")
        elif stages.get(other, rule.stage) != rule.stage:
            yield _at(rule, field, f"{other}, of stage {stages[other]}", f"a rule of its own stage, {rule.stage}")
        elif rule.concludes and other in base.by_id and _too_early(rule, base.by_id[other]):
            level = base.by_id[other].level
            found = f"{other}, which concludes later, for each {level}"
            yield _at(rule, field, found, f"a condition that reads a fact of the {level}, too")


def _too_early(rule: Rule, other: Rule) -> bool:
    """Whether what a rule concludes is there before the other one is asked, which would then conclude it anew."""
    return BATCHES[rule.level] < BATCHES[other.level] and rule.stage in ("appraisal", "settings")


def faults_of_all(base: RuleBase, found: RuleBase) -> list[Problem]:
    """What is wrong with the rule base as the changes leave it, faults each by itself aside."""
    changes = {change.name: change for change in found.changes if change.kind is not ChangeKind.MOVED}
    guard = guarded(base)
    return [
        *_unconcluded(base, found, changes),
        *_at_odds(found, changes),
        *_circles(found, changes),
        *(
            _at(_moved(rule, found), rule.id, "a threshold with which it can never fire", "one that lets it: safety")
            for rule in found.rules
            if not rule.house and rule.id in guard and not possible(found.measures, rule.condition)
        ),
    ]


def _unconcluded(base: RuleBase, found: RuleBase, changes: Mapping[str, Change]) -> Iterator[Problem]:
    left = {rule.concludes[0] for rule in found.rules if rule.concludes}
    for rule in base.rules:
        if rule.concludes and rule.concludes[0] not in left and rule.id in changes:
            fact = rule.concludes[0]
            readers = [other.id for other in found.rules if fact in reads(other)]
            by = f" by {listed(readers)}" if readers else ""
            yield _at(changes[rule.id], rule.id, f"no rule left that concludes {fact}", f"one: it is read{by}")


def _at_odds(found: RuleBase, changes: Mapping[str, Change]) -> Iterator[Problem]:
    """Two rules that may conclude different values for one fact at once, neither of which overrides the other."""
    concluding = [rule for rule in found.rules if rule.concludes]
    steps = [MOST_STEPS]
    for place, one in enumerate(concluding):
        for other in concluding[place + 1 :]:
            if not _disagree(one, other):
                continue
            at_once = possible(found.measures, one.condition, other.condition, steps=steps)
            if steps[0] < 0:
                what = "conditions with too many alternatives to tell whether rules are at odds"
                own = other if other.house else one
                yield _at(own, own.id, what, "fewer rules that conclude the same fact, or simpler conditions")
                return
            if at_once:
                own, shipped = (other, one) if other.house else (one, other)
                where = changes[own.id] if own.house else _moved(one, found, other)
                what = f"{own.id} and {shipped.id} concluding {_value(own)} and {_value(shipped)} at once"
                yield _at(where, own.id, what, "conditions apart, or one that overrides the other")


def _disagree(one: Rule, other: Rule) -> bool:
    if one.concludes is None or other.concludes is None or one.concludes[0] != other.concludes[0]:
        return False
    return one.concludes[1] != other.concludes[1] and one.id not in other.overrides and other.id not in one.overrides


def _value(rule: Rule) -> str:
    fact, value, _ = rule.concludes or ("", "", None)
    return f"{fact} {value:g}" if isinstance(value, float) else f"{fact} {value}"


def _circles(found: RuleBase, changes: Mapping[str, Change]) -> Iterator[Problem]:
    """Rules of the house that override themselves in the end."""
    after = {rule.id: rule.overrides for rule in found.rules}
    for rule in found.rules:
        if rule.house and circle_through(rule.id, after) is not None:
            yield _at(changes[rule.id], f"{rule.id}.overrides", "a circle", "none: it overrides itself in the end")


def _moved(rule: Rule, found: RuleBase, *others: Rule) -> Change | Rule:
    """The change of a threshold that a rule reads; the rule itself where none was moved."""
    moved = {change.name: change for change in found.changes if change.kind is ChangeKind.MOVED}
    names = (
        leaf.threshold
        for one in (rule, *others)
        for leaf in leaves(one.condition)
        if isinstance(leaf, Compare) and leaf.threshold in moved
    )
    name = next(names, None)
    return rule if name is None else moved[name]


def warnings(base: RuleBase, found: RuleBase) -> tuple[Problem, ...]:
    """What a shop ought to know of its changes, though they are allowed: what they do to the shipped rules."""
    shipped = tuple(rule for rule in found.rules if not rule.house)
    return (
        *check(RuleBase(shipped, found.thresholds, found.measures, found.by_id, found.limits)),
        *_silenced(base, found, shipped),
        *_no_more(base, found),
    )


def _silenced(base: RuleBase, found: RuleBase, shipped: Iterable[Rule]) -> Iterator[Problem]:
    guard = guarded(base)
    for rule in shipped:
        before = base.by_id[rule.id]
        if rule.condition == before.condition:
            continue
        if not possible(found.measures, rule.condition):
            yield _at(_moved(rule, found), rule.id, "thresholds under which it never fires", "others, or the rule off")
        elif rule.id in guard and not implied(found.measures, before.condition, rule.condition):
            told = "a threshold that silences it where it fired as shipped"
            yield _at(_moved(rule, found), rule.id, told, "a second look: it is about safety")


def _no_more(base: RuleBase, found: RuleBase) -> Iterator[Problem]:
    for change in found.changes:
        rule = base.by_id[change.name] if change.kind is ChangeKind.OFF else None
        if rule is not None and rule.concludes:
            told = f"nothing in its place: {_value(rule)} is no longer concluded"
            yield _at(change, rule.id, told, "a second look at what reads it")
