"""The engine bears one question at a time; whoever asks may do so from any number of threads."""

import json
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import pytest

from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.render.recording import record
from advisor.service import advise
from advisor.situation import bench

THREADS, ROUNDS = 8, 5
CASES = ("guide-slot-narrow", "instrument-plate-slow-axes", "valve-block-no-way", "winch-side-plate")


@pytest.fixture
def _nothing_remembered() -> None:
    bench.shared_inference.cache_clear()
    bench.house_inference.cache_clear()


def answered(case: str, house: Path | None = None) -> str:
    given = read_assignment(cases_dir() / case / "job.yaml")
    found = record(advise(given.model_copy(update={"house": house}), quick=True))
    return json.dumps(found.model_dump(mode="json", by_alias=True))


@pytest.mark.usefixtures("_nothing_remembered")
def test_eight_threads_get_the_answers_that_one_gets() -> None:
    asked = CASES * ROUNDS
    with ThreadPoolExecutor(THREADS) as pool:
        together = list(pool.map(answered, asked))
    assert together == [answered(case) for case in CASES] * ROUNDS


@pytest.mark.usefixtures("_nothing_remembered")
def test_house_rules_of_several_threads_do_not_mix(tmp_path: Path) -> None:
    houses = []
    for number in range(bench.MOST_HOUSES + 2):
        folder = tmp_path / f"house{number}"
        folder.mkdir()
        text = f"thresholds: {{time_band: {{value: {0.01 + number / 100}, reason: worn spindle}}}}\n"
        (folder / "house.yaml").write_text(text, encoding="utf-8")
        houses.append(folder)
    ask = partial(answered, CASES[0])
    with ThreadPoolExecutor(THREADS) as pool:
        together = list(pool.map(ask, houses * 3))
    assert together == [ask(house) for house in houses] * 3
