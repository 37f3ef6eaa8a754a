"""Setting up: what is typed is what is written and read again, and what is written serves every material."""

import contextlib
import csv
import re
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.files.problems import BadInput
from advisor.files.yaml_reader import parse_yaml
from advisor.knowledge.assumptions import assumed
from advisor.mechanics.power import spindle_power
from advisor.model.assignment import Assignment
from advisor.model.features import FEATURE_KINDS
from advisor.model.setup import Setup, SetupFields
from advisor.readers.assignment import read_assignment
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from advisor.readers.setup import completed, machine_kinds, questions, read_fields, setup_of
from advisor.render.setup_files import setup_files
from advisor.service import advise

UNITS = ("mm", "inch")
KINDS = tuple(machine_kinds())
EXAMPLE = re.compile(r"^( *)# (- \{id: .*)$", re.MULTILINE)
# Of each group of ISO 513 the one that is hardest to cut.
HARDEST = {one.group: one.name for one in sorted(load_materials().all, key=lambda material: material.k_c11)}


@contextlib.contextmanager
def written(setup: Setup, examples: bool = False) -> Iterator[Assignment]:
    """The files of a setup, written and read again; with the examples of the job brought in."""
    with TemporaryDirectory() as folder:
        for name, text in setup_files(setup).items():
            told = EXAMPLE.sub(r"\1\2", text) if examples and name == "job.yaml" else text
            Path(folder, name).write_text(told, encoding="utf-8")
        yield read_assignment(Path(folder, "job.yaml"))


# What is written runs


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("kind", KINDS)
def test_every_first_job_has_a_way_for_each_feature_in_each_group_of_material(units: str, kind: str) -> None:
    for material in HARDEST.values():
        with written(setup_of(read_fields({"units": units, "kind": kind, "material": material}))) as assignment:
            answers = advise(assignment, quick=True).features
            assert [answer.region.id for answer in answers if answer.best is None] == [], (material, kind)


def test_all_six_groups_are_tried() -> None:
    assert set(HARDEST) == set("PMKNSH")


@pytest.mark.parametrize("units", UNITS)
def test_the_job_has_an_example_of_every_kind_of_feature_and_each_has_a_way(units: str) -> None:
    setup = setup_of(read_fields({"units": units}))
    shown = EXAMPLE.findall(setup_files(setup)["job.yaml"])
    assert {re.search(r"kind: (\w+)", example)[1] for _, example in shown} == set(FEATURE_KINDS)  # type: ignore[index]
    with written(setup, examples=True) as assignment:
        assert len(assignment.job.features) == 3 + len(shown)
        assert all(answer.best for answer in advise(assignment, quick=True).features)


@pytest.mark.parametrize("units", UNITS)
def test_nothing_is_assumed_of_a_cutter_that_is_written(units: str) -> None:
    with written(setup_of(read_fields({"units": units}))) as assignment:
        assert {note for cutter in assignment.crib for note in cutter.assumed} == set()


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("delimiter", [",", ";"])
def test_a_crib_that_went_through_a_spreadsheet_holds_the_same_cutters(
    units: str, delimiter: str, tmp_path: Path
) -> None:
    text = setup_files(setup_of(read_fields({"units": units})))["crib.csv"]
    rows = list(csv.reader(text.splitlines()))
    wide = max(map(len, rows))
    with open(tmp_path / "saved.csv", "w", encoding="utf-8", newline="") as saved:
        csv.writer(saved, delimiter=delimiter).writerows([*row, *[""] * (wide - len(row))] for row in rows)
    (tmp_path / "written.csv").write_text(text, encoding="utf-8")
    saved, found = read_crib(tmp_path / "saved.csv"), read_crib(tmp_path / "written.csv")
    assert (saved.cutters, saved.units) == (found.cutters, found.units)
    assert found.notes == ()
    assert [note.partition(": ")[2] for note in saved.notes] == (
        ["cells are read as set apart by a semicolon."] if delimiter == ";" else []
    )


@pytest.mark.parametrize("name", ["shop.yaml", "job.yaml", "crib.csv"])
def test_a_remark_is_no_wider_than_an_editor(name: str) -> None:
    for line in setup_files(setup_of(read_fields({})))[name].splitlines():
        assert len(line) <= 115 or re.match(r"\s*(# )?- \{id: |id,", line), line


# What is typed is what is read


def number(least: float, most: float) -> st.SearchStrategy[float]:
    return st.floats(least, most, allow_nan=False) | st.integers(int(least) + 1, int(most)).map(float)


COOLANTS = st.lists(st.sampled_from(["flood", "mist", "air", "through"]), min_size=1, unique=True) | st.just(["none"])
NAMES = st.text(min_size=1, max_size=30).filter(lambda name: name.isprintable() and name.strip())


@st.composite
def options(draw: st.DrawFn) -> dict[str, Any]:
    """Some options with values that are as they must be."""
    found = {
        "units": draw(st.sampled_from(UNITS)),
        "kind": draw(st.sampled_from(KINDS)),
        "machine": draw(
            NAMES | st.sampled_from(["yes", "null", "1.10", "1e5", "- a", "a: b", "#1", "{x}", "'", '"', "~"])
        ),
        "speed": draw(number(1, 200_000)),
        "power": draw(number(0.01, 400)),
        "feed": draw(number(1, 7_000)),
        "rapid": draw(number(1, 7_000)),
        "tool_change": draw(number(0, 3600)),
        "coolant": draw(COOLANTS),
        "material": draw(st.sampled_from([name for one in load_materials().all for name in (one.name, *one.aliases)])),
        "default": draw(st.booleans()),
    }
    kept = draw(st.sets(st.sampled_from(list(found))))
    return {name: value for name, value in found.items() if name in kept}


def as_typed(value: Any) -> str | bool:
    if isinstance(value, list):
        return ", ".join(value)
    return value if isinstance(value, bool | str) else repr(value)


@given(given_options=options())
@settings(max_examples=150)
def test_what_is_given_is_read_back_from_what_is_written(given_options: dict[str, Any]) -> None:
    setup = setup_of(read_fields({name: as_typed(value) for name, value in given_options.items()}))
    inch = given_options.get("units") == "inch"
    with written(setup._replace(default=False)) as found:
        machine = found.machine
        read: dict[str, Any] = {
            "units": found.job.units, "kind": given_options.get("kind"), "machine": machine.name,
            "speed": machine.spindle.speed[-1], "power": machine.spindle.power[-1], "feed": machine.feed_max,
            "rapid": machine.rapid, "tool_change": machine.tool_change, "coolant": list(machine.coolant),
            "material": found.job.material, "default": setup.default,
        }  # fmt: skip
    for name, value in given_options.items():
        if name in ("feed", "rapid"):
            assert read[name] == pytest.approx(value * (25.4 if inch else 1), abs=1e-6)
        elif name == "power" and inch:
            assert read[name] == pytest.approx(value * 0.7457, rel=1e-4, abs=0.001)
        elif name == "machine":
            assert read[name] == value.strip()
        else:
            assert read[name] == value, name
    kind = machine_kinds()[given_options.get("kind", "vertical")].machine
    assert (machine.axis_acceleration, machine.stiffness) == (kind.axis_acceleration, kind.stiffness)


@given(given_options=options())
@settings(max_examples=60)
def test_a_job_of_the_default_shop_names_none(given_options: dict[str, Any]) -> None:
    setup = setup_of(read_fields({name: as_typed(value) for name, value in given_options.items()}))
    job = parse_yaml(setup_files(setup)["job.yaml"], "job.yaml").value
    assert job.get("shop") == (None if setup.default else "shop.yaml")


@given(kind=st.sampled_from(KINDS), speed=number(1, 200_000), power=number(0.01, 400))
def test_a_spindle_has_its_own_speed_and_power_and_the_curve_of_its_kind(kind: str, speed: float, power: float) -> None:
    found = setup_of(read_fields({"kind": kind, "speed": repr(speed), "power": repr(power)})).machine.spindle
    assert (found.speed[-1], found.power[-1]) == (speed, power)
    assert max(found.power) == power
    like = machine_kinds()[kind].machine.spindle
    assert all(point in like.speed for point in found.speed[:-1])


@given(kind=st.sampled_from(KINDS), speed=number(1, 24_000))
def test_a_slower_spindle_of_a_kind_is_offered_no_more_torque_than_the_kind_has(kind: str, speed: float) -> None:
    like = machine_kinds()[kind].machine.spindle
    offered = completed(read_fields({"kind": kind, "speed": repr(speed)}))
    assert offered.power is not None
    most = max(
        spindle_power(like.speed, like.power, min(at, like.speed[-1])) for at in (speed, *like.speed) if at <= speed
    )
    assert offered.power == pytest.approx(most, abs=0.001) or offered.power == assumed("bounds", "spindle_power_least")


def test_a_kind_without_options_is_its_machine_of_the_demo_shop() -> None:
    for word, kind in machine_kinds().items():
        machine = setup_of(read_fields({"kind": word})).machine
        assert machine == type(machine)(**kind.machine.model_dump(exclude={"assumed"}))


def test_a_rapid_that_is_not_given_is_no_slower_than_the_feed() -> None:
    assert setup_of(read_fields({"kind": "old", "feed": "15000"})).machine.rapid == 15000
    assert setup_of(read_fields({"kind": "old", "feed": "500"})).machine.rapid == 10000


@pytest.mark.parametrize(
    ("name", "typed", "units", "read"),
    [
        ("power", "20 hp", "mm", 14.914), ("power", "15 kW", "inch", 15), ("power", "20", "inch", 14.914),
        ("power", "15", "mm", 15), ("power", "11KW", "mm", 11), ("feed", "800 in/min", "mm", 20320),
        ("feed", "20 m/min", "inch", 20000), ("feed", "800", "inch", 20320), ("feed", "800", "mm", 800),
        ("speed", "12000 rpm", "inch", 12000), ("tool_change", "6 s", "mm", 6), ("tool_change", "0", "mm", 0),
        ("coolant", "Flood, air", "mm", ("flood", "air")), ("coolant", "air and air", "mm", ("air",)),
        ("units", '"', "mm", "inch"), ("kind", " Heavy ", "mm", "heavy"), ("default", "Y", "mm", True),
    ],
)  # fmt: skip
def test_a_value_may_carry_its_unit(name: str, typed: str, units: str, read: object) -> None:
    assert getattr(read_fields({"units": units, name: typed}), name) == read


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("power", "15 PS"), ("power", "0"), ("power", "nan"), ("power", "1,5"), ("power", " " * 100_000 + "kW"),
        ("speed", "12,000"), ("speed", "0"), ("speed", "inf"), ("feed", "15 kW"), ("feed", "0.05"), ("rapid", "1e9"),
        ("tool_change", "-1"), ("tool_change", "6 min"), ("coolant", ""), ("coolant", "none air"), ("coolant", "oil"),
        ("units", "cm"), ("kind", "lathe"), ("material", "cheese"), ("machine", ""), ("machine", "a\nb"),
        ("machine", "x" * 5000), ("default", "perhaps"),
    ],
)  # fmt: skip
def test_a_value_that_is_not_as_it_must_be_is_told_by_its_name(name: str, typed: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_fields({name: typed}, {name: "--here"})
    assert {problem.field for problem in caught.value.problems} == {"--here"}
    assert all(problem.wanted and str(problem).isprintable() for problem in caught.value.problems)


@given(typed=st.dictionaries(st.sampled_from(list(SetupFields.model_fields)), st.text(max_size=30)))
@settings(max_examples=300)
def test_any_text_is_read_or_refused(typed: dict[str, str]) -> None:
    with contextlib.suppress(BadInput):
        setup_files(setup_of(read_fields(typed)))


def test_every_field_has_its_question() -> None:
    assert list(questions()) == list(SetupFields.model_fields)


@pytest.mark.parametrize("name", ["speed", "feed", "rapid"])
def test_a_number_that_may_be_thousands_is_asked_about(name: str) -> None:
    """8.000 is eight thousand in a German shop, and eight elsewhere."""
    with pytest.raises(BadInput, match=r"8\.0 or 8000|8\.0.*8000"):
        read_fields({name: "8.000"})
