"""Cribs, and what is worked out where a row leaves something out."""

from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.files.units import Units
from advisor.model.cutter import Cutter, make_cutter
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials

HEAD = "id,body,DC,APMX,ZEFP"


@pytest.fixture
def crib(tmp_path: Path) -> Callable[..., tuple[Cutter, ...]]:
    """Return a reader of a crib given as text or bytes."""

    def reader(contents: str | bytes) -> tuple[Cutter, ...]:
        path = tmp_path / "crib.csv"
        path.write_bytes(contents if isinstance(contents, bytes) else contents.encode())
        return read_crib(path).cutters

    return reader


Crib = Callable[..., tuple[Cutter, ...]]


def test_the_five_needed_columns_are_enough(crib: Crib) -> None:
    (cutter,) = crib(f"{HEAD}\nE12,solid_end_mill,12,26,3\n")
    assert (cutter.LU, cutter.DCONMS, cutter.RE, cutter.KAPR, cutter.substrate) == (26, 12, 0, 90, "carbide")
    assert pytest.approx(26 + 0.3 * 12) == cutter.LPR
    assert (cutter.FHA, cutter.RMPX, cutter.RPMX, cutter.DN, cutter.point_angle) == (None,) * 5
    assert "LU = 26 mm (APMX, no reduced neck given)" in [told.text for told in cutter.assumed]
    assert {told.name for told in cutter.assumed} == {
        "LU", "LPR", "DCONMS", "RE", "KAPR", "substrate", "end_cutting", "dead_centre", "holder_diameter",
    }  # fmt: skip


def test_what_is_given_is_not_assumed() -> None:
    full = {
        "id": "E12", "body": "solid_end_mill", "DC": 12, "APMX": 26, "ZEFP": 3, "LU": 30, "LPR": 40, "DCONMS": 12,
        "RE": 1, "KAPR": 90, "substrate": "hss", "end_cutting": True, "dead_centre": 0, "holder_diameter": 30,
    }  # fmt: skip
    cutter = make_cutter(**full)
    assert cutter.assumed == ()
    assert {name: getattr(cutter, name) for name in full} == full


def test_a_drill_has_the_point_of_its_substrate() -> None:
    carbide = make_cutter(id="D", body="drill", DC=10, APMX=50, ZEFP=2)
    hss = make_cutter(id="D", body="drill", DC=10, APMX=50, ZEFP=2, substrate="hss")
    assert (carbide.point_angle, carbide.KAPR, carbide.end_cutting) == (140, 70, True)
    assert (hss.point_angle, hss.KAPR) == (118, 59)


def test_an_inserted_cutter_has_a_dead_centre_unless_it_says_otherwise() -> None:
    row = {"id": "I25", "body": "inserted_end_mill", "DC": 25, "APMX": 10, "ZEFP": 3}
    assert (make_cutter(**row).end_cutting, make_cutter(**row).dead_centre) == (False, 12.5)
    assert make_cutter(**row, end_cutting="yes").dead_centre == 0
    assert make_cutter(**row, dead_centre=8).dead_centre == 8


def test_a_solid_end_mill_with_a_dead_centre_does_not_cut_at_its_end() -> None:
    row = {"id": "E12", "body": "solid_end_mill", "DC": 12, "APMX": 26, "ZEFP": 4}
    assert make_cutter(**row).end_cutting is True
    assert make_cutter(**row, dead_centre=2).end_cutting is False


def test_heads_may_stand_in_any_order_and_letter_case(crib: Crib) -> None:
    assert crib("Zefp,ID,Body,dc,apmx\n3,E12,Solid_End_Mill,12,26\n") == crib(f"{HEAD}\nE12,solid_end_mill,12,26,3\n")


def test_a_unit_line_turns_lengths_but_not_angles(crib: Crib) -> None:
    (in_inches,) = crib("# units: inch\n" + HEAD + ",LPR,RMPX\nE12,solid_end_mill,0.5,1.25,3,2,5\n")
    (in_mm,) = crib(HEAD + ",LPR,RMPX\nE12,solid_end_mill,12.7,31.75,3,50.8,5\n")
    assert in_inches == in_mm
    assert in_inches.RMPX == 5


def test_two_unit_lines_that_differ_are_refused(crib: Crib) -> None:
    with pytest.raises(BadInput, match=r":2: units: found 'mm'; wanted the units of the whole file once, after inch"):
        crib("# units: inch\n# units: mm\n" + HEAD + "\nE12,solid_end_mill,0.5,1.25,3\n")
    assert crib("# units: mm\n# units: mm\n" + HEAD + "\nE12,solid_end_mill,12,26,3\n")


def test_a_cell_may_carry_its_own_unit(crib: Crib) -> None:
    (cutter,) = crib(f'{HEAD}\nE,solid_end_mill,1/2 in,"1.25""",3\n')
    assert (cutter.DC, cutter.APMX) == (12.7, 31.75)


@pytest.mark.parametrize(
    "contents",
    [
        b"\xef\xbb\xbf" + f"{HEAD}\nE12,solid_end_mill,12,26,3\n".encode(),
        f"{HEAD}\r\nE12,solid_end_mill,12,26,3\r\n".encode(),
        f"{HEAD}\rE12,solid_end_mill,12,26,3\r".encode(),
        f"{HEAD}\nE12,solid_end_mill,12,26,3\n".replace(",", ";").encode(),
        f"{HEAD}\nE12,solid_end_mill,12,26,3\n".replace(",", "\t").encode(),
        f"# our crib\n# units: mm,,,,\n\n{HEAD}\n\n E12 , solid_end_mill , 12 , 26 , 3.0\n,,,,\n".encode(),
        f'{HEAD},\n"E12",solid_end_mill,12,26,3,\n'.encode(),
    ],
    ids=["byte order mark", "crlf", "cr", "semicolons", "tabs", "comments and blanks", "empty last column"],
)
def test_a_crib_is_read_however_a_spreadsheet_writes_it(contents: bytes, crib: Crib) -> None:
    assert crib(contents) == crib(f"{HEAD}\nE12,solid_end_mill,12,26,3\n")


def test_a_row_moved_by_a_decimal_comma_is_refused_even_if_it_ends_in_empty_cells(crib: Crib) -> None:
    with pytest.raises(BadInput, match="a decimal comma begins a new cell"):
        crib(f"{HEAD},RE\nE12,solid_end_mill,11,5,26,3,\n")


TOO_LONG = "worked out as {} mm (LU + 0.3 DC, clamped as short as it can be); wanted LPR to be at most 1000 mm"
OUT_OF_BOUNDS = {
    ("LU", "10,20,2,998"): ["Z.LU: found 998 mm, from which LPR is " + TOO_LONG.format(1001), "change LU, or give LPR"],
    ("RE", "10,998,2,"): [
        "Z.APMX: found 998 mm, from which LPR is " + TOO_LONG.format(1001),
        "change APMX, or give LPR",
    ],
    ("LPR", "10,20,2,1001"): ["Z.LPR: found '1001'; wanted at most 1000 mm."],
    ("LU", "1,10,2,"): [
        "Z.RE: found 0.8 mm (usual for this body; not given); wanted at most half of DC (0.5 mm): give RE"
    ],
}


@pytest.mark.parametrize(("head", "row"), OUT_OF_BOUNDS)
def test_a_length_worked_out_that_cannot_be_is_told_at_the_cell_it_comes_from(crib: Crib, head: str, row: str) -> None:
    """There may be no column for the length itself."""
    body = "inserted_end_mill" if row.startswith("1,") else "solid_end_mill"
    with pytest.raises(BadInput) as caught:
        crib(f"# units: mm\nid,body,DC,APMX,ZEFP,{head}\nZ,{body},{row}\n")
    (problem,) = caught.value.problems
    assert all(said in str(problem) for said in OUT_OF_BOUNDS[head, row]), str(problem)


def test_a_form_feed_in_a_cell_ends_no_line(crib: Crib) -> None:
    with pytest.raises(BadInput) as caught:
        crib(f"{HEAD}\nE10,solid_end_mill,10,26,3\n\fE12,solid_end_mill,x,26,3\n")
    assert [problem.line for problem in caught.value.problems] == [3]


def test_unknown_columns_are_passed_over_aloud(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").write_text(f"{HEAD},colour,RMPX_deg\nE12,solid_end_mill,12,26,3,red,5\n")
    crib = read_crib(tmp_path / "crib.csv")
    assert crib.cutters[0].RMPX is None
    assert "'colour' is not known and was passed over." in crib.notes[0]
    assert crib.notes[1].endswith("'RMPX_deg' is not known and was passed over. Did you mean RMPX?")


def test_heads_and_bodies_are_read_in_the_words_of_the_trade(crib: Crib) -> None:
    (found,) = crib("Tool No.;Type;Ø;Flute length;Flutes;stick-out\nT1;face mill;Ø 63;6;5;60\n")
    assert (found.id, found.body, found.DC, found.APMX, found.ZEFP, found.LPR) == (
        "T1",
        "inserted_face_mill",
        63,
        6,
        5,
        60,
    )


def test_a_column_whose_field_has_its_own_is_passed_over_aloud(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").write_text(f"{HEAD},Type\nE12,solid_end_mill,12,26,3,EM\n")
    crib = read_crib(tmp_path / "crib.csv")
    assert crib.cutters[0].body == "solid_end_mill"
    assert crib.notes == (f"{tmp_path / 'crib.csv'}:1: the column 'Type' was passed over, since body has its own.",)


def test_two_words_for_one_column_are_refused(crib: Crib) -> None:
    with pytest.raises(BadInput, match="'tool' and 't', each a head for it"):
        crib("tool,t,body,DC,APMX,ZEFP\nE12,E13,solid_end_mill,12,26,3\n")


def test_more_cutters_than_any_crib_holds_are_refused(crib: Crib) -> None:
    with pytest.raises(BadInput, match="more than 5000 cutters"):
        crib(HEAD + "\n" + many(5001))


def test_more_columns_than_any_crib_has_are_refused(crib: Crib) -> None:
    with pytest.raises(BadInput, match="more than 200 columns"):
        crib(HEAD + "," * 200 + "\n" + many(1))


def many(count: int) -> str:
    """Return rows of cutters with ids of their own."""
    return "".join(f"E{number},solid_end_mill,12,26,3\n" for number in range(count))


def test_the_demo_crib_reads_without_a_note() -> None:
    crib = read_crib(shared_dir() / "crib.csv")
    assert crib.notes == ()
    assert len(crib.cutters) >= 36
    assert {cutter.body for cutter in crib.cutters} == {
        "solid_end_mill", "inserted_end_mill", "inserted_high_feed_mill", "inserted_stacked_mill", "inserted_face_mill",
        "drill",
    }  # fmt: skip


def test_the_tables_of_materials_read_and_agree_with_their_classes() -> None:
    materials = load_materials()
    assert {material.group for material in materials} == set("NPMKSH")
    assert materials["c45"] is materials.find("C 45")
    assert materials.find("unobtainium") is None
    for material in materials:
        low, high = materials.cutting_class(material.cutting_class).v_c_solid
        assert low <= material.v_c_solid <= high


@pytest.mark.parametrize("written", ["P M K", "PMK", "k/m/p", "P+M+K", "P;K;M"])
def test_the_groups_a_cutter_is_ground_for_are_read_however_they_are_parted(written: str) -> None:
    assert make_cutter(id="E12", body="solid_end_mill", DC=12, APMX=26, ZEFP=4, TMC1ISO=written).TMC1ISO == "P M K"


@pytest.mark.parametrize("written", ["P X", "steel", "P P", "-", 5])
def test_what_is_no_group_of_iso_513_is_refused_with_the_groups_there_are(written: object) -> None:
    with pytest.raises(ValueError, match="P, M, K, N, S and H"):
        make_cutter(id="E12", body="solid_end_mill", DC=12, APMX=26, ZEFP=4, TMC1ISO=written)


def test_a_crib_says_what_its_cutters_are_ground_for_and_coated_with(tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    rows = [
        "id,body,DC,APMX,ZEFP,TMC1ISO,COATING",
        "E12,solid_end_mill,12,26,3,n,Polished",
        "E10,solid_end_mill,10,22,4,,",
    ]
    path.write_text("\n".join(rows), encoding="utf-8")
    keen, plain = read_crib(path).cutters
    assert (keen.TMC1ISO, keen.COATING) == ("N", "polished")
    assert (plain.TMC1ISO, plain.COATING) == (None, None)


def test_a_coating_that_is_not_known_is_refused_with_its_line_and_those_there_are(tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    path.write_text("id,body,DC,APMX,ZEFP,COATING\nE12,solid_end_mill,12,26,4,AITiN\n", encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        read_crib(path)
    (problem,) = refused.value.problems
    assert (problem.line, problem.field, problem.nearest) == (2, "E12.COATING", "altin")


def told_of(contents: str, tmp_path: Path, around: Units = "mm") -> str:
    """Return the one thing that is wrong with a crib."""
    path = tmp_path / "crib.csv"
    path.write_text(contents, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_crib(path, around)
    (problem,) = caught.value.problems
    return problem.wanted


SMALL = "E1,solid_end_mill,.75,1.5,5\nE2,solid_end_mill,1/2,1-1/4,4\nA3,inserted_face_mill,3,.2,6\n"
USUAL = "E1,solid_end_mill,12,26,4\nE2,solid_end_mill,1.5,3,2\n"


def test_a_crib_that_may_be_in_inches_and_does_not_say_so_is_asked_once(tmp_path: Path) -> None:
    assert "'# units: inch', or '# units: mm'" in told_of(f"{HEAD}\n{SMALL}", tmp_path)


def test_a_crib_without_units_in_a_shop_of_inches_is_in_inches_if_its_sizes_are(tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    path.write_text(f"{HEAD}\n{SMALL}", encoding="utf-8")
    found = read_crib(path, "inch")
    assert [round(cutter.DC, 2) for cutter in found.cutters] == [19.05, 12.7, 76.2]
    assert found.units == "inch"
    assert any("it names no units, and is read in inches" in note for note in found.notes)


def test_sizes_of_mm_in_a_shop_of_inches_are_asked_about(tmp_path: Path) -> None:
    assert "'# units: mm', or '# units: inch'" in told_of(f"{HEAD}\n{USUAL}", tmp_path, "inch")


@pytest.mark.parametrize("around", ["mm", "inch"])
def test_a_crib_that_names_its_units_is_in_these(around: Units, tmp_path: Path) -> None:
    path = tmp_path / "crib.csv"
    path.write_text(f"# units: mm\n{HEAD}\nE1,solid_end_mill,1.5,3,2\n", encoding="utf-8")
    assert read_crib(path, around).cutters[0].DC == 1.5


def test_one_thin_cutter_among_others_is_in_mm(crib: Crib) -> None:
    assert [cutter.DC for cutter in crib(f"{HEAD}\n{USUAL}")] == [12, 1.5]
