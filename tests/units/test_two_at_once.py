"""Units are those of the thread that shows an answer: two threads may show different ones at once."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest

import advisor
from advisor.files.unit_scales import in_units_of, parts_in_units_of, showing, shown_units
from advisor.files.units import Units
from advisor.knowledge.wording import quantity
from tests.units.written import metric_left, read


def test_one_thread_shows_inches_and_another_mm_at_the_same_time(tmp_path: Path) -> None:
    jobs = [read(tmp_path / units, "manifold", units, "mm") for units in ("mm", "inch")]  # type: ignore[arg-type]
    answers = [advisor.advise(job, quick=True) for job in jobs]
    alone = [(advisor.as_text(answer), advisor.as_html(answer)) for answer in answers]
    meet = Barrier(4)

    def show(place: int) -> tuple[str, str]:
        meet.wait()
        return [(advisor.as_text(answers[place]), advisor.as_html(answers[place])) for _ in range(5)][-1]

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(show, [0, 1, 0, 1]))
    assert found == [alone[0], alone[1], alone[0], alone[1]]
    assert metric_left(alone[0][0])
    assert not metric_left(alone[1][0])


def test_a_number_is_shown_in_the_units_of_its_own_thread() -> None:
    meet = Barrier(2)

    def show(units: Units) -> set[str]:
        with showing(units):
            meet.wait()
            return {quantity(25.4, "mm") for _ in range(20_000)}

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(show, ["mm", "inch"])) == [{"25.4\xa0mm"}, {"1\xa0in"}]


def test_what_is_made_part_by_part_is_in_one_unit_whoever_takes_it() -> None:
    @parts_in_units_of(lambda units: units)
    def parts(units: Units) -> Iterator[str]:
        yield from (quantity(length, "mm") for length in (25.4, 50.8))

    in_inches, in_mm = parts("inch"), parts("mm")
    assert [next(in_inches), next(in_mm), next(in_inches), next(in_mm)] == [
        "1\xa0in",
        "25.4\xa0mm",
        "2\xa0in",
        "50.8\xa0mm",
    ]
    assert shown_units() == "mm"


def test_the_units_are_again_as_before_after_a_fault() -> None:
    @in_units_of(lambda units: units)
    def broken(units: Units) -> str:
        raise KeyError(quantity(25.4, "mm"))

    with showing("inch"):
        with pytest.raises(KeyError, match=r"25\.4"):
            broken("mm")
        assert shown_units() == "inch"
    assert shown_units() == "mm"


def test_a_job_in_mm_is_told_in_mm_whatever_was_shown_before(tmp_path: Path) -> None:
    answer = advisor.advise(read(tmp_path, "hatch", "mm", "inch"), quick=True)
    told = advisor.as_text(answer), advisor.as_markdown(answer), advisor.as_html(answer)
    with showing("inch"):
        assert (advisor.as_text(answer), advisor.as_markdown(answer), advisor.as_html(answer)) == told
        in_mm = advisor.as_data(answer)
    assert in_mm == advisor.as_data(answer)
