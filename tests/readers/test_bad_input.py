"""Every slip of the pen is told by file, line, field, what was found, what is wanted and the nearest known word."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.readers.assignment import read_assignment
from tests import plain_yaml

Complaints = Callable[..., tuple[Problem, ...]]


class Slip(NamedTuple):
    """One spoilt place: `old` becomes `new` in a file, and what the one problem then says."""

    file: str
    old: str
    new: str
    line: int | None
    field: str
    found: str
    wanted: str  # a part of it
    nearest: str | None = None


SLIPS = [Slip(**slip) for slip in plain_yaml.load(Path(__file__).parent / "slips.yaml")]


def test_every_slip_is_another_one() -> None:
    assert len({(slip.file, slip.old, slip.new) for slip in SLIPS}) == len(SLIPS) >= 40


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: f"{slip.file}-{slip.new[:30]!r}")
def test_a_slip_is_told_by_place_and_remedy(
    slip: Slip, complaints: Complaints, texts: dict[str, str], tmp_path: Path
) -> None:
    assert slip.old in texts[slip.file]
    problems = complaints({slip.file: texts[slip.file].replace(slip.old, slip.new, 1)})
    told = [problem for problem in problems if problem.field == slip.field]
    assert len(told) == 1, [str(problem) for problem in problems]
    (problem,) = told
    assert problem.file == str(tmp_path / slip.file)
    assert (problem.line, problem.found, problem.nearest) == (slip.line, slip.found, slip.nearest)
    assert slip.wanted in problem.wanted


def whole_files() -> list[tuple[str, str | bytes, int | None, str]]:
    """Return files that are wrong as a whole: name, contents, line and what was found."""
    return [
        ("job.yaml", "", None, "an empty file"),
        ("job.yaml", "# nothing\n", None, "an empty file"),
        ("job.yaml", "~\n", None, "an empty file"),
        ("job.yaml", "just words\n", 1, "'just words'"),
        ("job.yaml", "- a\n- b\n", 1, "a list of 2"),
        ("job.yaml", b"part: \xff\xfe\n", 1, "a byte 0xff that is no UTF-8"),
        ("job.yaml", b"part: a\n\0\0", 2, "binary data"),
        ("job.yaml", b"part: \xc3\xa9\nunits: \x07\n", 2, "what YAML does not allow"),
        ("job.yaml", "part: a\nunits: [mm\n", 3, "an error in the YAML"),
        ("job.yaml", "part: a\n---\npart: b\n", 2, "a second document (---)"),
        (
            "job.yaml",
            "part: !!python/object/apply:os.system [date]\n",
            1,
            "the tag 'tag:yaml.org,2002:python/object/apply:os",
        ),
        ("job.yaml", "part: !mine x\n", 1, "the tag '!mine'"),
        ("job.yaml", "part: !!int x\n", 1, "'x'"),
        ("job.yaml", "part: *nowhere\n", 1, "the alias '*nowhere'"),
        ("job.yaml", "part: a\n? [b]\n: c\n", 2, "a key that is no plain word"),
        ("job.yaml", "part: a\nfeatures: " + "[" * 50 + "]" * 50, 2, "more than 40 levels"),
        ("job.yaml", "a: &a [1,1,1,1,1,1,1,1,1,1]\n" + bomb(), 6, "more than 200000 values"),
        ("job.yaml", b"#" * 8_000_001, None, "more than 8 MB"),
        ("shop.yaml", "crib\n", 1, "'crib'"),
        ("shop.yaml", "machines: 5\ncrib: crib.csv\n", 1, "5"),
        ("shop.yaml", "machines: []\ncrib: crib.csv\n", 1, "an empty list"),
        ("crib.csv", "", None, "an empty file"),
        ("crib.csv", "id,body,DC,APMX,ZEFP\n", None, "no cutter"),
        ("crib.csv", "id,body,DC,APMX,ZEFP\n,,,,\n\n", None, "no cutter"),
        ("crib.csv", "hello\n", 1, "'hello'"),
        ("crib.csv", "x" * 200_000 + "\n", 1, "an error in the CSV (field larger than field limit (131072))"),
        ("crib.csv", 'id,body,DC,APMX,ZEFP\n"E12,drill', 2, "an error in the CSV (unexpected end of data)"),
        ("crib.csv", b"\x89PNG\0", 1, "binary data"),
        ("crib.csv", b"id;body\n\x81", 2, "a byte 0x81 that is neither UTF-8 nor cp1252"),
    ]


def bomb() -> str:
    """Return aliases that grow tenfold a line."""
    return "".join(
        f"{after}: &{after} [{','.join(['*' + before] * 10)}]\n"
        for before, after in zip("abcdef", "bcdefg", strict=True)
    )


@pytest.mark.parametrize(("name", "contents", "line", "found"), whole_files())
def test_a_file_that_is_none_is_refused(
    name: str, contents: str | bytes, line: int | None, found: str, complaints: Complaints
) -> None:
    problem = complaints({name: contents})[0]
    assert problem.line == line
    assert problem.found.startswith(found)
    assert problem.file.endswith(name)


def test_a_decimal_comma_between_braces_is_explained(complaints: Complaints, texts: dict[str, str]) -> None:
    job = (
        texts["job.yaml"] + "  - {id: S2, kind: slot, width: 14,5, length: 60, depth: 12, floor: true, open_ends: 0}\n"
    )
    (problem,) = complaints({"job.yaml": job})
    assert (problem.line, problem.field, problem.found) == (35, "features.S2.5", "'5' as a field")
    assert "decimal point" in problem.wanted


def test_a_job_that_is_not_there_names_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text("part: a")
    with pytest.raises(BadInput) as caught:
        read_assignment(tmp_path / "jop.yaml")
    assert str(caught.value) == (
        f"{tmp_path}/jop.yaml: found no such file; wanted a file that can be read. Did you mean job.yaml?"
    )


def test_a_folder_is_no_job(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_assignment(tmp_path)
    assert caught.value.problems[0].found == "a folder"


def test_a_missing_shop_and_a_missing_crib_are_told(complaints: Complaints, texts: dict[str, str]) -> None:
    (shop,) = complaints({"job.yaml": texts["job.yaml"].replace("shop: shop.yaml", "shop: shopp.yaml")})
    assert (shop.found, shop.nearest) == ("no such file", "shop.yaml")
    (crib,) = complaints({"shop.yaml": texts["shop.yaml"].replace("crib: crib.csv", "crib: crip.csv")})
    assert (crib.found, crib.nearest) == ("no such file", "crib.csv")


def test_the_problems_of_all_files_are_told_at_once(complaints: Complaints, texts: dict[str, str]) -> None:
    problems = complaints(
        {
            "job.yaml": texts["job.yaml"]
            .replace("14.5", "wide")
            .replace("depth: 28", "depth: 0")
            .replace("6082", "9999"),
            "shop.yaml": texts["shop.yaml"].replace("6000", "quick", 1),
            "crib.csv": texts["crib.csv"].replace("E12,solid_end_mill,12", "E12,solid_end_mill,12 feet"),
        }
    )
    assert [(Path(problem.file).name, problem.line) for problem in problems] == [
        ("job.yaml", 3), ("job.yaml", 9), ("job.yaml", 18), ("shop.yaml", 3), ("crib.csv", 2),
    ]  # fmt: skip


def test_every_contradiction_of_a_feature_is_told_not_the_first_only(
    complaints: Complaints, texts: dict[str, str]
) -> None:
    spoilt = (
        texts["job.yaml"]
        .replace("width: 14.5", "width: 61")
        .replace("open_ends: 0", "open_ends: 0\n    allowance_bottom: 13\n    clearance_below: 2")
    )
    fields = [problem.field for problem in complaints({"job.yaml": spoilt})]
    assert fields == ["features.S1.width", "features.S1.allowance_bottom", "features.S1.clearance_below"]


def test_a_thousand_problems_are_cut_to_what_can_be_read(complaints: Complaints, texts: dict[str, str]) -> None:
    problems = complaints({"job.yaml": texts["job.yaml"] + "  - {kind: slot}\n" * 1000})
    assert len(problems) == 101
    assert problems[-1].found == "more problems than are listed here"


def test_a_file_cannot_drive_the_terminal(complaints: Complaints, texts: dict[str, str]) -> None:
    problems = complaints({"job.yaml": texts["job.yaml"] + '"\\e[31mred\\n": 1\n'})
    assert all(str(problem).isprintable() for problem in problems)
    assert "\\x1b[31mred" in str(problems[0])


def test_a_problem_reads_as_a_sentence() -> None:
    problem = Problem("job.yaml", 7, "features.S1.width", "'14,5'", "a decimal point, not a comma", "14.5")
    assert str(problem) == (
        "job.yaml:7: features.S1.width: found '14,5'; wanted a decimal point, not a comma. Did you mean 14.5?"
    )


def test_bad_input_without_a_problem_is_a_slip_of_ours() -> None:
    with pytest.raises(ValueError, match="at least one problem"):
        BadInput([])
