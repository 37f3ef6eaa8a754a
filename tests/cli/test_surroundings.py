"""Whatever home, locale, path or stream a command finds, it answers, or says in one line why it cannot."""

import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir, data_root
from advisor.readers import assignment
from tests.cli.commands import roughing

CASE = cases_dir() / "guide-slot-narrow"
PLAIN = {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}


@cache
def answer() -> str:
    """What the command prints where nothing is out of the way."""
    return roughing("advise", CASE / "job.yaml", "--quick").stdout


def shell(line: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """How a line of the shell ended in which $roughing stands for the command."""
    known = {**os.environ, "PYTHONPATH": str(data_root()), "roughing": f"'{sys.executable}' -m advisor.cli.start"}
    return subprocess.run(
        ["/bin/sh", "-c", line.replace("$roughing", known["roughing"])],
        capture_output=True, text=True, env={**known, **environment}, cwd=data_root(), timeout=300, check=False,
    )  # fmt: skip


def test_a_home_that_is_missing_or_a_file_is_no_obstacle(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    for home in (tmp_path / "none", tmp_path / "file"):
        ended = roughing("advise", CASE / "job.yaml", "--quick", HOME=str(home), XDG_CACHE_HOME="")
        assert (ended.returncode, ended.stdout, ended.stderr) == (0, answer(), "")
        ended = roughing("advise", CASE / "job.yaml", "--quick", XDG_CACHE_HOME=str(home / "cache"))
        assert (ended.returncode, ended.stdout, ended.stderr) == (0, answer(), "")
    assert not (tmp_path / "none" / ".cache").exists()


def test_a_cache_folder_that_is_no_whole_path_makes_no_folder_here(tmp_path: Path) -> None:
    ended = roughing(
        "advise", CASE / "job.yaml", "--quick", folder=tmp_path, HOME=str(tmp_path / "x"), XDG_CACHE_HOME="rel"
    )
    assert ended.returncode == 0
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(shutil.which("setpriv") is None or os.geteuid() != 0, reason="needs to give rights away")
def test_a_home_that_may_only_be_read_is_no_obstacle(tmp_path: Path) -> None:
    (tmp_path / "home").mkdir(mode=0o500)
    rights = "setpriv --bounding-set=-dac_override,-dac_read_search"
    ended = shell(f"{rights} $roughing advise {CASE}/job.yaml --quick", HOME=str(tmp_path / "home"), XDG_CACHE_HOME="")
    assert (ended.stdout, ended.stderr) == (answer(), "")
    ended = shell(f"{rights} $roughing rules book --output {tmp_path}/home/book.md")
    assert (ended.returncode, ended.stderr) == (
        74,
        f"the result cannot be written to {tmp_path}/home/book.md: Permission denied\n",
    )


@pytest.mark.parametrize("environment", [{}, PLAIN])
def test_a_path_with_spaces_and_umlauts_is_a_path(environment: dict[str, str], tmp_path: Path) -> None:
    folder = tmp_path / "Fräser für Nuten"
    shutil.copytree(CASE, folder)
    ended = roughing("advise", folder / "job.yaml", "--quick", **environment)
    assert ended.returncode == 0
    assert len(ended.stdout.splitlines()) == len(answer().splitlines())
    ended = roughing("rules", "book", "--output", folder / "böhm ß.md", **environment)
    assert ended.returncode == 0
    assert (folder / "böhm ß.md").stat().st_size > 100_000


def test_the_program_may_lie_in_a_path_with_umlauts_in_a_plain_locale(tmp_path: Path) -> None:
    for name in ("advisor", "rules", "shared", "cases"):
        shutil.copytree(data_root() / name, tmp_path / "Ordner ä" / name, ignore=shutil.ignore_patterns("__pycache__"))
    program = [sys.executable, "-m", "advisor.cli.start", "advise", "--quick", "cases/guide-slot-narrow/job.yaml"]
    ended = subprocess.run(
        program, cwd=tmp_path / "Ordner ä", env={**PLAIN, "XDG_CACHE_HOME": str(tmp_path / "ö")}, capture_output=True,
        check=False,
    )  # fmt: skip
    assert (ended.returncode, ended.stderr) == (0, b"")
    assert list((tmp_path / "ö" / "roughing-advisor").glob("*.pickle"))


@pytest.mark.skipif(sys.platform == "darwin", reason="no such file names there")
def test_a_path_that_is_no_text_is_a_path(tmp_path: Path) -> None:
    folder = tmp_path / os.fsdecode(b"b\xff")
    shutil.copytree(CASE, folder)
    (folder / "house.yaml").write_text(
        "thresholds: {loop_width_ratio_least: {value: 1.3, reason: ours}}", encoding="utf-8"
    )
    for words in (("--format", "json"), ("--format", "html", "--output", folder / "page.html")):
        ended = roughing("advise", folder / "job.yaml", "--quick", "--house", folder, *words)
        assert ended.returncode == 0, ended.stderr
    assert roughing("rules", "book", "--house", folder, "--output", folder / "book.md").returncode == 0


@pytest.mark.parametrize("encoding", ["latin-1", "ascii:strict", "cp1252", "utf-8"])
def test_an_output_of_any_encoding_gets_what_it_can_show(encoding: str) -> None:
    for form in ("text", "json"):
        ended = subprocess.run(
            [sys.executable, "-m", "advisor.cli.start", "advise", str(CASE / "job.yaml"), "--quick", "--format", form],
            env={**os.environ, "PYTHONIOENCODING": encoding, "PYTHONPATH": str(data_root())},
            capture_output=True, check=False,
        )  # fmt: skip
        assert (ended.returncode, ended.stderr) == (0, b"")
        assert "slot" in ended.stdout.decode(encoding.split(":")[0])


def test_a_name_keeps_what_ascii_cannot_hold_as_an_escape(tmp_path: Path) -> None:
    shutil.copy(CASE / "job.yaml", tmp_path / "job.yaml")
    ended = roughing("advise", tmp_path / "jöb.yaml", PYTHONIOENCODING="ascii")
    assert ended.returncode == 2
    assert ended.stderr.startswith(f"{tmp_path}/j\\xf6b.yaml: found no such file")
    assert ended.stderr.endswith("Did you mean job.yaml?\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a full device")
@pytest.mark.parametrize("words", ["--help", "--version", "advise -h", "rules book", "rules book --output /dev/full"])
def test_a_full_disk_is_told_in_one_line_by_every_command(words: str) -> None:
    ended = shell(f"$roughing {words} > /dev/full")
    where = " to /dev/full" if "--output" in words else ""
    assert (ended.returncode, ended.stderr) == (74, f"the result cannot be written{where}: No space left on device\n")


@pytest.mark.skipif(os.name == "nt", reason="needs a shell with limits")
@pytest.mark.parametrize("unbuffered", ["", "1"])
@pytest.mark.parametrize("words", ["schema advice", "rules list", f"advise {CASE}/job.yaml --quick --format json"])
def test_a_disk_that_fills_on_the_way_is_told_whatever_the_buffer(words: str, unbuffered: str, tmp_path: Path) -> None:
    ended = shell(f"ulimit -f 8; $roughing {words} > {tmp_path}/answer", PYTHONUNBUFFERED=unbuffered)
    assert (tmp_path / "answer").stat().st_size in (4096, 8192)  # 8 blocks, of the shell or of the system
    assert ended.returncode == 74
    assert "the result cannot be written: File too large\n" in ended.stderr


def test_an_output_without_a_buffer_gets_the_same() -> None:
    ended = roughing("advise", CASE / "job.yaml", "--quick", PYTHONUNBUFFERED="1")
    assert (ended.returncode, ended.stdout) == (0, answer())


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a full device")
def test_where_nobody_can_hear_the_fault_the_exit_code_tells_it() -> None:
    assert shell("$roughing nonsense 2> /dev/full").returncode == 74
    assert shell("$roughing advise nothing.yaml 2> /dev/full").returncode == 2


@pytest.mark.parametrize(
    ("closed", "code"), [("<&-", 0), (">&-", 74), ("2>&-", 0), ("<&- >&- 2>&-", 74), ("<&- 2>&-", 0)]
)
def test_closed_streams_are_borne(closed: str, code: int) -> None:
    ended = shell(f"$roughing advise {CASE}/job.yaml --quick {closed}")
    assert ended.returncode == code
    assert "Traceback" not in ended.stderr
    assert ended.stdout == (answer() if code == 0 else "")


@pytest.mark.parametrize("words", ["--help", "rules book", "words", "schema job"])
def test_a_reader_that_goes_away_is_left_in_peace(words: str) -> None:
    ended = shell(f"{{ $roughing {words}; echo code $? >&2; }} | head -c 1 > /dev/null")
    assert ended.stderr == "code 0\n"


def test_a_job_may_come_through_a_pipe() -> None:
    job = (cases_dir() / "winch-side-plate" / "job.yaml").read_text(encoding="utf-8")
    assert "shop:" not in job
    ended = shell(f"sed 's/S1/S1/' {cases_dir()}/winch-side-plate/job.yaml | $roughing advise --quick /dev/stdin")
    assert ended.returncode == 0


# What cannot be read, and what is not to be written to.

TOO_LONG = f"{'a' * 300}.yaml"
JOB = CASE / "job.yaml"


@pytest.mark.parametrize(
    "words",
    [
        ("advise", TOO_LONG), ("why", TOO_LONG, "S1"), ("crib", TOO_LONG),
        ("crib", CASE / "crib.csv", "--job", TOO_LONG),
        ("review", TOO_LONG, "--say", "S1: E10"), ("review", JOB, TOO_LONG), ("advise", JOB, "--shop", TOO_LONG),
        ("words", "width", "ratio", "--job", TOO_LONG, "--feature", "S1"), ("coach", "--from", TOO_LONG),
        ("coach", "--course", TOO_LONG), ("advise", JOB, TOO_LONG, "--quick"),
    ],
)  # fmt: skip
def test_a_name_too_long_is_a_fault_of_the_file(words: tuple[object, ...], tmp_path: Path) -> None:
    code, told = run(*words, ROUGHING_DATA=str(tmp_path))
    assert code == 2
    assert f"{TOO_LONG}: found a file that cannot be read (File name too long); wanted a file that can be read." in told


@pytest.mark.parametrize(
    "words", [("advise", JOB, "--quick", "--house", TOO_LONG), ("rules", "check", "--house", TOO_LONG)]
)
def test_a_folder_of_house_rules_with_a_name_too_long_is_no_folder(words: tuple[object, ...]) -> None:
    code, told = run(*words)
    assert code == 2
    assert f"{TOO_LONG}: found no such folder; wanted a folder with a house.yaml." in told


@pytest.mark.skipif(os.name == "nt", reason="needs rights as POSIX has them")
def test_what_may_not_be_read_is_told_by_its_name(tmp_path: Path) -> None:
    locked = tmp_path / "coach"
    locked.mkdir()
    for name in ("job.yaml", "me.json"):
        (locked / name).write_text("part: A", encoding="utf-8")
    locked.chmod(0)
    try:
        if os.access(locked / "job.yaml", os.F_OK):
            pytest.skip("this user may read everything")
        for words in (
            ("advise", locked / "job.yaml"), ("review", JOB, locked), ("advise", locked), ("coach", "--from", locked),
            ("coach", "report"), ("coach", "record", "export"),
        ):  # fmt: skip
            code, told = run(*words, ROUGHING_DATA=str(tmp_path))
            assert code == 2
            assert told.startswith(str(locked))
            assert "cannot be read (Permission denied)" in told
    finally:
        locked.chmod(0o700)


def test_a_file_that_no_reader_told_of_is_not_taken_for_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied", "somewhere/file")

    monkeypatch.setattr(assignment, "read_assignment", refused)
    wanted = (
        "somewhere/file: found what cannot be read (Permission denied); wanted a file or folder that can be read.\n"
    )
    assert run("advise", JOB) == (2, wanted)


def run(*words: object, **environment: str) -> tuple[int, str]:
    """The exit code and stderr of a command, run within this process."""
    found = CliRunner().invoke(app, [str(word) for word in words], env=environment)
    return found.exit_code, found.stderr


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A folder with a job, its shop and its crib."""
    return shutil.copytree(CASE, tmp_path / "copy")


PAGE = "--quick --format html --output"


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="needs the streams as files")
def test_a_page_can_be_written_into_a_pipe(copy: Path) -> None:
    ended = shell(f"$roughing advise {copy}/job.yaml {PAGE} /dev/stdout | cat")
    assert ended.stderr == "written to /dev/stdout\n"
    assert ended.stdout.startswith("<!DOCTYPE html>")
    assert ended.stdout.rstrip().endswith("</html>")
    assert int(shell("$roughing rules book --output /dev/fd/5 5>&1 | wc -c").stdout) > 100_000


@pytest.mark.skipif(not Path("/dev/stdout").exists(), reason="needs the streams as files")
def test_a_page_written_to_a_file_that_was_deleted_makes_no_other(copy: Path) -> None:
    ended = shell(f"exec 5> {copy}/gone; rm {copy}/gone; $roughing advise {copy}/job.yaml {PAGE} /dev/fd/5")
    assert ended.returncode == 0
    assert sorted(path.name for path in copy.iterdir()) == sorted(path.name for path in CASE.iterdir())


@pytest.mark.parametrize("output", ["ring", "nowhere/page.html", ".", TOO_LONG])
def test_what_cannot_be_written_is_told_by_its_name(output: str, copy: Path) -> None:
    (copy / "ring").symlink_to("ring")
    code, told = run("advise", copy / "job.yaml", *PAGE.split(), copy / output)
    assert code == 74
    assert told.startswith(f"the result cannot be written to {copy / output}: ")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_is_written_to_where_somebody_reads_it(copy: Path) -> None:
    os.mkfifo(copy / "pipe")
    ended = roughing("advise", copy / "job.yaml", *PAGE.split(), copy / "pipe")
    told = f"the result cannot be written to {copy}/pipe: nobody is there to read it\n"
    assert (ended.returncode, ended.stderr) == (74, told)
    ended = shell(f"cat {copy}/pipe & $roughing advise {copy}/job.yaml {PAGE} {copy}/pipe; wait")
    assert ended.stdout.rstrip().endswith("</html>")


@pytest.mark.parametrize("name", ["job.yaml", "shop.yaml", "crib.csv", "link", "twin", "house/house.yaml"])
def test_no_page_replaces_what_was_read(name: str, copy: Path) -> None:
    (copy / "link").symlink_to("job.yaml")
    os.link(copy / "job.yaml", copy / "twin")
    shutil.copytree(cases_dir() / "rack-slot-worn-axes" / "house", copy / "house")
    before = (copy / name).read_bytes()
    for words in (("advise", copy / "job.yaml"), ("review", copy / "job.yaml", "--say", "S1: E10")):
        code, told = run(*words, "--house", copy / "house", "--format", "html", "--output", copy / name)
        assert code == 2
        assert f"command line: --output: found '{copy / name}'; wanted a file that is not read" in told
    assert (copy / name).read_bytes() == before


def test_no_page_replaces_a_plan_a_record_or_house_rules(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("operations: [{feature: S1, cutter: E10}]", encoding="utf-8")
    (tmp_path / "coach").mkdir()
    record = tmp_path / "coach" / "me.json"
    record.write_text('{"version": 1, "who": "me"}', encoding="utf-8")
    house = shutil.copytree(cases_dir() / "rack-slot-worn-axes" / "house", tmp_path / "house")
    for words, kept in (
        (("review", JOB, plan, "--format", "html"), plan),
        (("review", JOB, tmp_path, "--format", "html"), plan),
        (("coach", "report", "--format", "html"), record),
        (("rules", "book", "--house", house), house / "house.yaml"),
    ):
        before = kept.read_bytes()
        code, told = run(*words, "--output", kept, ROUGHING_DATA=str(tmp_path))
        assert (code, "a file that is not read" in told) == (2, True)
        assert kept.read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        "advise @", "advise job.yaml @", "advise job.yaml --shop @", "advise job.yaml --house @",
        "advise job.yaml --format html --output @", "why @ S1", "review @", "review job.yaml @", "crib @",
        "crib crib.csv --job @", "rules check --house @", "rules check --witness @", "rules book --output @",
        "coach --from @", "coach --course @", "coach sheet --output @", "coach report --format html --output @",
        "words reach --job @",
    ],
)  # fmt: skip
def test_an_empty_name_is_not_this_folder(words: str, copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(copy)
    code, told = run(*("" if word == "@" else word for word in words.split()))
    assert code == 2
    assert "an empty name; wanted the name of a file or folder" in told
