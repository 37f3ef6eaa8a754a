"""The tables pass the advisor's own readers without a word of complaint."""

from pathlib import Path

import pytest
import yaml

from advisor.files.problems import Problem
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from advisor.readers.shop import read_shop

SHARED = Path(__file__).resolve().parents[2] / "shared"


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("EN AW-6082-T6", "EN AW-6082-T6"),
        ("3.2315", "EN AW-6082-T6"),
        ("en aw 6082 t6", "EN AW-6082-T6"),
        ("1.0503", "C45"),
        ("AISI 4140", "42CrMo4"),
        ("1.4301", "X5CrNi18-10"),
        ("GG-25", "EN-GJL-250"),
        ("2.4668", "UNS N07718"),
    ],
)
def test_a_material_is_found_by_name_steel_number_or_old_designation(written: str, meant: str) -> None:
    found = load_materials().find(written)
    assert found is not None
    assert found.name == meant


def test_every_row_of_materials_is_read() -> None:
    rows = yaml.safe_load((SHARED / "materials.yaml").read_text(encoding="utf-8"))["materials"]
    assert [material.name for material in load_materials().all] == [row["name"] for row in rows]


def test_titanium_burns_and_aluminium_does_not() -> None:
    materials = load_materials()
    assert materials["Ti-6Al-4V"].burns
    assert not materials["EN AW-6082-T6"].burns


def test_the_demo_crib_leaves_nothing_to_be_assumed() -> None:
    crib = read_crib(SHARED / "crib.csv")
    assert crib.notes == ()
    assert len(crib.cutters) >= 36
    assert [cutter.id for cutter in crib.cutters if cutter.assumed] == []


def test_the_demo_shop_leaves_nothing_to_be_assumed() -> None:
    problems: list[Problem] = []
    shop = read_shop(SHARED / "shop.yaml", problems)
    assert problems == []
    assert shop is not None
    assert shop.crib is not None
    assert "vmc-40-12k" in {machine.name for machine in shop.machines}
    assert [machine.name for machine in shop.machines if machine.assumed] == []
