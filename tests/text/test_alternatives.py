"""What is said of a way that takes longer: what was held back in it, where that costs the time."""

import re
from dataclasses import replace

import pytest

from advisor.analysis.alternatives import alternatives, costly
from advisor.choosing.time_parts import time_parts
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import Alternative
from advisor.model.candidate import Candidate
from advisor.model.cause import Cause, Held, HeldBy
from advisor.text import alternatives as alternatives_text
from advisor.text.alternatives import difference_text, time_between, where_time_goes
from advisor.text.feature import instead
from advisor.text.words import held_text
from tests.cases import worked

BASE = rule_base()
EVERY = [
    (name, found, other)
    for name, found in worked.every_feature()
    for other in alternatives(found, worked.advice(name).bench.base)
]


def by_time(other: Alternative) -> bool:
    text = difference_text(other.difference, BASE)
    return ", but " in text and text.startswith("Also ")


def test_only_a_way_that_loses_by_its_time_tells_what_was_held_back() -> None:
    told = [other for _, _, other in EVERY if other.held]
    assert told
    assert all(by_time(other) for other in told)
    assert any(by_time(other) and not other.held for _, _, other in EVERY)


def test_what_was_held_back_stands_once_in_the_line_of_its_way() -> None:
    for name, found in worked.every_feature():
        base = worked.advice(name).bench.base
        for other, line in zip(alternatives(found, base), instead(found, base), strict=True):
            assert (" Limited by: " in line.text) is (other.held is not None)
            assert other.held is None or held_text(other.held, base) in line.text


@pytest.mark.parametrize(("after", "told"), [(0.94, True), (0.96, False)])
def test_a_setting_that_was_hardly_held_back_is_not_told(after: float, told: bool) -> None:
    name, _, other = next(
        one for one in EVERY if by_time(one[2]) and one[1].best is not None and _cut_grew_most(one[1].best, one[2])
    )
    plan = other.candidate.plan
    assert plan is not None
    held = Held("feed_per_tooth", 1.0, after, Cause(HeldBy.SPINDLE_POWER, (3000.0,)))
    rival = other.candidate._replace(plan=replace(plan, held=[held]))
    limits = worked.advice(name).bench.base.limits
    assert (costly(other.difference._replace(rival=rival), limits) is held) is told


def _cut_grew_most(best: Candidate, other: Alternative) -> bool:
    mine, his = time_parts(best), time_parts(other.candidate)
    return max(mine, key=lambda part: his[part] - mine[part]) == "cut"


GAP = "\u00a0"
COMPARED = re.compile(r"(\S+\xa0(?:s|mm)) (?:[a-z ]+ )?(?:instead of|against) (\S+\xa0(?:s|mm))")


def test_no_time_is_compared_with_one_that_looks_the_same() -> None:
    pairs = [COMPARED.findall(difference_text(other.difference, BASE)) for _, _, other in EVERY]
    assert any(pairs)
    assert not [one for found in pairs for one in found if one[0] == one[1]]


@pytest.mark.parametrize(
    ("longer", "text"),
    [
        (56.49, "the difference is negligible"),  # by 0.83 s, and both would be shown as 56 s
        (56.51, f"in the cut 57{GAP}s instead of 56{GAP}s"),
    ],
)
def test_where_the_time_goes_is_not_told_by_two_numbers_that_look_the_same(
    monkeypatch: pytest.MonkeyPatch, longer: float, text: str
) -> None:
    best, rival = (EVERY[0][2].candidate._replace(time=time) for time in (70.0, 71.0))
    parts = {id(best): 55.66, id(rival): longer}
    monkeypatch.setattr(alternatives_text, "time_parts", lambda one: {"cut": parts[id(one)]})
    assert where_time_goes(best, rival) == text


@pytest.mark.parametrize(
    ("time", "text"),
    [
        (1014.9, f"the same time, 1{GAP}010{GAP}s"),  # 0.97 % longer than 1005.1 s, and shown alike
        (1015.1, f"0.99{GAP}% longer, 1{GAP}020{GAP}s against 1{GAP}010{GAP}s"),
    ],
)
def test_two_times_that_look_the_same_are_told_as_the_same(time: float, text: str) -> None:
    best, rival = (EVERY[0][2].candidate._replace(time=one) for one in (1005.1, time))
    assert time_between(best, rival) == text
