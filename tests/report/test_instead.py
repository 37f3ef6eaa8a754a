"""What is said of a way that takes longer: what was held back in it, where that costs the time."""

from dataclasses import replace

import pytest
import worked

from advisor.reasoning.candidates import Candidate
from advisor.reasoning.contrast import Alternative, alternatives, costly
from advisor.reasoning.plan import Held
from advisor.reasoning.time_parts import time_parts
from advisor.report.feature import instead
from advisor.report.words import held_text

EVERY = [
    (name, found, other)
    for name, found in worked.every_feature()
    for other in alternatives(found, worked.advice(name).bench.base)
]


def by_time(other: Alternative) -> bool:
    return ", but " in other.deciding and other.deciding.startswith("As ")


def test_only_a_way_that_loses_by_its_time_tells_what_was_held_back() -> None:
    told = [other for _, _, other in EVERY if other.held]
    assert told
    assert all(by_time(other) for other in told)
    assert any(by_time(other) and not other.held for _, _, other in EVERY)


def test_what_was_held_back_stands_once_in_the_line_of_its_way() -> None:
    for name, found in worked.every_feature():
        base = worked.advice(name).bench.base
        for other, line in zip(alternatives(found, base), instead(found, base), strict=True):
            assert ("Held back in it: " in line.text) is (other.held is not None)
            assert other.held is None or held_text(other.held, base) in line.text


@pytest.mark.parametrize(("after", "told"), [(0.94, True), (0.96, False)])
def test_a_setting_that_was_hardly_held_back_is_not_told(after: float, told: bool) -> None:
    name, found, other = next(
        one for one in EVERY if by_time(one[2]) and one[1].best is not None and _cut_grew_most(one[1].best, one[2])
    )
    plan = other.candidate.plan
    assert plan is not None
    held = Held("feed_per_tooth", 1.0, after, "spindle power at 3 000 /min")
    rival = other.candidate._replace(plan=replace(plan, held=[held]))
    limits = worked.advice(name).bench.base.limits
    assert (costly(found.best, rival, found.candidates, limits) is held) is told


def _cut_grew_most(best: Candidate, other: Alternative) -> bool:
    mine, his = time_parts(best), time_parts(other.candidate)
    return max(mine, key=lambda part: his[part] - mine[part]) == "cut"
