"""How long a proof takes is told from what it took until now; nothing is told before the pace is known."""

import pytest

from advisor.knowledge.shipped import rule_base
from advisor.proof import progress as working
from advisor.proof.evidence import most_jobs
from advisor.proof.plan_jobs import seldom
from advisor.proof.progress import SURE, Part, Work


class Clock:
    """A clock that stands until it is moved on."""

    def __init__(self) -> None:
        self.at = 100.0

    def __call__(self) -> float:
        return self.at


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    found = Clock()
    monkeypatch.setattr(working, "monotonic", found)
    return found


def steps(work: Work, clock: Clock, many: int, seconds: float) -> None:
    for _ in range(many):
        clock.at += seconds
        work.step()


def test_the_time_left_is_what_the_rest_takes_at_the_pace_until_now(clock: Clock) -> None:
    told: list[tuple[str, float]] = []
    parts = {"jobs": Part("jobs by chance", 100), "apart": Part("apart", 40)}
    work = Work(lambda one: told.append((one.now, round(one.left, 3))), parts)
    work.begin("jobs")
    steps(work, clock, SURE - 1, 0.5)
    assert told == [], "nineteen jobs are too few to tell the pace"
    steps(work, clock, 1, 0.5)
    assert told == [("jobs", 80 * 0.5 + 40 * 2 * 0.5)], "a pair takes as long as two jobs, until some were asked"
    work.at_most(30)
    assert work.left == pytest.approx(10 * 0.5 + 40 * 2 * 0.5)
    work.begin("apart")
    steps(work, clock, 10, 0.25)
    assert work.left == pytest.approx(30 * 0.25)
    assert work.spent == pytest.approx(20 * 0.5 + 10 * 0.25)
    assert told[-1][0] == "apart"


def test_more_than_was_thought_is_counted_and_less_is_not_waited_for(clock: Clock) -> None:
    work = Work(parts={"jobs": Part("jobs by chance", 2), "fires": Part("fires", 1)})
    work.begin("jobs")
    steps(work, clock, 5, 1.0)
    assert work.parts["jobs"].total == 5
    work.begin("fires")
    steps(work, clock, 1, 1.0)
    assert work.left == 0


def test_jobs_are_counted_once_for_all_rules_about_the_same() -> None:
    base = rule_base()
    one, other = base.by_id["drill-fits-the-hole"], base.by_id["drill-leaves-much"]
    assert most_jobs([one]) == most_jobs([one, other]) == 1200 + 120 + len(seldom())
    assert most_jobs([]) == 0
