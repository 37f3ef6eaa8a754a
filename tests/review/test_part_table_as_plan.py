"""The part table of an advice, saved as CSV, is a plan that the review reads and lets pass."""

from pathlib import Path

import pytest

from advisor.model.candidate import SOUND
from advisor.paths import cases_dir
from advisor.readers.plan import read_plan
from advisor.readers.plan_rows import known_of
from advisor.render.part_csv import part_csv
from advisor.review.verdict import review
from tests.review.planning import advice, assignment

CASES = sorted(path.parent.name for path in cases_dir().glob("*/job.yaml"))
ASKS_FOR_MORE = {"rest-left-in-the-corners", "walls-of-the-slot-keep-rest"}  # operations that are no row of the table


@pytest.mark.parametrize("case", CASES)
def test_the_part_table_is_a_plan(case: str, tmp_path: Path) -> None:
    if any(answer.grade not in SOUND for answer in advice(case).features):
        pytest.skip("a feature has no sound way")
    job, saved = assignment(case), tmp_path / "advice.csv"
    saved.write_text(part_csv(advice(case)), encoding="utf-8")
    plan = read_plan(saved, job.job.units, known_of(job))
    found = review(plan, job)
    heavy = {one.rule.id for one in found.findings if one.weight in ("stop", "change")}
    assert heavy <= ASKS_FOR_MORE
    assert plan.units == job.job.units
