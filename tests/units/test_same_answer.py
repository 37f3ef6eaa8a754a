"""The same job written in mm and in inches has the same answer, whatever crib and machine are written in."""

from __future__ import annotations

from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import advisor
from advisor.files.units import Units
from tests.jobs.strategies import written_features
from tests.units.written import JOBS, read

BOTH: tuple[Units, Units] = ("mm", "inch")
WORDS = frozenset({"kind", "floor", "open_ends"})


def data(assignment: advisor.Assignment) -> dict[str, Any]:
    """The answer as data, without what says in which units the job is written."""
    found = advisor.as_data(advisor.advise(assignment))
    assert found.pop("job_units") == assignment.job.units
    return found


@pytest.mark.parametrize("name", JOBS)
def test_job_crib_and_machine_may_each_be_in_either(name: str, tmp_path: Path) -> None:
    found = [data(read(tmp_path / "-".join(units), name, *units)) for units in product(BOTH, BOTH, BOTH)]
    assert all(one == found[0] for one in found)


def written(feature: dict[str, Any], units: Units) -> str:
    sizes = {
        key: value if key in WORDS or units == "mm" else f"{value / 25.4!r} in"[:-3]
        for key, value in feature.items()
        if key != "open_sides"
    }
    told = ", ".join(
        f"{key}: {str(value).lower() if isinstance(value, bool) else value}" for key, value in sizes.items()
    )
    return f"part: any\nunits: {units}\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n  - {{id: X1, {told}}}\n"


@settings(max_examples=25, deadline=None)
@given(written_features())
def test_any_job_in_inches_is_answered_as_in_mm(feature: dict[str, Any]) -> None:
    in_mm, in_inches = (advisor.parse_job(written(feature, units)) for units in BOTH)
    assert in_mm.job.features == in_inches.job.features
    one, other = (advisor.as_data(advisor.advise(job, quick=True)) for job in (in_mm, in_inches))
    assert (one.pop("job_units"), other.pop("job_units")) == BOTH
    assert one == other


@given(st.integers(1, 40 * 64))
def test_a_size_in_sixty_fourths_is_told_as_it_is_on_the_drawing(sixty_fourths: int) -> None:
    from advisor.files.unit_scales import showing
    from advisor.knowledge.wording import given as told_as_given

    text = f"{sixty_fourths / 64:.6f}".rstrip("0").rstrip(".")
    with showing("inch"):
        assert told_as_given(round(sixty_fourths * 25.4 / 64, 7)) == f"{text}\xa0in"


def test_a_plan_in_mm_beside_a_job_in_inches_is_that_in_inches(tmp_path: Path) -> None:
    job = read(tmp_path, "manifold", "inch", "inch")
    plan = "operations:\n  - {feature: P1, cutter: M500, axial_depth: %s, radial_width: %s, feed_rate: %s}\n"
    in_inches = advisor.parse_plan(plan % (0.4, 0.1, 60), job)
    in_mm = advisor.parse_plan("units: mm\n" + plan % (10.16, 2.54, 1524), job)
    reviews = [advisor.review_plan(one, job) for one in (in_inches, in_mm)]
    assert [one.text for one in reviews[0].findings] == [one.text for one in reviews[1].findings]
    texts = [advisor.as_text(one, 4000) for one in reviews]
    assert "are read in inches and in/min, as in the job." in " ".join(texts[0].split())
    assert "are read in mm and mm/min, as the plan says. All values are shown in inches." in " ".join(texts[1].split())
    other = read(tmp_path / "mm", "manifold", "mm", "inch")
    plan_in_inches = advisor.parse_plan("units: in\n" + plan % (0.4, 0.1, 60), other)
    told = advisor.as_text(advisor.review_plan(plan_in_inches, other), 4000)
    assert "All values are shown in mm." in " ".join(told.split())


def test_the_data_of_a_job_in_inches_stay_in_mm(tmp_path: Path) -> None:
    with TemporaryDirectory() as other:
        jobs = read(Path(other), "manifold", "mm", "mm"), read(tmp_path, "manifold", "inch", "inch")
        whys = [advisor.as_data(advisor.explain(job, "P1")) for job in jobs]
        asides = [advisor.as_data(advisor.compare(job, "P1", method="layered_pocketing")) for job in jobs]
        plans = [advisor.parse_operations("P1: M500 levels 2", job) for job in jobs]
        reviews = [advisor.as_data(advisor.review_plan(plan, job)) for plan, job in zip(plans, jobs, strict=True)]
    for one, two in (whys, asides, reviews):
        assert (one.pop("job_units"), two.pop("job_units")) == BOTH
        one.pop("units", None), two.pop("units", None)  # those of the plan
        assert one == two
