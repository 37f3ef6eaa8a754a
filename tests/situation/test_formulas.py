"""Every formula of the register of measures, worked out again from the numbers of all cases."""

import math
import re
from collections import Counter
from typing import Any

from advisor.knowledge.evidence import quantised
from advisor.knowledge.evidence import worked as worked_out
from advisor.knowledge.formulas import circumstances
from advisor.knowledge.shipped import rule_base
from tests.cases import worked
from tests.situation.register import worked_out_by_the_register

BASE = rule_base()
FUNCTIONS: dict[str, Any] = {
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "tan": lambda angle: math.tan(math.radians(angle)),
    "acos": lambda value: math.degrees(math.acos(value)),
    "rad": math.radians,
    "min": min,
    "max": max,
    "ceil": lambda value: math.ceil(value - 1e-9),  # a whole number that a hair was added to stays itself
    "pi": math.pi,
}
NAME = re.compile(r"[A-Za-z_]\w*")
BY_HAND = {  # measures that Python works out beside the formula that is shown; those of a review have a test there
    measure.name for measure in BASE.measures.values() if measure.formulas and measure.since != "review"
} - worked_out_by_the_register()


def test_every_formula_gives_the_number_that_is_shown() -> None:
    """A formula that nobody could work out again by hand would be worse than none."""
    seen, wrong = Counter[str](), {}
    for case, found in worked.every_feature():
        for candidate in found.candidates:
            facts = candidate.facts
            for name, value in facts.items():
                formula = BASE.measures[name].formula(*circumstances(facts)) if name in BASE.measures else ""
                names = set(NAME.findall(formula)) - set(FUNCTIONS)
                if (
                    not formula
                    or isinstance(value, str)
                    or not all(part in facts or part in BASE.limits for part in names)
                ):
                    continue
                known = {part: facts.get(part, BASE.limits.get(part)) for part in names}
                again = eval(formula, {"__builtins__": {}}, FUNCTIONS | known)
                seen[name] += 1
                if not math.isclose(again, value, rel_tol=1e-4, abs_tol=1e-6):
                    wrong.setdefault(
                        name,
                        (
                            case,
                            found.region.id,
                            candidate.method,
                            candidate.cutter.id,
                            candidate.entry,
                            formula,
                            again,
                            value,
                        ),
                    )
    assert not wrong
    assert BY_HAND - set(seen) == set()


def test_the_formula_is_shown_with_its_numbers() -> None:
    best = worked.feature("guide-slot-narrow", "S1").best
    assert best is not None
    shown = worked_out("width_ratio", best.facts, BASE)
    assert shown.formula == "narrowest_width / DC"
    assert shown.numbers.replace("\u00a0", " ") == "11.8 / 10"
    assert shown.value == "1.18"


def test_what_the_rules_see_is_quantised() -> None:
    assert quantised({"DC": 1.00001, "feature": "slot"}) == {"DC": 1.0, "feature": "slot"}
