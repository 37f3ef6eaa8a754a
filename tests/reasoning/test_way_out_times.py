"""Two times that are shown alike are not set against each other."""

import pytest
from small_jobs import STEEL, job, solid

from advisor.analysis.opened import way_out
from advisor.choosing.advice import advise


@pytest.mark.parametrize(
    ("share", "told"),
    [(1.0, " s as now."), (1.0001, " s as now."), (1.2, " s instead of "), (0.8, " s; the good way now takes ")],
)
def test_a_cutter_that_takes_as_long_is_told_so(share: float, told: str) -> None:
    found = advise(job({"kind": "step", "length": 120, "width": 12, "depth": 16}, [solid(16, 50)], STEEL))
    answer = found.features[0]
    assert answer.best is not None
    before = answer.best._replace(time=share * answer.best.time)
    assert told in way_out("With it", answer, before).text.replace("\u00a0", " ")
