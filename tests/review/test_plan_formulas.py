"""Every formula of the review's measures, worked out again from the numbers of the shipped plans."""

import math
import re
from typing import Any

from advisor.knowledge.formulas import circumstances
from advisor.knowledge.shipped import rule_base
from tests.review.planning import shipped
from tests.review.test_shipped_plans import PLANS

BASE = rule_base()
KNOWN: dict[str, Any] = {
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "min": min,
    "max": max,
}
OURS = {name: measure for name, measure in BASE.measures.items() if measure.since == "review"}


def test_every_formula_of_a_review_gives_the_number_that_is_shown() -> None:
    seen, wrong = set(), []
    for case, name in PLANS:
        for judged in shipped(case, name).operations:
            facts = judged.candidate.facts
            for measure in OURS.values():
                formula = measure.formula(*circumstances(facts))
                parts = set(re.findall(r"[A-Za-z_]\w*", formula)) - set(KNOWN)
                if not formula or measure.name not in facts or not parts <= {*facts, *BASE.limits}:
                    continue
                values = {part: facts.get(part, BASE.limits.get(part)) for part in parts}
                again = eval(formula, {"__builtins__": {}}, KNOWN | values)
                seen.add(measure.name)
                if not math.isclose(again, float(facts[measure.name]), rel_tol=1e-6, abs_tol=1e-9):
                    wrong.append((name, measure.name, again, facts[measure.name]))
    assert not wrong
    assert len(seen) >= 20


def test_every_number_of_a_review_lies_in_its_registered_range() -> None:
    outside = []
    for case, name in PLANS:
        for judged in shipped(case, name).operations:
            for measure in OURS.values():
                value = judged.candidate.facts.get(measure.name)
                if value is not None and measure.range is not None:
                    least, most = measure.range
                    if not least <= float(value) <= most:
                        outside.append((name, measure.name, value))
    assert not outside
