"""The JSON Schemas describe the files as people write them."""

from typing import Any

import jsonschema  # type: ignore[import-untyped,unused-ignore]
import pytest

from advisor.inputs import crib_schema, job_schema, parse_yaml, shop_schema


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


@pytest.mark.parametrize("width", ['"0.75 in"', "'0.75\"'", "3/4 in", "1-1/2 in", "19 mm", "19", "'19'", ".5"])
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
        "name", "spindle", "feed_max", "rapid", "axis_acceleration", "tool_change", "coolant",
    ]  # fmt: skip
    assert crib_schema()["items"]["required"] == ["id", "body", "DC", "APMX", "ZEFP"]
