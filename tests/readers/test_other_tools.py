"""A tool list has more than cutters for roughing, a plan more than cuts: what is of no use is passed over, and said."""

from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.readers.crib import read_crib

HEADS = "id;body;DC;APMX;ZEFP;LU\n"
MILL = "T1;Solid carbide end mill;16;36;4;50\n"


def written(folder: Path, *rows: str) -> Path:
    file = folder / "crib.csv"
    file.write_text(HEADS + "".join(rows), encoding="utf-8")
    return file


@pytest.mark.parametrize(
    "body",
    [
        "Spot drill",
        "tap",
        "Gewindebohrer M10",
        "tap 1/2-13",
        "M8 tap",
        "Reibahle 12 H7",
        "Reamer",
        "Reibahle",
        "ball nose cutter",
        "Chamfer mill",
    ],
)
def test_a_tool_for_other_work_is_passed_over_with_its_line(tmp_path: Path, body: str) -> None:
    found = read_crib(written(tmp_path, MILL, f"T2;{body};M10;;;\n"))
    assert [cutter.id for cutter in found.cutters] == ["T1"]
    assert any(":3:" in note and body in note and "T2" in note for note in found.notes)


@pytest.mark.parametrize("body", ["Solid carbide end mill", "carbide end mill"])
def test_the_usual_words_for_a_solid_end_mill_are_known(tmp_path: Path, body: str) -> None:
    (cutter,) = read_crib(written(tmp_path, f"T1;{body};16;36;4;50\n")).cutters
    assert cutter.body == "solid_end_mill"


@pytest.mark.parametrize("body", ["Torusfräser", "bull nose end mill"])
def test_a_rounded_end_mill_is_asked_for_its_corner_radius(tmp_path: Path, body: str) -> None:
    file = written(tmp_path, f"T1;{body};16;36;4;50\n")
    with pytest.raises(BadInput, match="wanted its corner radius"):
        read_crib(file)
    file.write_text(f"id;body;DC;APMX;ZEFP;RE\nT1;{body};16;36;4;2\n", encoding="utf-8")
    assert read_crib(file).cutters[0].RE == 2


@pytest.mark.parametrize(
    ("typed", "body", "substrate"),
    [("Schruppfräser HSS", "solid_end_mill", "hss"), ("HSS-Schaftfräser", "solid_end_mill", "hss"),
     ("VHM-Schruppfräser", "solid_end_mill", "carbide"), ("HSS drill", "drill", "hss"),
     ("hss cobalt roughing end mill", "solid_end_mill", "hss"), ("Wendeplattenbohrer", "drill", "carbide")],
)  # fmt: skip
def test_a_material_beside_a_body_is_the_substrate(tmp_path: Path, typed: str, body: str, substrate: str) -> None:
    (cutter,) = read_crib(written(tmp_path, f"T1;{typed};16;36;4;50\n")).cutters
    assert (cutter.body, cutter.substrate) == (body, substrate)


def test_a_word_that_nobody_knows_is_still_a_fault(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        read_crib(written(tmp_path, MILL, "T2;hedge trimmer;10;20;2;\n"))
