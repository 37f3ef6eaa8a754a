"""Plans as people write them: YAML, a table, or a line of speech; and what is wrong with them, told clearly."""

from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.files.units import Units
from advisor.model.assignment import Assignment
from advisor.model.operations import Plan
from advisor.readers.assignment import read_assignment
from advisor.readers.plan import read_plan
from advisor.readers.plan_check import check_plan
from advisor.readers.plan_line import plan_said
from advisor.readers.plan_rows import Known, known_of
from advisor.readers.plan_table import read_plan_table
from advisor.render.review_record import review_record
from advisor.review.verdict import review
from advisor.text.review import units_text
from tests.review.planning import assignment

WINCH = "winch-side-plate"
CUTTERS = [cutter.id for cutter in assignment(WINCH).crib]


def from_yaml(text: str, folder: Path, units: str = "mm") -> Plan:
    """Return the plan of a YAML text."""
    path = folder / "plan.yaml"
    path.write_text(text, encoding="utf-8")
    return read_plan(path, units)  # type: ignore[arg-type]


def say(*texts: str, units: str = "mm") -> Plan:
    """Return the plan of spoken operations."""
    return plan_said(texts, CUTTERS, units)  # type: ignore[arg-type]


def told(text: str) -> str:
    """Return what is wrong with a spoken plan, once it is held against job and crib."""
    with pytest.raises(BadInput) as caught:
        check_plan(say(text), assignment(WINCH))
    return str(caught.value)


def settings(plan: Plan, place: int = 0) -> dict[str, object]:
    """Return what an operation says."""
    return {name: value for name, value in plan.operations[place].row.model_dump().items() if value is not None}


def test_a_plan_says_as_little_as_feature_and_cutter(tmp_path: Path) -> None:
    plan = from_yaml("operations:\n  - {feature: S1, cutter: E12N3}\n", tmp_path)
    assert settings(plan) == {"feature": ("S1",), "cutter": "E12N3"}


def test_one_operation_may_serve_many_features_and_names_stay_as_spelt(tmp_path: Path) -> None:
    plan = from_yaml("programmer: AB\noperations:\n  - {feature: [S1, 010], cutter: 1.10}\n", tmp_path)
    assert settings(plan) == {"feature": ("S1", "010"), "cutter": "1.10"}
    assert plan.programmer == "AB"


def test_lengths_and_feeds_follow_the_units_of_job_or_plan(tmp_path: Path) -> None:
    said = "{feature: S1, cutter: E12N3, radial_width: 0.1, feed_rate: 100, axial_depth: 5 mm}"
    text = f"units: inch\noperations:\n  - {said}\n"
    found = settings(from_yaml(text, tmp_path))
    assert (found["radial_width"], found["feed_rate"], found["axial_depth"]) == (2.54, 2540, 5)
    assert settings(say("S1: E12N3 ae 0.1", units="inch"))["radial_width"] == 2.54
    assert settings(say("S1: E12N3 vf 120 in/min"))["feed_rate"] == pytest.approx(3048)


def test_words_are_taken_however_they_are_spelt(tmp_path: Path) -> None:
    text = "operations:\n  - {feature: S1, cutter: E12N3, method: Layered pocketing, entry: zigzag-ramp}\n"
    found = settings(from_yaml(text, tmp_path))
    assert (found["method"], found["entry"]) == ("layered_pocketing", "zigzag_ramp")


def test_operations_come_in_their_order(tmp_path: Path) -> None:
    text = "operations:\n  - {feature: S1, cutter: E12N3, order: 2}\n  - {feature: P1, cutter: E16N3, order: 1}\n"
    plan = from_yaml(text, tmp_path)
    assert [(one.number, one.features) for one in plan.operations] == [(1, ("P1",)), (2, ("S1",))]


def test_a_spoken_plan_is_understood_in_symbols_of_the_trade() -> None:
    plan = say("S1, P1: layered pocketing E12N3 helical ramp ae 6 ap 4 vf 3 m/min n 8000 /min ramp 3°")
    assert settings(plan) == {
        "feature": ("S1", "P1"),
        "method": "layered_pocketing",
        "cutter": "E12N3",
        "entry": "helical_ramp",
        "radial_width": 6,
        "axial_depth": 4,
        "feed_rate": 3000,
        "spindle_speed": 8000,
        "ramp_angle": 3,
    }


@pytest.mark.parametrize(
    "text",
    [
        "S1: layered pocketing E12N3 helical ramp ap 4 n 8000",
        "S1: E12N3 ap 4 layered pocketing helical ramp n 8000",
        "S1: E12N3 helical ramp ap 4 n 8000 layered pocketing",
        "S1: ap 4 n 8000 layers E12N3 helical ramp",
        "S1: E12N3 helical ramp layered pocketing ap 4 n 8000",
    ],
)
def test_method_and_way_in_may_stand_anywhere_in_a_spoken_operation(text: str) -> None:
    wanted = {"method": "layered_pocketing", "entry": "helical_ramp", "axial_depth": 4, "spindle_speed": 8000}
    assert settings(say(text)) == {"feature": ("S1",), "cutter": "E12N3"} | wanted


def test_looping_is_a_short_word_for_its_method_and_a_drill_goes_with_its_hole() -> None:
    assert settings(say("S1: E12N3 ap 3.5 looping"))["method"] == "engagement_limited_clearing"
    for text in ("S1: ap 3.5 predrilled hole with D13 E12N3 n 8000", "S1: E12N3 ap 3.5 predrilled hole D13"):
        found = settings(say(text))
        assert (found["cutter"], found["entry_cutter"]) == ("E12N3", "D13")


def test_several_spoken_operations_stand_apart_by_semicolons_and_options() -> None:
    plan = say(
        "S1: E12N3 predrilled hole with D13 levels 2; P1: E16N3 a_e 4 f_z 0.1", "Q1: E20N3 coolant flood tabs no"
    )
    assert [one.row.cutter for one in plan.operations] == ["E12N3", "E16N3", "E20N3"]
    assert (settings(plan)["entry"], settings(plan)["entry_cutter"]) == ("predrilled_hole", "D13")
    assert (settings(plan, 2)["coolant"], settings(plan, 2)["tabs"]) == ("flood", False)


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_a_table_may_have_any_of_three_signs_between_cells(sign: str) -> None:
    text = "feature,cutter,method,ap,ae\nS1,E12N3,ramped slotting,6,\nP1,E16N3,,20,2.5\n".replace(",", sign)
    plan = read_plan_table("plan.csv", text.encode(), "mm")
    assert settings(plan) == {"feature": ("S1",), "cutter": "E12N3", "method": "ramped_slotting", "axial_depth": 6}
    assert settings(plan, 1)["radial_width"] == 2.5
    assert bool(plan.notes) == (sign != ",")


def test_decimal_commas_of_a_table_are_read_and_said_aloud() -> None:
    plan = read_plan_table("plan.csv", b"# programmer: AB\nfeature;cutter;ap\nS1 + P1;E12N3;1,5\n", "mm")
    assert settings(plan)["axial_depth"] == 1.5
    assert (plan.programmer, plan.operations[0].features) == ("AB", ("S1", "P1"))
    assert any("decimal commas" in note for note in plan.notes)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("feature;cutter;n\nS1;E12N3;8,000\n", ["plan.csv:2", "8,000", "one way only"]),
        ("feature;cutter;ap;n\nS1;E12N3;1,5;8.000\n", ["plan.csv:2", "8.000", "one way only"]),
        ("feature,cutter,ap\nS1,E12N3,1,5\n", ["plan.csv:2", "4 cells", "decimal comma"]),
        ("feature,cuter,ap\nS1,E12N3,5\n", ["plan.csv:1", "'cuter'", "Did you mean cutter?"]),
        ("feature,cutter;ap\nS1,E12N3;5\n", ["one separator between the heads"]),
        ("feature,cutter,ap,a_p\nS1,E12N3,5,6\n", ["axial_depth", "'ap' and 'a_p'", "each head once"]),
        ("feature,cutter\n", ["no operation"]),
        ("feature,cutter,ap\nS1,E10P4,1\n\fP1,E10P4,x\n", ["plan.csv:3: operation of line 3.axial_depth: found 'x'"]),
        ("feature,cutter,ap\nS1,E1\u20280P4,1\nP1,E1,x\n", ["plan.csv:2", "line breaks", "plan.csv:3", "'x'"]),
        ("# programmer: AB\r\rfeature,cutter,ap\r\n\nP1,E1,x", ["plan.csv:5: operation of line 5.axial_depth"]),
        ('feature,cutter,ap\n"S1\n",E1,1\nP1,E1,x\n', ["plan.csv:4: operation of line 4.axial_depth"]),
        ("feature\ncutter\n", ["found 'feature'; wanted heads with a comma"]),
        ("", ["an empty file"]),
        ("feature,cutter,levels\nS1,E12N3,2.5\n", ["plan.csv:2", "levels", "whole number"]),
        ("# units: furlong\nfeature,cutter\nS1,E12N3\n", ["units", "mm or inch"]),
        ('feature,cutter\n"S1,E12N3\n', ["an error in the CSV"]),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_with_its_line(text: str, words: list[str]) -> None:
    with pytest.raises(BadInput) as caught:
        read_plan_table("plan.csv", text.encode(), "mm")
    assert all(word in str(caught.value) for word in words), str(caught.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("P11: E12N3 ae 5", ["operation 1.feature", "'P11'", "Did you mean P1?"]),
        ("S1: E12N4 ae 5", ["operation 1.cutter", "crib"]),
        ("S1: E12N3 ae 0.5 m", ["radial_width", "the unit 'm'", "mm or in"]),
        ("P1: E12N3 ae 50", ["radial_width", "50 mm", "12 mm that E12N3 is wide", "unit"]),
        ("P1: E12N3 ae 500", ["radial_width", "500", "at most 250 mm"]),
        ("P1: E12N3 fz 0.1 n 5000 vf 3000", ["feed_rate", "3000 mm/min", "1500 mm/min"]),
        ("P1: E12N3 n 5000; P1: E12N3 n 6000", ["operation 2.spindle_speed", "5000 in operation 1", "one of the two"]),
        ("P1: E12N3 predrilled hole with E6N3", ["entry_cutter", "no drill"]),
        ("P1: E12N3 side entry with D13", ["entry_cutter", "predrilled_hole"]),
        ("P1: E12N3 bottom 40", ["allowance_bottom", "29 mm that P1 is deep"]),
        ("S1: E12N3 side 8", ["allowance_side", "half the width (13.6 mm) of S1"]),
        ("T1: E12N3 side 18", ["allowance_side", "less than the width (18 mm) of T1"]),
        ("C1: E12N3 side 4", ["allowance_side", "the stock beside the outline (4 mm) of C1"]),
        ("P1: E12N3 ap 0.001", ["axial_depth", "0.0029 mm or more: P1 is 29 mm deep"]),
        ("P1: E12N3 vf 3000 furlong", ["furlong"]),
        ("P1: E12N3 n", ["a value behind every symbol"]),
        ("P1: E12N3 ap 3 ap 4", ["axial_depth", "each setting once"]),
        ("P1", ["an operation such as"]),
        (": E12N3", ["an operation such as"]),
        ("P1: layered pocketing", ["a cutter of the crib"]),
        ("P1: knitting E12N3", ["method", "'knitting'"]),
        ("P1: E12N3 n 1,200", ["one way only: 1.2 or 1200."]),
        ("P1: E12N3 n 8.000", ["one way only: 8.0 or 8000."]),
        ("P1: E12N3 vf 3.240 mm/min", ["one way only: 3.24 mm/min or 3240 mm/min."]),
        ("P1: E12N3 ap 1,500 mm", ["found '1,500 mm'", "one way only: 1.5 mm or 1500 mm."]),
        ("P1: E12N3 vf 1,500mm/min", ["one way only: 1.5mm/min or 1500mm/min."]),
        ("P1: E12N3 ap 1,505", ["one way only: 1.5050 or 1505."]),
        ("P1: E12N3 ap 2,000 mm", ["one way only: 2.0 mm or 2000 mm."]),
        ("P1: E12N3 ap nan", ["operation 1.axial_depth: found nan; wanted a length"]),
        ("P1: E12N3 ap -inf", ["operation 1.axial_depth: found -inf; wanted a length"]),
        ("P1: E12N3 ap ½", ["operation 1.axial_depth: found '½'; wanted a length"]),
        ("P1: E12N3 ap deep", ["operation 1.axial_depth: found 'deep'; wanted a length"]),
        ("P1: E12N3 helical ramp n fast", ["operation 1.spindle_speed: found 'fast'; wanted a number"]),
        ("P1: E12N3 side -0.5", ["operation 1.allowance_side", "-0.5", "0 or more"]),
        ("P1: E12N3 side nan", ["operation 1.allowance_side: found nan; wanted a length"]),
        ("P1: E12N3 zigzag ramp ramp ½", ["operation 1.ramp_angle: found '½'; wanted a number in degrees"]),
        ("P1: E12N3 helical rmp", ["operation 1.entry: found 'helical rmp'", "Did you mean helical_ramp?"]),
    ],
)
def test_a_plan_that_cannot_be_meant_is_refused(text: str, words: list[str]) -> None:
    message = told(text)
    assert all(word in message for word in words), message


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("operations: []\n", ["an empty list", "a list of operations"]),
        ("- 1\n", ["a plan: operations"]),
        ("operations:\n  - {feature: S1}\n", ["plan.yaml:2", "cutter"]),
        (
            "operations:\n  - {feature: S1, cutter: E12N3, radial_witdh: 5}\n",
            ["plan.yaml:2", "Did you mean radial_width?"],
        ),
        ("operations:\n  - {feature: S1, cutter: E12N3, axial_depth: -1}\n", ["axial_depth", "more than 0"]),
        ("operations:\n  - {feature: [S1, S1], cutter: E12N3}\n", ["each feature once"]),
        (
            "operations:\n  - {feature: S1, cutter: E12N3, order: 1}\n  - {feature: S1, cutter: E12N3}\n",
            ["plan.yaml:3", "an order for every operation"],
        ),
        (
            "operations:\n  - {feature: S1, cutter: E12N3, order: 1}\n  - {feature: P1, cutter: E12N3, order: 1}\n",
            ["plan.yaml:3", "1 a second time"],
        ),
        ("operations:\n  - 5\n", ["plan.yaml:2", "an operation: a mapping"]),
        ("programmer: [1]\noperations:\n  - {feature: S1, cutter: E12N3}\n", ["plan.yaml:1", "programmer"]),
    ],
)
def test_a_plan_file_that_cannot_be_read_is_refused_with_its_line(text: str, words: list[str], tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        from_yaml(text, tmp_path)
    assert all(word in str(caught.value) for word in words), str(caught.value)


KNOWN = known_of(assignment(WINCH))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "cutter: E12N3,\n     AP: 3, Depth of cut: 4",
            ["plan.yaml:3", "a second value for axial_depth", "each setting once"],
        ),
        ("cutter: E12N3,\n     ap: -3", ["plan.yaml:3: operations[1].axial_depth: found -3"]),
        (
            "cutter: E12N3,\n     feed: 3000",
            ["plan.yaml:3", "'feed', which has several meanings", "feed_rate (mm/min)"],
        ),
        ("cutter: E12N3,\n     method: bore", ["plan.yaml:3", "'bore', which has several meanings"]),
        ("cutter: E12N4, ap: 1xD", ["axial_depth: found '1xD'", "the cutter is not known here"]),
    ],
)
def test_the_words_of_a_plan_file_are_refused_with_their_line(text: str, words: list[str], tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(f"operations:\n  - {{feature: P1, {text}}}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_plan(tmp_path / "plan.yaml", "mm", KNOWN)
    assert all(word in str(caught.value) for word in words), str(caught.value)


def test_a_plan_file_and_a_table_say_the_same_in_words_of_the_trade(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(
        "operations:\n  - {Feature: [p1, S1], tool: e12n3, strategy: peeling, ap: 1xD, step-over: 10 %, S: 8000 rpm}\n"
    )
    (tmp_path / "plan.csv").write_text(
        "Feature;Tool No.;Strategy;DOC;WOC;RPM\nP1+s1;e12n3;Trochoidal milling;1xD;0,1xD;8000\n"
    )
    plans = [read_plan(tmp_path / name, "mm", KNOWN) for name in ("plan.yaml", "plan.csv")]
    wanted = {
        "feature": ("P1", "S1"),
        "cutter": "E12N3",
        "method": "engagement_limited_clearing",
        "axial_depth": 12,
        "radial_width": 1.2,
        "spindle_speed": 8000,
    }
    assert [settings(plan) for plan in plans] == [wanted, wanted]


def test_what_cutter_and_feature_leave_alone_is_taken_and_said(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text("operations:\n  - {feature: S1, cutter: D13, method: bore}\n")
    plan = read_plan(tmp_path / "plan.yaml", "mm", Known({"S1": "round_hole"}, KNOWN.cutters))
    assert settings(plan)["method"] == "drilling"
    note = "'bore' is taken as drilling: cutter and feature allow nothing else."
    assert plan.notes == (f"{tmp_path / 'plan.yaml'}:2: {note}",)


INCH_JOB = """
part: A part
units: inch
material: C45
machine: vmc-40-12k
features:
- {id: P, kind: closed_pocket, length: 3.5 in, width: 2.4 in, depth: 0.6 in, corner_radius: 0.4 in, floor: true}
"""


def inch_assignment(tmp_path: Path, units: str = "inch") -> Assignment:
    (tmp_path / "job.yaml").write_text(INCH_JOB.replace("units: inch", f"units: {units}"), encoding="utf-8")
    return read_assignment(tmp_path / "job.yaml")


@pytest.mark.parametrize("level", ["20", "4", "1.3"])
def test_a_level_in_inches_that_is_one_only_in_mm_is_asked_for_its_unit(level: str, tmp_path: Path) -> None:
    """The pocket is 0.6 in deep, 15.24 mm."""
    job = inch_assignment(tmp_path)
    plan = plan_said([f"P: E12P4 ap {level}"], ["E12P4"], "inch")
    with pytest.raises(BadInput, match=rf"found {level} in \([0-9.]+ mm\) where 0.6 in are to be cut; wanted its unit"):
        check_plan(plan, job)


@pytest.mark.parametrize("level", ["0.6", "1.2", "4 mm", "31"])
def test_a_level_that_may_be_meant_in_inches_or_is_none_in_mm_either_is_not_asked_for_its_unit(
    level: str, tmp_path: Path
) -> None:
    check_plan(plan_said([f"P: E12P4 ap {level}"], ["E12P4"], "inch"), inch_assignment(tmp_path))


def test_a_feed_per_tooth_out_of_bounds_in_inches_is_told_with_its_unit() -> None:
    with pytest.raises(BadInput, match=r"found '0.6 in'; wanted at most 0.3937 in"):
        plan_said(["P: E12P4 fz 0.6"], ["E12P4"], "inch")


@pytest.mark.parametrize(
    ("job", "plan", "text"),
    [
        ("inch", None, "read in inches and in/min, as in the job."),
        ("mm", None, "read in mm and mm/min, as in the job."),
        ("mm", "inch", "read in inches and in/min, as the plan says. All values are shown in mm."),
        ("inch", "mm", "read in mm and mm/min, as the plan says. All values are shown in mm."),
    ],
)
def test_the_head_of_a_review_says_in_which_unit_the_numbers_were_read(
    job: str, plan: Units | None, text: str, tmp_path: Path
) -> None:
    found = inch_assignment(tmp_path, job)
    said = plan_said(["P: E12P4 levels 4"], ["E12P4"], plan or found.job.units)._replace(units_said=plan is not None)
    told = review(said, found)
    assert units_text(told).endswith(text)
    assert review_record(told).units == (plan or job)


def test_the_unit_that_a_plan_names_is_kept(tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text("units: inch\noperations: [{feature: P, cutter: E}]\n", encoding="utf-8")
    (tmp_path / "plan.csv").write_text("# units: inch\nfeature,cutter\nP,E\n", encoding="utf-8")
    for name in ("plan.yaml", "plan.csv"):
        plan = read_plan(tmp_path / name, "mm")
        assert (plan.units, plan.units_said) == ("inch", True)
    assert plan_said(["P: E"], ["E"], "inch").units_said is False


@pytest.mark.parametrize("speed", ["1e-300", "1e-308", "0.5"])
def test_a_spindle_that_hardly_turns_is_no_setting(speed: str) -> None:
    """It was worked out until a division by nought."""
    with pytest.raises(BadInput, match="wanted at least 1 /min"):
        say(f"S1: E12N3 n {speed}")


@pytest.mark.parametrize(("units", "feed"), [("mm", "0.18"), ("inch", "0.007")])
def test_a_plain_feed_of_next_to_nothing_is_asked_about(units: Units, feed: str) -> None:
    """As drills are told: f 0.18 means 0.18 mm a turn."""
    with pytest.raises(BadInput, match=f"'fn {feed}' for .* a turn"):
        plan_said([f"P: E12P4 f {feed}"], ["E12P4"], units)


def test_a_feed_is_what_its_unit_says() -> None:
    crib = {cutter.id: cutter for cutter in assignment(WINCH).crib}
    (turn,) = plan_said(["P: E12P4 f 0.18 mm/rev"], crib, "mm").operations
    (minute,) = plan_said(["P: E12P4 f 0.18 mm/min"], ["E12P4"], "mm").operations
    (plain,) = plan_said(["P: E12P4 F510"], ["E12P4"], "mm").operations
    assert [one.row.feed_rate for one in (minute, plain)] == [0.18, 510]
    assert (turn.row.feed_rate, turn.row.feed_per_tooth) == (None, 0.045)
