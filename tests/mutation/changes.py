"""What may go wrong in one rule or threshold, one thing at a time: the small changes that the checks must notice.

A number is moved by one part in a hundred (a count by one, nought by a hundredth) either way and to nought; a
comparison is turned; a condition, a rule, an override is dropped; a verdict or a conclusion is another.
"""

from collections import Counter
from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from advisor.knowledge.conditions import OPPOSITE, All, Any, Compare, Condition, Known, quantise
from advisor.knowledge.measures import LEVELS, Measure, later_level
from advisor.knowledge.schema import WEIGHTS, Rule, RuleBase, reads

PART, HUNDREDTH, ONE = 0.01, 0.01, 1.0
LEAST = 1e-4  # rules see four decimals: less could not be told from nothing
TWIN = {"<": "<=", "<=": "<", ">": ">=", ">=": ">"}
MIRROR = {"<": ">", "<=": ">=", ">": "<", ">=": "<="}
OTHER_VERDICTS = {"for": ("against",), "against": ("for", "forbids"), "forbids": ("against",)}
Path = tuple[int, ...]


class Changed(NamedTuple):
    """A rule as it should not be: what was changed in it, and how."""

    what: str
    how: str
    rule: Rule


def moved(value: float, unit: str) -> Iterator[float]:
    """Yield the numbers beside a number that checks must tell from it, and nought."""
    little = ONE if unit == "count" else max(PART * abs(value), LEAST) if value else HUNDREDTH
    yield from (quantise(value - little), quantise(value + little))
    if value not in (0, little):
        yield 0.0


def changed_rules(rule: Rule, base: RuleBase) -> Iterator[Changed]:
    """Yield a rule with everything that can be wrong with it, one thing at a time; its loss is not among them."""
    yield from _changed_conditions(rule, base)
    for verdict in OTHER_VERDICTS.get(rule.verdict, ()):
        yield Changed("verdict", verdict, rule._replace(verdict=verdict))
    for other in rule.overrides:
        left = tuple(name for name in rule.overrides if name != other)
        yield Changed(f"overrides {other}", "dropped", rule._replace(overrides=left))
    if rule.harm:
        yield Changed("harm", "off", rule._replace(harm=False))
    if rule.outright:
        yield Changed("outright", "off", rule._replace(outright=False))
    for weight in WEIGHTS if rule.weight else ():
        if weight != rule.weight:
            yield Changed("weight", weight, rule._replace(weight=weight))
    if rule.concludes:
        fact, value, name = rule.concludes
        for other_value in _other_conclusions(value, base.measures[fact]):
            how = other_value if isinstance(other_value, str) else f"{other_value:g}"
            yield Changed(f"concludes {fact}", how, rule._replace(concludes=(fact, other_value, name)))


def _other_conclusions(value: float | str, measure: Measure) -> Iterator[float | str]:
    if isinstance(value, str):
        yield from (word for word in measure.words if word != value)
    else:
        yield from moved(value, measure.unit)


def _changed_conditions(rule: Rule, base: RuleBase) -> Iterator[Changed]:
    seen: Counter[str] = Counter()
    for path, node in _nodes(rule.condition):
        what = _told(node)
        seen[what] += 1
        label = what if seen[what] == 1 else f"{what} ({seen[what]})"
        if path:
            yield Changed(label, "dropped", without(rule, path, base))
        for how, other in _turned(node, base):
            yield Changed(label, how, rule._replace(condition=_replaced(rule.condition, path, other)))


def _nodes(tree: Condition, path: Path = ()) -> Iterator[tuple[Path, Condition]]:
    """Every part of a tree with the way to it; groups inside the tree count as parts, to be dropped whole."""
    if isinstance(tree, Compare | Known) or path:
        yield path, tree
    if isinstance(tree, All | Any):
        for place, part in enumerate(tree.parts):
            yield from _nodes(part, (*path, place))


def _told(node: Condition) -> str:
    if isinstance(node, Compare):
        value = node.threshold or (node.value if isinstance(node.value, str) else f"{node.value:g}")
        return f"{node.fact} {node.operator} {value}"
    if isinstance(node, Known):
        return f"{'known' if node.present else 'not known'} {node.fact}"
    return f"{'all' if isinstance(node, All) else 'any'} of {', '.join(_told(part) for part in node.parts)}"


def _turned(node: Condition, base: RuleBase) -> Iterator[tuple[str, Condition]]:
    """A comparison with other operators and other numbers, a presence test the other way round."""
    if isinstance(node, Known):
        yield "turned", Known(node.fact, not node.present)
    if not isinstance(node, Compare):
        return
    measure = base.measures[node.fact]
    if isinstance(node.value, str):
        operators = [OPPOSITE[node.operator]]
    else:
        operators = [OPPOSITE[node.operator], *_other_operators(node.operator, node.value, measure)]
        for value in moved(node.value, measure.unit):
            yield f"{value:g}", Compare(node.fact, node.operator, value, node.threshold)
    for operator in operators:
        yield operator, Compare(node.fact, operator, node.value, node.threshold)


def _other_operators(operator: str, value: float, measure: Measure) -> Iterator[str]:
    """The operators that a slip may put in place of one; none that says the same within the range of the measure."""
    if operator in TWIN:
        yield from (TWIN[operator], MIRROR[operator])
        return
    least, most = measure.range or (-inf, inf)
    if value > least:
        yield "<="
    if value < most:
        yield ">="


def _replaced(tree: Condition, path: Path, other: Condition | None) -> Condition:
    """The tree with another part at the end of the way; without it, where there is no other."""
    if not path:
        assert other is not None, "the whole of a condition is never dropped"
        return other
    assert isinstance(tree, All | Any)
    place = path[0]
    middle = () if len(path) == 1 and other is None else (_replaced(tree.parts[place], path[1:], other),)
    return type(tree)((*tree.parts[:place], *middle, *tree.parts[place + 1 :]))


def without(rule: Rule, path: Path, base: RuleBase) -> Rule:
    """Return a rule without a part of its condition, as if it had been struck out in the file."""
    about = list(rule.about)
    if path[0] < len(about):
        fact, words = about[path[0]]
        left = tuple(word for place, word in enumerate(words) if place != path[1]) if len(path) == 2 else ()
        about[path[0] : path[0] + 1] = [(fact, left)] if left else []
    smaller = rule._replace(about=tuple(about), condition=_replaced(rule.condition, path, None))
    level = LEVELS[0]
    for fact in reads(smaller):
        level = later_level(level, base.measures[fact].level)
    return smaller._replace(level=level)
