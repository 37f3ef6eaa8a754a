"""The JSON Schemas describe the files as people write them."""

import re
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped,unused-ignore]
import pytest

from advisor.coach.course import course_schema
from advisor.files.problems import BadInput
from advisor.files.yaml_reader import parse_yaml, read_yaml
from advisor.paths import cases_dir, data_root, shared_dir
from advisor.readers.plan import read_plan
from advisor.readers.schemas import crib_schema, job_schema, plan_schema, shop_schema


@pytest.mark.parametrize("schema", [job_schema(), shop_schema(), crib_schema()])
def test_a_schema_is_valid_draft_2020_12(schema: dict[str, Any]) -> None:
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


def says(schema: dict[str, Any], value: object) -> bool:
    """Return whether a value is one of the schema."""
    return bool(jsonschema.Draft202012Validator(schema).is_valid(value))


def test_the_good_files_are_valid(texts: dict[str, str]) -> None:
    assert says(job_schema(), parse_yaml(texts["job.yaml"], "job.yaml").value)
    assert says(shop_schema(), parse_yaml(texts["shop.yaml"], "shop.yaml").value)
    row = {"id": "E12", "body": "solid_end_mill", "DC": "0.5 in", "APMX": 26, "ZEFP": 3}
    assert says(crib_schema(), [row])
    assert not says(crib_schema(), [])
    assert not says(crib_schema(), [{**row, "body": "hammer"}])


@pytest.mark.parametrize("width", ['"0.75 in"', "'0.75\"'", "3/4 in", "1-1/2 in", "19 mm", "19", "'19'", ".5", "'+5'"])
def test_a_length_may_be_a_number_or_text_with_a_unit(width: str, texts: dict[str, str]) -> None:
    job = texts["job.yaml"].replace("width: 14.5", f"width: {width}")
    assert says(job_schema(), parse_yaml(job, "job.yaml").value)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("width: 14.5", "width: wide"),
        ("width: 14.5", "width: 14,5"),
        ("width: 14.5", "widht: 14.5"),
        ("width: 14.5", ""),
        ("width: 14.5", "width: -1"),
        ("kind: slot", "kind: slott"),
        ("kind: slot", ""),
        ("open_ends: 0", "open_ends: 3"),
        ("units: mm", "units: cm"),
        ("floor: true", "floor: perhaps"),
        ("part:", "prat:"),
    ],
)
def test_a_slip_is_invalid(old: str, new: str, texts: dict[str, str]) -> None:
    assert not says(job_schema(), parse_yaml(texts["job.yaml"].replace(old, new, 1), "job.yaml").value)


def test_what_readers_work_out_is_no_part_of_the_files() -> None:
    assert "assumed" not in shop_schema()["$defs"]["MachineRow"]["properties"]
    assert "assumed" not in crib_schema()["items"]["properties"]
    assert shop_schema()["$defs"]["MachineRow"]["required"] == [
        "name", "spindle", "feed_max", "rapid", "tool_change", "coolant",
    ]  # fmt: skip
    assert crib_schema()["items"]["required"] == ["id", "body", "DC", "APMX", "ZEFP"]


SHIPPED = {
    "job": (job_schema, sorted(cases_dir().glob("*/job.yaml"))),
    "shop": (shop_schema, [shared_dir() / "shop.yaml", *sorted(cases_dir().glob("*/shop.yaml"))]),
    "plan": (plan_schema, sorted(cases_dir().glob("*/plans/*.yaml"))),
    "course": (course_schema, sorted((shared_dir() / "courses").glob("*.yaml"))),
}
KEYS = {"job": "features", "shop": "machines", "plan": "operations", "course": "course"}


def faults(schema: dict[str, Any], value: object) -> list[str]:
    return [str(error.message) for error in jsonschema.Draft202012Validator(schema).iter_errors(value)]


@pytest.mark.parametrize("kind", SHIPPED)
def test_every_shipped_file_is_valid(kind: str) -> None:
    schema, files = SHIPPED[kind]
    assert files
    told = {str(file): faults(schema(), read_yaml(file).value) for file in files}
    assert not {file: found for file, found in told.items() if found}


@pytest.mark.parametrize("kind", SHIPPED)
def test_the_forms_of_the_readme_are_valid(kind: str) -> None:
    readme = (data_root() / "README.md").read_text(encoding="utf-8")
    blocks = [parse_yaml(block, "README.md").value for block in re.findall(r"```yaml\n(.*?)```", readme, re.DOTALL)]
    forms = [block for block in blocks if KEYS[kind] in block]
    assert forms
    assert not [found for form in forms for found in faults(SHIPPED[kind][0](), form)]


SPELT = [
    "feature: S1",
    "feature: [S1, P1]",
    "feature: 7",
    "feature: S1, method: Layered pocketing",
    "feature: S1, method: RAMPED-SLOTTING",
    "feature: S1, entry: zigzag-ramp",
    "feature: S1, ap: 5",
    "feature: S1, Step-over: 5 mm, S: 8000",
    "feature: S1, F: 3000 mm/min, Way in: helix",
    "feature: S1, method: Trochoidal milling",
    "feature: S1, entry: Roll-In",
    "feature: S1, coolant: Through the spindle",
    "feature: S1, spindle_speed: 8000 U/min",
    "feature: S1, feed_per_tooth: 0.1 mm/tooth",
    "feature: S1, feed_per_tooth: 0.1 mm/Z",
    "feature: S1, coolant: Flood",
    "feature: S1, spindle_speed: 8000 rpm",
    "feature: S1, spindle_speed: 8000 /min",
    "feature: S1, ramp_angle: 3°",
    "feature: S1, ramp_angle: 2.5 deg",
    "feature: S1, feed_rate: 3 m/min",
    "feature: S1, tabs: yes",
    "feature: S1, axial_depth: 1/4 in",
    'feature: S1, axial_depth: "+5"',
    'feature: S1, tabs: "Yes"',
]
MISSPELT = [
    "feature: []",
    "feature: {}",
    "feature: S1, method: laid",
    "feature: S1, feed: 3000",
    "feature: S1, ap: deep",
    "feature: S1, method: bore",
    "feature: S1, entry: ramp",
    "feature: S1, spindle_speed: 8000 m/min",
    "feature: S1, ramp_angle: 3 mm",
    "feature: S1, coolant: beer",
]


@pytest.mark.parametrize(("fields", "good"), [*((one, True) for one in SPELT), *((one, False) for one in MISSPELT)])
def test_the_schema_of_a_plan_accepts_what_the_reader_accepts(fields: str, good: bool, tmp_path: Path) -> None:
    file = tmp_path / "plan.yaml"
    file.write_text(f"operations:\n  - {{{fields}, cutter: E10}}\n", encoding="utf-8")
    assert says(plan_schema(), read_yaml(file).value) is good
    if good:
        read_plan(file)
    else:
        with pytest.raises(BadInput):
            read_plan(file)
