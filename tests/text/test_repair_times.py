"""Two times that are shown alike are not set against each other."""

import pytest

from advisor.analysis.length_change import repair_by
from advisor.choosing.advice import advise
from advisor.text.repairs import repair_text
from tests.jobs.small import STEEL, job, solid


@pytest.mark.parametrize(
    ("share", "told"),
    [(1.0, " s as now."), (1.0001, " s as now."), (1.2, " s instead of "), (0.8, " s; the good way now takes ")],
)
def test_a_cutter_that_takes_as_long_is_told_so(share: float, told: str) -> None:
    found = advise(job({"kind": "step", "length": 120, "width": 12, "depth": 16}, [solid(16, 50)], STEEL))
    answer = found.features[0]
    assert answer.best is not None
    before = answer.best._replace(time=share * answer.best.time)
    assert told in repair_text(repair_by(answer, cutter=before.cutter, now=before)).replace("\u00a0", " ")
