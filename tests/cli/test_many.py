"""Many jobs at once: in order, each as it is alone, whatever is wrong with one of them."""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from errno import EACCES
from functools import partial
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from advisor.cli.answers import Answer, Tally
from advisor.cli.interrupts import INTERRUPTED
from advisor.cli.job_files import job_files
from advisor.cli.lost_workers import Broken
from advisor.cli.main import app
from advisor.cli.many import TRIES, pays, run_many
from advisor.files.problems import BadInput
from advisor.model.features import FeatureBase
from advisor.paths import cases_dir, data_root
from advisor.render.many_record import advice_list_schema
from tests.cli.commands import NO_WAY, WINCH, at_a_terminal, begun, roughing
from tests.effort import effort

SLOT = cases_dir() / "guide-slot-narrow" / "job.yaml"
CASES = sorted(cases_dir().glob("*/job.yaml"))


def run(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


def headed(path: Path, text: str) -> str:
    return f"{path}\n\n{text}"


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A job with a misspelt field."""
    file = tmp_path / "broken.yaml"
    file.write_text(SLOT.read_text(encoding="utf-8").replace("width:", "widht:", 1), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def alone() -> list[tuple[int, str, str]]:
    """How the command for each case alone ended, in the folder that the cases are in."""
    with pytest.MonkeyPatch.context() as there:
        there.chdir(data_root())
        return [run("advise", file.relative_to(data_root()), "--quick") for file in CASES]


@pytest.mark.parametrize("processes", ["1", "2"])
def test_a_folder_gives_what_each_job_gives_alone(processes: str, alone: list[tuple[int, str, str]]) -> None:
    parts = (headed(file.relative_to(data_root()), told) for file, (_, told, _) in zip(CASES, alone, strict=True))
    ended = roughing("advise", "cases", "--quick", "--processes", processes, folder=data_root())
    assert ended.stdout == "\n".join(parts)
    assert ended.returncode == max(code for code, _, _ in alone) == 1
    assert ended.stderr.endswith(f"\n{len(CASES)} jobs: {len(CASES) - 1} advised, 1 without a way for a feature\n")


@pytest.mark.parametrize("form", ["json", "markdown"])
def test_two_jobs_in_every_format_are_as_they_are_alone(form: str) -> None:
    one, other = (run("advise", file, "--quick", "--format", form)[1] for file in (SLOT, WINCH))
    code, told, _ = run("advise", SLOT, WINCH, "--quick", "--format", form)
    assert code == 0
    if form == "json":
        entries = [{"file": str(file), "advice": json.loads(text)} for file, text in ((SLOT, one), (WINCH, other))]
        assert told == json.dumps(entries, indent=2, ensure_ascii=False) + "\n"
    else:
        assert told.startswith("# ")
        assert f"\n\n{one}\n# " in told
        assert told.endswith(f"\n\n{other}")


def test_what_would_change_an_answer_is_told_of_many_as_of_one() -> None:
    assert run("advise", SLOT)[1] in run("advise", SLOT, NO_WAY)[1]


def test_the_list_as_json_fits_its_schema(broken: Path) -> None:
    code, told, _ = run("advise", SLOT, broken, NO_WAY, "--format", "json", "--quick")
    found = json.loads(told)
    jsonschema.Draft202012Validator(advice_list_schema()).validate(found)
    assert code == 2
    assert [entry["file"] for entry in found] == [str(SLOT), str(broken), str(NO_WAY)]
    assert [sorted(entry) for entry in found] == [["advice", "file"], ["faults", "file"], ["advice", "file"]]
    assert any(fault["field"].endswith("widht") and fault["nearest"] == "width" for fault in found[1]["faults"])


def test_the_schema_of_the_list_refuses_advice_without_a_file() -> None:
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(advice_list_schema()).validate([{"error": "x"}])


def test_one_bad_file_does_not_stop_the_rest(broken: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "300")  # a name in one line, however deep its folder lies
    missing = tmp_path / "missing.yaml"
    code, told, remarks = run("advise", SLOT, broken, missing, NO_WAY, "--quick")
    assert code == 2  # outranks the feature without a way
    names = [str(file) for file in (SLOT, broken, missing, NO_WAY)]
    assert [line for line in told.splitlines() if line in names] == names
    assert "Not possible with this crib" in told
    alone = run("advise", broken)[2]
    assert alone in remarks
    assert remarks.endswith("4 jobs: 1 advised, 1 without a way for a feature, 2 not read\n")


def test_a_feature_without_a_way_ends_many_with_1() -> None:
    assert run("advise", NO_WAY, SLOT, "--quick")[0] == 1
    assert run("advise", SLOT, WINCH, "--quick")[0] == 0


def test_faults_are_named_as_the_files_were(broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(broken.parent)
    for name in (broken.name, f"./{broken.name}", f"../{broken.parent.name}/{broken.name}"):
        assert run("advise", name)[2] in run("advise", name, SLOT, "--quick")[2]


def test_a_note_that_holds_for_many_jobs_is_told_once(tmp_path: Path) -> None:
    for number in range(3):
        (tmp_path / f"{number}.yaml").write_text(WINCH.read_text(encoding="utf-8"), encoding="utf-8")
    remarks = run("advise", tmp_path, "--quick")[2]
    assert remarks == "note: no shop given: using the demo shop (3 jobs)\n3 jobs: 3 advised\n"


def test_shop_and_house_rules_hold_for_every_job(tmp_path: Path) -> None:
    worn = cases_dir() / "rack-slot-worn-axes"
    words = ("--quick", "--house", worn / "house", "--shop", worn / "shop.yaml")
    alone = [
        run("advise", file, *words) for file in (worn / "job.yaml", cases_dir() / "rack-slot-sound-axes" / "job.yaml")
    ]
    both = run("advise", worn / "job.yaml", cases_dir() / "rack-slot-sound-axes" / "job.yaml", *words)
    assert all(told in both[1] for _, told, _ in alone)
    assert "House rules:" in both[1]


def test_a_fault_that_many_jobs_share_is_told_once(tmp_path: Path) -> None:
    shop = tmp_path / "shop.yaml"
    shop.write_text("machines: []\n", encoding="utf-8")
    code, told, remarks = run("advise", SLOT, WINCH, "--shop", shop, "--quick")
    assert code == 2
    assert told.count("Not read: ") == 2
    assert len(remarks.splitlines()) == len(set(remarks.splitlines()))


# Folders.


def test_of_a_folder_the_jobs_are_taken_by_path_and_the_rest_is_counted(tmp_path: Path) -> None:
    text = SLOT.read_text(encoding="utf-8")
    for name in ("b.yaml", "a/z.yml", "a/.git/hidden.yaml", "c/job.YAML"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    (tmp_path / "shop.yaml").write_text("machines: []\n", encoding="utf-8")
    (tmp_path / "notes.txt").write_text(text, encoding="utf-8")
    found = job_files([tmp_path])
    assert [str(file.relative_to(tmp_path)) for file in found.files] == ["a/z.yml", "b.yaml", "c/job.YAML"]
    assert found.notes == (f"{tmp_path}: 3 jobs; 1 other YAML file is no job, the first {tmp_path / 'shop.yaml'}",)


def test_a_file_named_twice_is_advised_once(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text("x", encoding="utf-8")
    named = [tmp_path / "job.yaml", SLOT, tmp_path / "." / "job.yaml"]
    assert job_files(named).files == (tmp_path / "job.yaml", SLOT)


def test_a_folder_without_a_job_is_a_fault_and_does_not_stop_the_rest(tmp_path: Path) -> None:
    code, told, remarks = run("advise", tmp_path, SLOT, "--quick")
    assert code == 2
    assert str(SLOT) in told
    assert f"{tmp_path}: found a folder without a YAML file; wanted a YAML file with part" in remarks
    assert run("advise", tmp_path, "--format", "json")[:2] == (2, "[]\n")


@pytest.mark.parametrize(
    ("text", "job"),
    [
        ("part: A\nfeatures: []\n", True),
        ("features:\n  - {id: [}\nmaterial: C45\n", True),  # broken, and to be told so
        ('{"part": "A", "features": []}', True),
        ('{\n  "part": "A",\n  "features": []\n}', True),
        ('{"part": "A", "features": [}', True),
        ("part: A\rfeatures: []\r", True),
        ("part: A\rfeatures: [\r", True),
        ("\ufefffeatures: []\npart: A\n", True),
        ("# ours\n---\n  part: A\n  features: [}\n", True),  # set in as a whole
        ("? part\n: A\n? features\n: []\n", True),
        ("template:\n  part: A\n  features: later\n", False),
        ("template:\n  part: A\n  features: [}\n", False),
        ('{"template": {"part": "A", "features": "later"}}', False),
        ("part: |\n  features: none\n", False),
        ("- part: A\n  features: []\n", False),
        ("note: {part: A}\npart: features\n", False),
        ("title: expected\nfeatures: {S1: good}\n", False),
        ("part: A\n", False),
        ("# features: none\npart: A\n", False),
    ],
)
def test_a_job_is_known_by_its_keys(text: str, job: bool, tmp_path: Path) -> None:
    (tmp_path / "x.yaml").write_text(text, encoding="utf-8")
    assert bool(job_files([tmp_path]).files) is job


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32", "utf-16-be"])
def test_a_job_in_another_encoding_is_told_and_not_passed_over(encoding: str, tmp_path: Path) -> None:
    mark = "\ufeff" if encoding.endswith("be") else ""
    (tmp_path / "x.yaml").write_bytes(f"{mark}part: A\nfeatures: []\n".encode(encoding))
    code, _, remarks = run("advise", tmp_path, "--quick")
    assert code == 2
    assert "x.yaml:1: found binary data; wanted plain text in UTF-8.\n1 job: 1 not read\n" in remarks


@pytest.mark.parametrize(
    "hostile", ["[", "{", ",", " ", "{a: b, ", "a:\n - ", "a: [", "{\n", "a: &b x\n", "%TAG ! x\n"]
)
def test_no_file_makes_the_looking_long(hostile: str, tmp_path: Path) -> None:
    def looked(line: str) -> float:
        text = "# part, features\n" + line * (8_000_000 // len(line))
        (tmp_path / "x.yaml").write_text(text, encoding="utf-8")
        return effort(lambda: not job_files([tmp_path]).files or pytest.fail("taken for a job"), times=1)

    assert looked(hostile) < 50 * looked("words and words\n")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
@pytest.mark.parametrize("words", [("advise", "--quick"), ("coach", "--from")])
def test_a_link_to_a_pipe_is_not_waited_for(words: tuple[str, ...], tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "jobs" / "z.yaml").symlink_to("../pipe")
    (tmp_path / "jobs" / "a.yaml").symlink_to("/dev/zero")
    ended = roughing(*words, tmp_path / "jobs", ROUGHING_DATA=str(tmp_path / "data"))
    assert ended.returncode == 2
    assert "found a folder without a job in its 2 YAML files" in ended.stderr


def test_a_link_to_nothing_is_told(tmp_path: Path) -> None:
    (tmp_path / "z.yaml").symlink_to("nowhere")
    code, _, remarks = run("advise", tmp_path, "--quick")
    assert code == 2
    assert f"{tmp_path / 'z.yaml'}: found no such file" in remarks


def test_links_to_themselves_do_not_stop_the_other_jobs_of_a_folder(tmp_path: Path) -> None:
    """Whether such a link is a folder cannot be asked of it."""
    (tmp_path / "a.yaml").symlink_to("a.yaml")
    (tmp_path / "lower").symlink_to("lower")
    (tmp_path / "ok.yaml").write_text(SLOT.read_text(encoding="utf-8"), encoding="utf-8")
    found = job_files([tmp_path])
    assert [file.name for file in found.files] == ["a.yaml", "ok.yaml"]
    assert not found.problems


def test_no_job_at_all_is_counted_plainly(tmp_path: Path) -> None:
    assert run("advise", tmp_path)[2].endswith("\n0 jobs\n")


@pytest.mark.parametrize("place", [".", "lower"])
def test_a_folder_that_cannot_be_read_is_told(place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "lower").mkdir()
    (tmp_path / "job.yaml").write_text(SLOT.read_text(encoding="utf-8"), encoding="utf-8")
    usual, closed = os.scandir, str(tmp_path / place)

    def scandir(folder: str) -> Iterator[os.DirEntry[str]]:
        if str(folder) == closed:
            raise PermissionError(EACCES, "Permission denied", str(folder))
        return usual(folder)

    monkeypatch.setattr(os, "scandir", scandir)
    found = job_files([tmp_path])
    (problem,) = found.problems
    assert str(problem) == (
        f"{closed}: found a folder that cannot be read (Permission denied); wanted a folder that can be read."
    )
    assert len(found.files) == (place == "lower")


def test_a_folder_a_thousand_levels_deep_is_looked_through(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """os.walk ends in a RecursionError there on Python 3.11."""
    monkeypatch.chdir(tmp_path)
    for _ in range(1100):
        os.mkdir("d")
        os.chdir("d")
    Path("job.yaml").write_text(SLOT.read_text(encoding="utf-8"), encoding="utf-8")
    os.chdir(tmp_path)
    (file,) = job_files([Path("d")]).files
    file.unlink()
    os.removedirs(file.parent)  # pytest cannot clear away so deep a folder
    assert file.name == "job.yaml"


# Spreading.


@pytest.mark.parametrize("given", ["x", "0", "-1", "1.5"])
def test_a_limit_of_processors_that_is_no_number_is_told(given: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOKY_MAX_CPU_COUNT", given)
    with pytest.raises(BadInput, match=r"LOKY_MAX_CPU_COUNT.* wanted a whole number of processors"):
        list(run_many(times_ten, [1, 2, 3], 2))


def times_ten(number: int) -> int:
    return 10 * number


@pytest.mark.parametrize("processes", [None, 1, 2])
def test_results_come_in_order(processes: int | None) -> None:
    assert list(run_many(times_ten, range(40), processes)) == [10 * number for number in range(40)]
    assert list(run_many(times_ten, [], processes)) == []


@given(st.floats(0.01, 100), st.integers(1, 1000), st.integers(0, 10_000), st.integers(1, 64))
def test_processes_are_started_only_where_time_is_gained(spent: float, done: int, left: int, cores: int) -> None:
    alone = spent / done * left
    if pays(spent, done, left, cores):
        assert alone / min(cores, left) < alone
        assert left > 1
        assert cores > 1
    assert not pays(spent, done, left, 1)
    if pays(spent, done, left, cores) and left > cores:
        assert pays(spent, done, left + 1, cores)


def hears_interrupts(_: int) -> bool:
    return signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
def test_what_the_workers_leave_is_cleared_up_without_a_word() -> None:
    program = """
from operator import neg
from joblib.externals.loky.backend import resource_tracker
from advisor.cli.many import run_many
if __name__ == "__main__":
    print(list(run_many(neg, range(4), 2)))
    resource_tracker.register("/no-such-semaphore", "semlock")
"""
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=data_root(), timeout=300
    )
    assert (ended.stdout, ended.stderr) == ("[0, -1, -2, -3]\n", "")


def die_once(mark: Path, number: int) -> int:
    if number == 5 and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return number


def die(number: int) -> int:
    if number == 5:
        os.kill(os.getpid(), signal.SIGKILL)
    return number


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
def test_what_is_lost_with_a_process_is_done_again(tmp_path: Path) -> None:
    assert list(run_many(partial(die_once, tmp_path / "died"), range(12), 2)) == list(range(12))


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
def test_a_job_that_ends_every_process_is_told_and_nothing_is_given_after_it() -> None:
    given_before: list[int] = []
    with pytest.raises(Broken, match="a process was ended"):
        given_before.extend(run_many(die, range(12), 2))
    assert TRIES == 2
    assert given_before == list(range(len(given_before)))
    assert len(given_before) <= 5


def test_the_gravest_code_is_that_of_all() -> None:
    tally = Tally()
    assert tally.code == 0
    for code, summary in [
        (0, "1 job: 1 fine"),
        (1, "2 jobs: 1 fine, 1 poor"),
        (2, "3 jobs: 1 fine, 1 poor, 1 not read"),
        (70, "4 jobs: 1 fine, 1 poor, 1 not read, 1 ended by an internal error"),
    ]:
        list(tally.add(Answer("a.yaml", code)))
        assert tally.code == code
        assert tally.summary("fine", "poor") == summary


def test_a_job_that_the_program_fails_at_does_not_stop_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor import service

    usual = service.advise_feature

    def fails(feature: FeatureBase, *more: Any, **named: Any) -> object:
        if feature.kind == "planar_face":
            raise RuntimeError("a fault of our own")
        return usual(feature, *more, **named)

    monkeypatch.setattr(service, "advise_feature", fails)
    code, told, remarks = run("advise", WINCH, SLOT, "--quick", "--processes", "1")
    assert code == 70
    assert "Guide rail" in told
    assert f"{WINCH}: F1: internal error, no advice given for this feature: RuntimeError: a fault of our own" in remarks
    assert "Winch side plate" in told
    assert "2 jobs: 1 advised, 1 ended by an internal error" in remarks


# A terminal, an interrupt, a reader that leaves.


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
@pytest.mark.parametrize(("processes", "number"), [("2", signal.SIGINT), ("1", signal.SIGINT), ("2", signal.SIGTERM)])
def test_a_signal_ends_it_in_order(processes: str, number: int) -> None:
    with begun("advise", "cases", "--quick", "--processes", processes) as process:
        assert process.stdout is not None
        process.stdout.readline()  # the first is answered, the rest is under way
        process.send_signal(number)
        _, remarks = process.communicate(timeout=300)
    assert process.returncode == INTERRUPTED
    assert "Traceback" not in remarks
    assert f"of {len(CASES)} jobs answered, none from cases/" in remarks


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
def test_an_interrupt_of_the_whole_group_is_told_in_one_line() -> None:
    for moment in (0.05, 0.15, 0.2, 0.25, 0.3, 0.4):  # while the processes start
        with begun("advise", "cases", "--quick", "--processes", "2", alone=True) as process:
            time.sleep(moment)
            os.killpg(process.pid, signal.SIGINT)  # as a terminal does
            _, remarks = process.communicate(timeout=300)
        assert process.returncode == INTERRUPTED
        assert re.fullmatch(r"(interrupted; .* jobs? answered, none from cases/.* on\n)?", remarks), remarks


@pytest.mark.skipif(os.name == "nt", reason="needs signals")
def test_no_worker_hears_an_interrupt() -> None:
    assert list(run_many(hears_interrupts, range(4), 2)) == [False] * 4
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, ())  # this process hears it


@pytest.mark.skipif(os.name == "nt", reason="needs a shell with pipes")
@pytest.mark.parametrize("form", ["text", "json"])
def test_a_reader_that_stops_early_is_left_in_peace(form: str) -> None:
    first = min(path.name for path in cases_dir().iterdir() if (path / "job.yaml").exists())
    told = {"text": f"cases/{first}/job.yaml\n", "json": "[\n"}[form]
    command = f"{sys.executable} -m advisor.cli.start advise cases --quick --format {form} --processes 2 | head -n 1"
    environment = {**os.environ, "PYTHONPATH": str(data_root())}
    ended = subprocess.run(command, shell=True, cwd=data_root(), env=environment, capture_output=True, timeout=300)
    assert ended.stdout == told.encode()
    assert b"Traceback" not in ended.stderr
    assert b"Broken pipe" not in ended.stderr


def test_a_terminal_sees_how_far_it_is_and_the_result_is_clean() -> None:
    _, told, seen = at_a_terminal("advise", SLOT, WINCH, "--quick")
    assert b"1/2" in seen
    assert seen.rstrip().endswith(b"2 jobs: 2 advised")
    assert b"\x1b" not in told
    assert b"1/2" not in told


def test_a_terminal_sees_how_far_a_job_of_many_features_is(tmp_path: Path) -> None:
    for name in ("shop.yaml", "crib.csv"):
        shutil.copy(SLOT.with_name(name), tmp_path)
    text = SLOT.read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if "id: S1" in line)
    more = [line.replace("id: S1", f"id: S{number}") for number in range(1, 12)]
    (tmp_path / "job.yaml").write_text(text.replace(line, "\n".join(more)), encoding="utf-8")
    _, told, seen = at_a_terminal("advise", tmp_path / "job.yaml", "--quick")
    assert b"11/11" in seen
    assert b"features \x1b" not in told
    assert told.count(b"11.8") >= 11


@pytest.mark.parametrize("options", [[], ["--not", "layered_pocketing"]])
def test_a_terminal_sees_why_a_large_crib_takes_long(tmp_path: Path, options: list[str]) -> None:
    for name in ("job.yaml", "shop.yaml"):
        shutil.copy(SLOT.with_name(name), tmp_path)
    head, *rows = SLOT.with_name("crib.csv").read_text(encoding="utf-8").splitlines()
    more = [rows[0].replace(rows[0].split(",")[0], f"MORE{number}", 1) for number in range(101 - len(rows))]
    (tmp_path / "crib.csv").write_text("\n".join([head, *rows, *more]), encoding="utf-8")
    code, told, seen = at_a_terminal("why", tmp_path / "job.yaml", "S1", *options)
    assert code == 0, told
    assert b"looking through 101 cutters" in seen
    assert b"looking through" not in told
    assert b"\x1b" not in told


def test_a_number_of_processes_below_one_is_refused() -> None:
    code, _, remarks = run("advise", SLOT, WINCH, "--processes", "0")
    assert code == 2
    assert "--processes" in remarks
