"""A longer cutter that is wished for really betters the answer, and one step shorter would not."""

from pathlib import Path

from advisor.analysis.inputs import changed_cutter
from advisor.analysis.upgrades import STEP, upgrades
from advisor.choosing.advice import advise, advise_feature
from advisor.choosing.ranking import Limits, foremost_of
from advisor.model.candidate import GRADES, Candidate
from advisor.readers.assignment import read_assignment
from advisor.text.changes import upgrade_text

CASES = sorted((Path(__file__).parents[2] / "cases").glob("*/job.yaml"))


def test_every_wish_betters_the_answer_and_is_the_smallest() -> None:
    seen = 0
    for job in CASES:
        assignment = read_assignment(job)
        advice = advise(assignment)
        for answer, feature in zip(advice.features, assignment.job.features, strict=True):
            for upgrade in upgrades(answer, feature, assignment.crib, advice.bench):
                seen += 1
                assert answer.best is not None
                longer = changed_cutter(upgrade.cutter, upgrade.name, upgrade.length)
                assert longer is not None
                crib = [longer if cutter.id == longer.id else cutter for cutter in assignment.crib]
                best = advise_feature(feature, crib, advice.bench).best
                assert best is not None
                better_grade = GRADES.index(best.grade) < GRADES.index(answer.best.grade)
                assert better_grade or best.time <= 0.85 * answer.best.time
                shorter = changed_cutter(upgrade.cutter, upgrade.name, upgrade.length - STEP)
                assert shorter is not None
                alone = [shorter, *(cutter for cutter in assignment.crib if cutter.body == "drill")]
                less = advise_feature(feature, alone, advice.bench).best
                assert less is None or not _betters(less, answer.best, advice.bench.limits)
    assert seen >= 2


def _betters(found: Candidate, today: Candidate, limits: Limits) -> bool:
    """Whether a way comes before that of today, by a better grade or by 15 % of the time saved."""
    better = GRADES.index(found.grade) < GRADES.index(today.grade) or found.time <= 0.85 * today.time
    return better and foremost_of([today, found], limits) is found


def test_a_tall_wall_wants_flutes_that_cover_it() -> None:
    assignment = read_assignment(CASES[0].parents[1] / "housing-wall-beyond-flutes/job.yaml")
    advice = advise(assignment)
    (upgrade,) = upgrades(advice.features[0], assignment.job.features[0], assignment.crib, advice.bench)
    assert (upgrade.name, upgrade.better.plan and upgrade.better.plan.levels) == ("APMX", 1)


def test_a_wish_that_takes_longer_is_told_for_its_grade() -> None:
    assignment = read_assignment(CASES[0].parents[1] / "housing-wall-beyond-flutes/job.yaml")
    advice = advise(assignment)
    (upgrade,) = upgrades(advice.features[0], assignment.job.features[0], assignment.crib, advice.bench)
    assert "less time." in upgrade_text(upgrade)
    poor = upgrade.today._replace(grade="poor", time=0.8 * upgrade.better.time)
    assert (
        upgrade_text(upgrade._replace(today=poor))
        .replace("\u00a0", " ")
        .endswith("25 % more time than the poor way now.")
    )
