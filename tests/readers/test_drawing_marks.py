"""Marks as a drawing has them are read in a job: R8, ⌀12 H7, M10; where they leave something open, it is asked."""

import re
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped,unused-ignore]
import pytest
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

import advisor
from advisor.files.problems import BadInput
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.readers.drawing_marks import marks_read
from advisor.readers.schemas import job_schema

THREADS: dict[str, Any] = yaml.safe_load((shared_dir() / "threads.yaml").read_text(encoding="utf-8"))
SOURCES: dict[str, Any] = yaml.safe_load((shared_dir() / "sources.yaml").read_text(encoding="utf-8"))


def read(tmp_path: Path, more: str, units: str = "mm") -> Any:
    """Return the assignment of a job with one feature."""
    file = tmp_path / "job.yaml"
    head = f"part: Bracket\nunits: {units}\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n  - "
    file.write_text(f"{head}{more}\n", encoding="utf-8")
    return advisor.read_job(file)


def hole(diameter: object, more: str = "") -> str:
    return f"{{id: H1, kind: round_hole, diameter: {diameter}, depth: 20, floor: false{more}}}"


def refused(tmp_path: Path, more: str) -> str:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, more)
    return str(caught.value)


@pytest.mark.parametrize("radius", ["R8", "r8", "R 8", "R8 mm", '"8"', "8"])
def test_a_radius_may_be_written_with_its_r(tmp_path: Path, radius: str) -> None:
    pocket = "{id: P1, kind: closed_pocket, length: 90, width: 50, depth: 20, floor: true, corner_radius: %s}"
    assert read(tmp_path, pocket % radius).job.features[0].corner_radius == 8


def test_a_radius_with_a_decimal_is_read_and_a_sign_alone_is_none(tmp_path: Path) -> None:
    pocket = "{id: P1, kind: closed_pocket, length: 90, width: 50, depth: 20, floor: true, corner_radius: %s}"
    assert read(tmp_path, pocket % "R0.8").job.features[0].corner_radius == 0.8
    assert "corner_radius" in refused(tmp_path, pocket % "R")
    assert "0.8" in refused(tmp_path, pocket % "'R0,8'")


@pytest.mark.parametrize(
    ("typed", "size"),
    [("M10", 8.5), ("m10", 8.5), ("M 8", 6.8), ("M12", 10.2), ("M6", 5.0), ("M10x1", 9.0), ("M10 × 1.25", 8.75),
     ("M16-6H", 14.0), ("M10x1 LH", 9.0), ("M10x1.5", 8.5)],
)  # fmt: skip
def test_a_metric_thread_gives_the_tapping_size_and_the_purpose(tmp_path: Path, typed: str, size: float) -> None:
    found = read(tmp_path, hole(typed))
    (feature,) = found.job.features
    assert (feature.diameter, feature.purpose) == (size, "thread")
    assert any(f"tapping size {size:g} mm and purpose thread assumed" in note for note in found.notes)


def test_a_metric_thread_in_a_job_in_inches_is_metric_all_the_same(tmp_path: Path) -> None:
    (feature,) = read(tmp_path, hole("M10").replace("depth: 20", "depth: 0.75"), "inch").job.features
    assert feature.diameter == 8.5


@pytest.mark.parametrize(
    ("typed", "size", "series"),
    [("1/2-13", 0.4219, "UNC"), ("10-32", 0.159, "UNF"), ("1/4-20", 0.201, "UNC"), ("3/8-16UNC", 0.3125, "UNC"),
     ("#8-32 UNC-2B", 0.136, "UNC"), ("1-8", 0.875, "UNC"), ("1-64", 0.0595, "UNC"), (".250-20 UNC - 2B", 0.201, "UNC"),
     ("1 1/2-12", 1.4219, "UNF")],
)  # fmt: skip
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_a_unified_thread_gives_its_tap_drill(tmp_path: Path, typed: str, size: float, series: str, units: str) -> None:
    found = read(tmp_path, hole(f'"{typed}"').replace("depth: 20", "depth: 5 mm"), units)
    (feature,) = found.job.features
    assert (feature.diameter, feature.purpose) == (pytest.approx(size * 25.4), "thread")
    assert any(f"threads per inch ({series}); tapping size {size:g} in" in note for note in found.notes)


@pytest.mark.parametrize(
    ("typed", "size"), [("#7", 0.201), ("No. 21", 0.159), ("F", 0.257), ("letter Q", 0.332), ("#7 drill", 0.201)]
)
def test_a_number_or_letter_drill_is_its_diameter(tmp_path: Path, typed: str, size: float) -> None:
    found = read(tmp_path, hole(f'"{typed}"').replace("depth: 20", "depth: 0.5"), "inch")
    assert found.job.features[0].diameter == pytest.approx(size * 25.4)
    assert f"H1: {typed} is read as the drill of {size:g} in" in found.notes


@pytest.mark.parametrize("name", THREADS["unified"])
def test_a_tap_drill_leaves_from_six_to_nine_tenths_of_the_thread(name: str) -> None:
    """The full height on both sides is 1.299 P; at the minor diameter of the basic profile 1.0825 P, 83 %."""
    row = THREADS["unified"][name]
    number = re.fullmatch(r"#(\d+)", name)
    inches = sum(float(Fraction(part)) for part in name.split("-")) if number is None else 0.06 + 0.013 * int(number[1])
    assert row["diameter"] == pytest.approx(inches)
    for series in {"UNC", "UNF"} & set(row):
        height = (row["diameter"] - row[series]["size"]) * row[series]["threads"] / 1.299
        assert 0.6 < height < 0.84


def test_number_and_letter_drills_get_smaller_and_larger_in_turn() -> None:
    numbers, letters = (list(THREADS["drills"][kind].values()) for kind in ("number", "letter"))
    assert (len(numbers), len(letters)) == (60, 26)
    assert numbers == sorted(numbers, reverse=True)
    assert letters == sorted(letters)
    assert numbers[0] < letters[0]


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [("M11", "a metric thread of the table"), ("M10x2", "the coarse pitch 1.5 or a finer one"), ("M10x1.1", "coarse"),
     ("1/4-20 UNEF", "the tapping size"),
     ("1/4-20 UNF", "a unified thread of the table"), ("10-30", "a unified thread"), ("G1/4", "the tapping size"),
     ("R8", "Did you mean 16?"),
     ("12 h7", "Did you mean 12 H7?")],
)  # fmt: skip
def test_what_is_unsure_is_asked_with_file_and_line(tmp_path: Path, typed: str, wanted: str) -> None:
    told = refused(tmp_path, hole(f'"{typed}"'))
    assert "job.yaml:6: features.H1.diameter" in told
    assert wanted in told


def test_a_thread_beside_another_purpose_is_asked_about(tmp_path: Path) -> None:
    told = refused(tmp_path, hole("M10", ", purpose: ream"))
    assert "features.H1.purpose" in told
    assert "thread, since the diameter is M10" in told
    assert read(tmp_path, hole("M10", ", purpose: tapped")).job.features[0].purpose == "thread"


@pytest.mark.parametrize("typed", ["⌀12 H7", "Ø12H7", "12 H7", "12 mm H7", "Ø 12 JS6"])
def test_a_tolerance_stands_beside_a_purpose_and_without_one_that_is_asked(tmp_path: Path, typed: str) -> None:
    (feature,) = read(tmp_path, hole(f'"{typed}"', ", purpose: ream")).job.features
    assert (feature.diameter, feature.purpose) == (12, "ream")
    told = refused(tmp_path, hole(f'"{typed}"'))
    assert "features.H1.purpose: found nothing; wanted purpose: ream, bore, mill or clearance" in told


@pytest.mark.parametrize(("kind", "typed"), [("keyway", "10 P9"), ("slot", "10H7"), ("blind pocket", "10 H12")])
def test_a_tolerance_beside_a_width_is_left_to_finishing(tmp_path: Path, kind: str, typed: str) -> None:
    rest = ", open_ends: 0, floor: true" if kind == "slot" else ""
    more = f"{{id: N1, kind: {kind}, length: 40, width: {typed}, depth: 5{rest}}}"
    found = read(tmp_path, more)
    assert found.job.features[0].width == 10
    assert any("is read as 10" in note and "is left to finishing" in note for note in found.notes)
    assert "Did you mean 10 H9?" in refused(tmp_path, more.replace(typed, "10 h9"))


@pytest.mark.parametrize(
    ("kind", "floor", "flat"),
    [("blind pocket", True, None), ("through pocket", False, None), ("circular pocket", True, True),
     ("blind hole", True, None), ("Durchgangsbohrung", False, None)],
)  # fmt: skip
def test_a_word_for_a_kind_says_whether_there_is_a_floor(tmp_path: Path, kind: str, floor: bool, flat: object) -> None:
    sizes = "length: 60, width: 40" if "blind pocket" in kind or "through" in kind else "diameter: 30"
    (feature,) = read(tmp_path, f"{{id: X, kind: {kind}, {sizes}, depth: 10}}").job.features
    assert (feature.floor, getattr(feature, "flat_floor", None)) == (floor, flat)


def test_stock_of_an_outline_is_its_stock_side(tmp_path: Path) -> None:
    told = refused(tmp_path, "{id: A1, kind: contour, length: 90, width: 50, depth: 20, stock: 3}")
    assert "Did you mean stock_side?" in told


@pytest.mark.parametrize("name", THREADS["coarse"])
def test_a_tapping_size_lies_between_the_minor_diameter_of_iso_724_and_its_tolerance(name: str) -> None:
    """D - 1.0825 P is the minor diameter; a tenth of the pitch above D - P is more than any tolerance 6H allows."""
    diameter, pitch = float(name), THREADS["coarse"][name]["pitch"]
    (size,) = {marks_read({"diameter": f"M{name}"}).fields["diameter"]}
    drilled = float(size.removesuffix(" mm"))
    assert diameter - 1.0825 * pitch < drilled <= diameter - pitch + 0.1 * pitch


def test_every_source_of_the_threads_stands_in_the_bibliography() -> None:
    assert all(source["work"] in SOURCES and source["from_memory"] for source in THREADS["sources"])


@given(st.text(alphabet="MmRr⌀Ø0123456789.,x×-/ HhGgUNCFLJSmin#", max_size=45))
def test_of_any_text_a_thread_is_made_and_told_or_nothing(text: str) -> None:
    """Without a purpose beside it: a tolerance is asked about."""
    given_ = {"id": "H1", "diameter": text}
    found = marks_read(given_)
    if found.faults or not found.note:
        assert found.fields == given_
        assert not found.note
    else:
        assert text.strip() in found.note
        size = float(found.fields["diameter"].split()[0])
        if "is read as the drill of" in found.note:
            assert 0 < size < 0.5
            return
        assert found.fields["purpose"] == "thread"
        inches = found.fields["diameter"].endswith(" in")
        assert 0 < size < (2 if inches else float(re.findall(r"\d+(?:[.,]\d+)?", text)[0].replace(",", ".")))


def valid(diameter: str) -> bool:
    feature = {"id": "H1", "kind": "round_hole", "diameter": diameter, "depth": 20, "floor": False}
    job = {"part": "Bracket", "material": "C45", "machine": "vmc-40-12k", "features": [feature]}
    return bool(jsonschema.Draft202012Validator(job_schema()).is_valid(job))


def test_the_schema_knows_the_marks() -> None:
    for text in ("M10", "M10x1.25", "m 8", "⌀12 H7", "Ø12", "12H7", "0.5 in", "1/4-20 UNC", "#7"):
        assert valid(text), text
    for text in ("MM", "Q10", "⌀", "wide"):
        assert not valid(text), text


@pytest.mark.parametrize("mark", ["6X13", "4X10", "6 x 13", "2×8"])
def test_several_holes_in_one_mark_are_asked_about(tmp_path: Path, mark: str) -> None:
    assert "count" in refused(tmp_path, hole(mark, ", purpose: clearance"))


@pytest.mark.parametrize("mark", ["12 H0", "12 H19", "12 XX7", "12 IN5"])
def test_what_is_no_tolerance_of_a_hole_is_refused(tmp_path: Path, mark: str) -> None:
    refused(tmp_path, hole(mark, ", purpose: ream"))


def test_a_tolerance_that_is_left_out_is_told(tmp_path: Path) -> None:
    found = read(tmp_path, hole("12 H7", ", purpose: ream"))
    assert any("12 H7 is read as 12; H7 is left to finishing" in note for note in found.notes)


def test_a_thread_is_no_hole_with_a_flat_floor(tmp_path: Path) -> None:
    assert "no tapping hole" in refused(tmp_path, "{id: H1, kind: counterbore, diameter: M20, depth: 9}")


@pytest.mark.parametrize("flat", ["true", "'true'", "'Yes'", "' yes '"])
def test_a_flat_floor_may_be_written_as_a_word(tmp_path: Path, flat: str) -> None:
    seat = f"{{id: H1, kind: round_hole, diameter: M8, depth: 20, floor: true, flat_floor: {flat}}}"
    assert "no tapping hole" in refused(tmp_path, seat)


def test_the_class_of_a_bolt_is_none_of_a_hole(tmp_path: Path) -> None:
    refused(tmp_path, hole("M10-5g"))


@pytest.mark.parametrize(("typed", "inches"), [("#7", 0.201), ("No. 7", 0.201), ("F", 0.257), ("#25", 0.1495)])
def test_a_crib_may_have_number_and_letter_drills(tmp_path: Path, typed: str, inches: float) -> None:
    """Source: the number and letter sizes of ASME B94.11M, from memory."""
    crib = tmp_path / "crib.csv"
    crib.write_text(f"# units: inch\nid,body,DC,APMX,ZEFP\nD1,drill,{typed},1.5,2\n", encoding="utf-8")
    (drill,) = read_crib(crib).cutters
    assert pytest.approx(25.4 * inches) == drill.DC


def test_only_a_drill_has_a_number_for_its_size(tmp_path: Path) -> None:
    crib = tmp_path / "crib.csv"
    crib.write_text("# units: inch\nid,body,DC,APMX,ZEFP\nE1,solid_end_mill,#7,1.5,2\n", encoding="utf-8")
    with pytest.raises(BadInput, match="#7"):
        read_crib(crib)


@pytest.mark.parametrize("typed", ["#7", "#10-24"])
def test_a_number_without_quotes_is_told_with_its_line(tmp_path: Path, typed: str) -> None:
    told = refused(tmp_path, hole(typed))
    assert f'job.yaml:6: found {typed} without quotes; wanted "{typed}"' in told


@pytest.mark.parametrize(
    ("feature", "mark"),
    [(hole("M8"), "M8"), (hole("M10x1-6H"), "M10x1-6H"), (hole("1/4-20 UNC"), "1/4-20 UNC"), (hole("'#7'"), "#7"),
     (hole("10 H7", ", purpose: ream"), "10 H7"), (hole("M8", ", marked: M8 LH"), "M8 LH"),
     ("{id: S1, kind: slot, width: 10 P9, length: 60, depth: 5, floor: true, open_ends: 0}", "10 P9")],
)  # fmt: skip
def test_what_the_drawing_writes_is_shown_beside_the_size(tmp_path: Path, feature: str, mark: str) -> None:
    found = read(tmp_path, feature)
    assert found.job.features[0].marked == mark
    shown = advisor.as_text(advisor.advise(found, quick=True), columns=100)
    assert shown.count(f"({mark})") == 2  # in the part table, and over the feature


def test_a_plain_size_has_no_mark(tmp_path: Path) -> None:
    assert read(tmp_path, hole(10)).job.features[0].marked is None


@given(st.text(min_size=1, max_size=30))
def test_a_mark_changes_no_answer(mark: str) -> None:
    head = "part: A\nmaterial: C45\nmachine: vmc-40-12k\nfeatures:\n"
    plain = f"{head}  - {{id: H1, kind: round_hole, diameter: 12, depth: 20, floor: true"
    marked = None
    with suppress(BadInput):  # a sign that no text of a file may have
        marked = advisor.parse_job(f"{plain}, marked: {yaml.safe_dump(mark, default_style=chr(34)).strip()}}}")
    assume(marked is not None)
    one, other = (advisor.advise(job, quick=True).features[0].best for job in (marked, advisor.parse_job(f"{plain}}}")))
    assert one is not None
    assert other is not None
    assert (one.method, one.cutter, one.entry, one.time) == (other.method, other.cutter, other.entry, other.time)
