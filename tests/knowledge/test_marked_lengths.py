"""Lengths, forces and powers that stand in the prose of rules are marked, so that they are told in shown units."""

import re

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import misnamed

BARE = re.compile(r"(?<![{\d.])(?<!to )\b[\d.]+ (mm|kW|Nm|N|m/min|µm|cm³/min)\b(?!\})")
SAYS_WHAT_AN_INCH_IS = ("An inch is 25.4 mm.",)


def told() -> list[tuple[str, str]]:
    base = rule_base()
    found = [(rule.id, f"{rule.because} {rule.remedy}") for rule in base.rules]
    found += [(one.name, one.what) for one in base.thresholds.values()]
    return found + [(one.name, f"{one.what} {one.not_given}") for one in base.measures.values()]


def test_no_quantity_of_the_prose_is_left_unmarked() -> None:
    bare = {
        name: text
        for name, text in told()
        if BARE.search(text) and not any(one in text for one in SAYS_WHAT_AN_INCH_IS)
    }
    assert not bare


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("Leave {0.2 mm}.", False),
        ("Leave {0.2 to 0.5 mm}.", False),
        ("{60 to 120 m/min} here.", False),
        ("Leave {0.2 mmm}.", True),
        ("Leave {0.2}.", True),
        ("Leave {a lot mm}.", True),
    ],
)
def test_a_mark_that_cannot_be_read_is_told_as_a_lone_brace(text: str, wrong: bool) -> None:
    assert bool(list(misnamed(text, ()))) == wrong
