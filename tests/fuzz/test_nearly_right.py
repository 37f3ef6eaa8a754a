"""Files that are nearly right are read as they stand and answered within bounds, or refused; nothing else happens."""

import json
from collections import Counter
from contextlib import suppress
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings

from advisor.choosing.advice import advise
from advisor.files.problems import BadInput
from advisor.knowledge.house import house_base
from advisor.knowledge.schema import ChangeKind
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.readers.assignment import read_assignment
from tests.fuzz.oracle import MadeUp, check_answer, check_read, number_of
from tests.fuzz.strategies import KINDS, Files, folder, folders
from tests.fuzz.trial import lay, trial

PLACE = settings(max_examples=25, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("kind", KINDS)
def test_nearly_right_files_are_answered_or_refused(kind: str, tmp_path: Path) -> None:
    @PLACE
    @given(files=folders(kind))
    def tried(files: Files) -> None:
        found = trial(files, tmp_path)
        assert found.ended in ("read", "refused"), found.told

    tried()


@pytest.mark.parametrize("kind", KINDS)
def test_a_seed_makes_the_same_files_again(kind: str) -> None:
    assert folder(Random(7), kind) == folder(Random(7), kind)


def test_many_of_the_files_read_well_and_many_do_not(tmp_path: Path) -> None:
    ended = [trial(folder(Random(seed), "crib"), tmp_path).ended for seed in range(80)]
    assert ended.count("read") >= 10
    assert ended.count("refused") >= 10


def test_of_the_jobs_that_read_well_some_have_several_alike_and_some_are_castings(tmp_path: Path) -> None:
    seen = Counter[str]()
    for seed in range(150):
        with suppress(BadInput):
            job = read_assignment(lay(folder(Random(seed), "job"), tmp_path)).job
            seen.update(["several"] if any(one.count > 1 for one in job.features) else [])
            seen.update(["in two parts"] if job.parts else [])
            seen.update(["casting"] if any(one.stock_wall or one.stock_floor for one in job.features) else [])
    assert seen["several"] >= 3
    assert seen["casting"] >= 3
    assert seen["in two parts"] >= 2


def test_of_the_houses_that_read_well_some_have_each_kind_of_change(tmp_path: Path) -> None:
    seen = Counter[ChangeKind]()
    for seed in range(250):
        with suppress(BadInput):
            lay(folder(Random(seed), "house"), tmp_path)
            seen.update({change.kind for change in house_base(rule_base(), tmp_path / "house").changes})
    assert min(seen[kind] for kind in (ChangeKind.MOVED, ChangeKind.OFF, ChangeKind.ADDED, ChangeKind.PREFERENCE)) >= 3


@pytest.mark.parametrize(
    ("text", "units", "mm"),
    [("12", "mm", 12), ("1", "inch", 25.4), ("3/4 in", "mm", 19.05), ("1-1/2 in", "mm", 38.1), ("5 mm", "inch", 5),
     ("1e1", "mm", 10), ("1_0", "mm", None), ("x", "mm", None), ("1/0", "mm", None), ("3 ell", "mm", None)],
)  # fmt: skip
def test_the_oracle_reads_lengths_by_itself(text: str, units: str, mm: float | None) -> None:
    assert number_of(text, units) == (None if mm is None else pytest.approx(mm))


def good(place: Path) -> Files:
    """The first folder without a slip that reads well."""
    for seed in range(1000):
        files = folder(Random(seed), "shop")
        if trial(files, place).ended == "read" and b"depth: " in files["job.yaml"]:
            return files
    raise AssertionError("none of a thousand")


def test_the_oracle_notices_a_number_read_wrong(tmp_path: Path) -> None:
    files = good(tmp_path)
    found = read_assignment(lay(files, tmp_path))
    check_read(files, found)
    first, *rest = found.job.features
    wrong = first.model_copy(update={"depth": first.depth * 1.001})
    with pytest.raises(MadeUp, match=r"feature\.depth"):
        check_read(files, found.model_copy(update={"job": found.job.model_copy(update={"features": (wrong, *rest)})}))


def casting(place: Path) -> tuple[Files, Assignment]:
    """The first folder that reads well whose job has a feature with stock on walls and floor."""
    for seed in range(1000):
        files = folder(Random(seed), "crib")
        with suppress(BadInput):
            found = read_assignment(lay(files, place))
            if found.job.parts:
                return files, found
    raise AssertionError("none of a thousand")


def test_the_oracle_notices_walls_of_a_casting_that_go_down_to_the_finished_floor(tmp_path: Path) -> None:
    files, found = casting(tmp_path)
    check_read(files, found)
    features = found.job.features
    at = next(place for place, one in enumerate(features) if one.id.endswith("-walls"))
    deep = features[at].model_copy(update={"depth": features[at + 1].depth})
    for wrong in ((*features[:at], deep, *features[at + 1 :]), (*features[:at], *features[at + 1 :])):
        with pytest.raises(MadeUp, match=r"feature\.depth|features were lost"):
            check_read(files, found.model_copy(update={"job": found.job.model_copy(update={"features": wrong})}))


def test_the_oracle_notices_a_lost_feature_and_a_strange_answer(tmp_path: Path) -> None:
    found = read_assignment(lay(good(tmp_path), tmp_path))
    advice = advise(found)
    check_answer(advice)
    with pytest.raises(MadeUp, match="other features"):
        check_answer(advice._replace(features=()))
    slow = found.machine.model_copy(update={"feed_max": 1e-9})
    assert any(answer.best for answer in advice.features)
    with pytest.raises(MadeUp, match="feed_rate"):
        check_answer(advice._replace(assignment=found.model_copy(update={"machine": slow})))
    assert json.dumps(found.model_dump(mode="json"))
