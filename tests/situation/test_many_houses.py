"""Many jobs with many houses in one process: what is kept of them has an end, and answers do not hang on it."""

import gc
import os
import weakref
from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.choosing.advice import advise
from advisor.files.problems import BadInput
from advisor.inference import Inference, start
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.render.recording import record
from advisor.situation import bench
from advisor.situation.bench import bench_of, inference_of
from tests.jobs.completed import all_completed

rulesets = pytest.importorskip("advisor.inference.rulesets")

JOBS = tuple(
    cases_dir() / name / "job.yaml" for name in ("guide-slot-narrow", "rack-slot-sound-axes", "keyway-cut-to-size")
)
HOUSE = (
    "thresholds: {{open_width_ratio_least: {{value: 2, reason: worn axes}},"
    " loop_width_ratio_least: {{value: {value}, reason: worn axes}}}}\n"
)


@pytest.fixture(autouse=True)
def none_before() -> Iterator[None]:
    bench.house_inference.cache_clear()
    rulesets.free_idle(0)
    yield
    bench.house_inference.cache_clear()


def house(folder: Path, value: float = 1.9) -> Path:
    """Return a folder of house rules that moves a threshold which several families of rules compare with."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "house.yaml").write_text(HOUSE.format(value=value), encoding="utf-8")
    return folder


def asked(job: Path, folder: Path) -> Assignment:
    return read_assignment(job).model_copy(update={"house": folder})


def spellings(tmp_path: Path) -> list[Path]:
    """Return forty paths that come to the same house, and a copy of it."""
    home = house(tmp_path / "shop" / "house")
    (tmp_path / "link").symlink_to(home)
    (tmp_path / "x").mkdir()
    up = [Path(tmp_path, *("x", "..") * times, "shop", ".", "house") for times in range(35)]
    named = [home, tmp_path / "link", Path(os.path.relpath(home)), Path(f"{tmp_path}//shop/./x/../house")]
    (tmp_path / "shop" / "x").mkdir()
    return [*named, *up, house(tmp_path / "other" / "house")]


def test_a_house_under_another_spelling_or_in_another_folder_is_set_up_once(tmp_path: Path) -> None:
    found = {id(inference_of(path)) for path in spellings(tmp_path)}
    assert len(found) == 1


def test_rulesets_do_not_grow_with_the_spellings_of_a_house(tmp_path: Path) -> None:
    first, *others = spellings(tmp_path)
    for job in JOBS:
        advise(asked(job, first), whole=False)
    alive = rulesets.alive()
    for number, path in enumerate(others):
        advise(asked(JOBS[number % len(JOBS)], path), whole=False)
        assert rulesets.alive() == alive


def test_rulesets_and_houses_kept_do_not_grow_with_the_number_of_houses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rulesets, "MOST_IDLE", 60)
    kept: list[weakref.ref[Inference]] = []
    built = most = 0
    make = rulesets.Ruleset

    def counted(content: object) -> object:
        nonlocal built
        built += 1
        return make(content)

    monkeypatch.setattr(rulesets, "Ruleset", counted)
    for number in range(40):
        assignment = asked(JOBS[number % len(JOBS)], house(tmp_path / str(number), 1.4 + number / 100))
        before, with_house = built, bench_of(assignment)
        assert rulesets.alive() <= 60
        kept.append(weakref.ref(with_house.inference))
        advise(assignment, with_house, whole=False)
        most = max(most, built - before)
        assert rulesets.alive() <= 60 + most, "of one job at most so many more"
    assert built > 2 * 60, "else nothing had to be freed"
    del with_house
    gc.collect()
    assert sum(found() is not None for found in kept) <= bench.MOST_HOUSES


def test_what_houses_share_with_the_shipped_rules_is_there_once(tmp_path: Path) -> None:
    job = read_assignment(JOBS[0])
    advise(job, bench_of(job, start(rule_base())), whole=False)  # with nothing remembered from other tests
    shipped = rulesets.alive()
    advise(asked(JOBS[0], house(tmp_path)), whole=False)
    assert shipped < rulesets.alive() < 1.5 * shipped


def test_answers_are_the_same_whatever_is_freed_between_the_jobs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Houses in turns, in each round with a fault in one; the rounds differ in what is kept."""
    houses = [house(tmp_path / str(number), 1.2 + number / 5) for number in range(5)]
    faulty = tmp_path / "faulty"
    faulty.mkdir()
    (faulty / "house.yaml").write_text("thresholds: {radial_lower_depth_ratio: {value: 0.5, reason: a}}\n")
    rounds = []
    for most in (1000, 40, 0):
        monkeypatch.setattr(rulesets, "MOST_IDLE", most)
        told: list[object] = []
        for number, folder in enumerate([*houses, faulty, *houses[::-1]]):
            if most == 0:
                bench.house_inference.cache_clear()
            try:
                told.append(
                    record(all_completed(advise(asked(JOBS[number % len(JOBS)], folder), whole=False))).model_dump()
                )
            except BadInput as error:
                told.append([str(problem) for problem in error.problems])
        rounds.append(told)
    assert rounds[0] == rounds[1] == rounds[2]
    assert [isinstance(one, list) for one in rounds[0]] == [False] * 5 + [True] + [False] * 5
    assert len({str(one) for one in rounds[0]}) > 3


def test_what_is_wrong_with_a_house_is_told_of_the_file_that_the_job_names(tmp_path: Path) -> None:
    """Also where another spelling was read first."""
    text = "thresholds: {radial_lower_depth_ratio: {value: 0.5, reason: a}}\n"
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "house.yaml").write_text(text)
        with pytest.raises(BadInput) as caught:
            advise(asked(JOBS[1], tmp_path / name))
        assert caught.value.problems[0].file == str(tmp_path / name / "house.yaml")


def test_a_house_that_is_written_anew_is_read_anew(tmp_path: Path) -> None:
    first = inference_of(house(tmp_path, 1.9))
    assert inference_of(house(tmp_path, 2.0)).base.limits["loop_width_ratio_least"] == 2.0
    assert inference_of(house(tmp_path, 1.9)) is first
