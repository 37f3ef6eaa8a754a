"""The reference tables: what a miller may rely on when reading them."""

import itertools
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.knowledge.shipped import rule_base
from advisor.readers.materials import load_materials

SHARED = Path(__file__).resolve().parents[2] / "shared"
GROUPS = set("NPMKSH")
NUMBERS = ("k_c11", "m_c", "v_c_solid", "v_c_inserted", "h_share", "h_insert")
MAY_BE_LEFT_OUT = {"insert_depth", "ground_for"}  # columns that only some classes have
TRAITS = ("burns", "work_hardens", "builds_up_edge", "abrasive", "hard_skin")


def read(name: str) -> Any:
    return yaml.safe_load((SHARED / name).read_text(encoding="utf-8"))


MATERIALS: list[dict[str, Any]] = read("materials.yaml")["materials"]
COLUMNS: dict[str, Any] = read("cutting_data.yaml")["columns"]
CLASSES: dict[str, Any] = read("cutting_data.yaml")["classes"]
ASSUMPTIONS: dict[str, Any] = read("assumptions.yaml")
SOURCES: dict[str, Any] = read("sources.yaml")


def material(name: str) -> dict[str, Any]:
    return next(row for row in MATERIALS if row["name"] == name)


def middle(key: str, column: str) -> float:
    low, high = CLASSES[key][column]
    return float(low + high) / 2


# materials


def test_materials_of_all_six_groups_are_there() -> None:
    assert len(MATERIALS) >= 28
    assert {row["group"] for row in MATERIALS} == GROUPS


def test_every_material_belongs_to_a_class_of_its_own_group() -> None:
    for row in MATERIALS:
        assert CLASSES[row["cutting_class"]]["group"] == row["group"], row["name"]


def test_no_class_is_without_a_material() -> None:
    assert {row["cutting_class"] for row in MATERIALS} == set(CLASSES)


@pytest.mark.parametrize("column", ["v_c_solid", "h_share", "v_c_inserted", "h_insert"])
def test_a_material_is_cut_within_the_range_of_its_class(column: str) -> None:
    for row in MATERIALS:
        span = CLASSES[row["cutting_class"]][column]
        if span is None:
            assert row[column] is None, row["name"]
        else:
            assert span[0] <= row[column] <= span[1], row["name"]


def test_no_two_materials_differ_only_in_name() -> None:
    for one, other in itertools.combinations(MATERIALS, 2):
        assert [one[key] for key in NUMBERS] != [other[key] for key in NUMBERS], (one["name"], other["name"])


def test_a_name_or_alias_means_one_material_whatever_its_spaces_hyphens_and_letter_case() -> None:
    owner: dict[str, str] = {}
    for row in MATERIALS:
        for word in [row["name"], *row["aliases"]]:
            assert isinstance(word, str), f"{word} of {row['name']} wants quotes"
            folded = "".join(word.casefold().replace("-", "").split())
            assert owner.setdefault(folded, row["name"]) == row["name"], word


def test_every_material_tells_all_that_is_asked_of_it() -> None:
    asked = {"name", "aliases", "group", "cutting_class", "hardness", *NUMBERS, "source"}
    may = asked | set(TRAITS) | {"states", "steel", "any_steel", "age_hardened", "pre_hardened"}
    for row in MATERIALS:
        assert asked <= set(row) <= may, row["name"]
        assert row["hardness"].split()[-1] in {"HB", "HRC"}, row["name"]


def test_a_trait_is_written_only_where_a_material_has_it() -> None:
    for trait in TRAITS:
        written = [row[trait] for row in MATERIALS if trait in row]
        assert written, trait
        assert all(value is True for value in written), trait


def test_specific_cutting_force_is_of_a_believable_size() -> None:
    for row in MATERIALS:
        assert 200 <= row["k_c11"] <= 5000, row["name"]
        assert 0.1 <= row["m_c"] <= 0.3, row["name"]


def test_hardening_a_steel_raises_its_cutting_force_and_lowers_its_speed() -> None:
    hardened = [row for row in MATERIALS if row["name"].endswith(" hardened")]
    assert hardened
    for row in hardened:
        soft = material(row["name"].removesuffix(" hardened"))
        assert row["group"] == "H"
        assert row["k_c11"] > soft["k_c11"], row["name"]
        assert row["v_c_solid"] < soft["v_c_solid"], row["name"]


def test_the_class_of_a_hardened_steel_agrees_with_its_hardness() -> None:
    for row in MATERIALS:
        if row["group"] == "H":
            low, high = map(float, row["hardness"].removesuffix(" HRC").split("-"))
            assert (high <= 55) if row["cutting_class"] == "H-48-55" else (low >= 55), row["name"]


def test_within_a_grade_family_of_iron_the_stronger_one_is_cut_slower() -> None:
    for family in (["EN-GJL-200", "EN-GJL-250", "EN-GJL-300"], ["EN-GJS-400-15", "EN-GJS-600-3", "EN-GJS-700-2"]):
        speeds = [material(name)["v_c_solid"] for name in family]
        forces = [material(name)["k_c11"] for name in family]
        assert speeds == sorted(speeds, reverse=True)
        assert forces == sorted(forces)


def test_magnesium_and_titanium_burn_and_nothing_else_does() -> None:
    burning = {row["cutting_class"] for row in MATERIALS if row.get("burns")}
    assert burning == {"N-magnesium", "S-titanium"}
    assert all(row.get("burns") for row in MATERIALS if row["cutting_class"] in burning)


def test_austenitic_duplex_and_nickel_alloys_harden_as_they_are_cut() -> None:
    for row in MATERIALS:
        if row["cutting_class"] in {"M-austenitic", "M-duplex", "S-nickel"}:
            assert row.get("work_hardens"), row["name"]


def test_iron_castings_carry_a_hard_skin() -> None:
    assert all(row.get("hard_skin") for row in MATERIALS if row["group"] == "K")


def test_stainless_steel_without_austenite_counts_as_steel() -> None:
    # ISO 513: group M is stainless steel with an austenitic or austenitic-ferritic structure, all other steel is P.
    assert {material(name)["group"] for name in ("X6Cr17", "X20Cr13", "X5CrNiCuNb16-4")} == {"P"}
    assert {material(name)["group"] for name in ("X5CrNi18-10", "X2CrNiMoN22-5-3")} == {"M"}


# cutting data


def test_every_class_fills_every_column() -> None:
    for key, row in CLASSES.items():
        assert set(row) - {"insert_depth", "ground_for", "cut_dry"} == {"title", "group", *COLUMNS}, key


def test_what_is_ground_for_one_group_alone_is_a_fact_of_a_cutter() -> None:
    """Of each of these facts one group: an edge for aluminium is sharp, one for hardened steel blunt."""
    edges = load_materials().edges_alone
    assert edges == {"ground_soft": "N", "ground_blunt": "H"}
    assert all(rule_base().measures[fact].level == "cutter" for fact in edges)


def test_every_pair_runs_from_low_to_high_and_is_above_zero() -> None:
    for key, row in CLASSES.items():
        for column in COLUMNS.keys() - {"modulus"} - MAY_BE_LEFT_OUT:
            if row[column] is not None:
                low, high = row[column]
                assert 0 < low <= high, (key, column)


def test_magnesium_bends_most_and_steel_least() -> None:
    """Source: handbooks, from memory: Mg 45, Al 70, Ti 105 to 115, grey iron 100 to 130, steel 205 to 210 kN/mm²."""
    spans = {
        "N-magnesium": (42, 46),
        "N-wrought": (68, 73),
        "S-titanium": (105, 118),
        "K-grey": (100, 130),
        "P-alloy": (200, 215),
        "S-nickel": (195, 215),
    }
    for key, (low, high) in spans.items():
        assert low * 1000 <= CLASSES[key]["modulus"] <= high * 1000, key
    assert all(40_000 <= row["modulus"] <= 215_000 for row in CLASSES.values())


def test_inserts_are_not_advised_in_the_hardest_steel_alone() -> None:
    for key, row in CLASSES.items():
        assert (row["v_c_inserted"] is None) == (row["h_insert"] is None) == (key == "H-above-55"), key


def test_a_drill_of_high_speed_steel_runs_at_a_seventh_to_a_third_of_a_carbide_one() -> None:
    """Source: handbook tables of drilling, from memory; what lets carbide run fastest brings high-speed steel least."""
    for key, row in CLASSES.items():
        slow, fast = row["drill_speed"]
        assert 1 / 7 <= slow / fast <= (0.4 if row["group"] == "N" else 0.3), key
        assert 0.3 <= fast / middle(key, "v_c_solid") <= 0.7, key


def test_shares_of_the_diameter_stay_within_what_a_cutter_can_take() -> None:
    for key, row in CLASSES.items():
        assert row["radial_share"][1] <= 0.3, key
        assert row["layer_depth_share"][1] <= row["full_width_depth_share"][1] <= 1, key
        assert row["h_share"][1] <= 0.01, key
        assert row["ramp_angle"][1] <= 10, key


def test_no_class_lets_the_cutter_run_at_what_is_an_overload_everywhere() -> None:
    # 0.4 DC wide at 2 DC deep is an overload in every group: no class may come near that width.
    assert max(row["radial_share"][1] for row in CLASSES.values()) < 0.4


@pytest.mark.parametrize("column", ["radial_share", "layer_depth_share", "v_c_solid", "h_share", "ramp_angle"])
def test_aluminium_bears_more_than_steel_and_steel_more_than_nickel_or_hardened_steel(column: str) -> None:
    wide = middle("N-wrought", column)
    steel = middle("P-alloy", column)
    hardened = middle("H-above-55", column)
    assert wide > steel > hardened
    if column != "v_c_solid":
        assert steel > middle("S-nickel", column)


def test_the_harder_of_two_neighbouring_classes_is_cut_slower_and_narrower() -> None:
    pairs = [("P-low-carbon", "P-alloy"), ("P-alloy", "P-tool"), ("M-austenitic", "M-duplex"), ("K-grey", "K-ductile")]
    pairs += [("S-titanium", "S-nickel"), ("H-48-55", "H-above-55"), ("N-wrought", "N-cast")]
    for soft, hard in pairs:
        for column in ("v_c_solid", "radial_share"):
            assert middle(hard, column) <= middle(soft, column), (soft, hard, column)
        assert middle(hard, "v_c_solid") < middle(soft, "v_c_solid"), (soft, hard)


def test_no_two_classes_hold_the_same_numbers() -> None:
    for one, other in itertools.combinations(CLASSES, 2):
        assert [CLASSES[one].get(c) for c in COLUMNS] != [CLASSES[other].get(c) for c in COLUMNS], (one, other)


# sources


def cited(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, dict):
        if "source" in value:
            yield value["source"]
        for inner in value.values():
            yield from cited(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from cited(inner)


@pytest.mark.parametrize("table", ["materials.yaml", "cutting_data.yaml", "assumptions.yaml"])
def test_every_source_stands_in_the_bibliography_or_is_called_common_practice(table: str) -> None:
    found = list(cited(read(table)))
    assert found
    for source in found:
        if "work" in source:
            assert source["work"] in SOURCES
            assert source["from_memory"] is True
        else:
            assert source == {"common_practice": True}


def test_columns_and_assumptions_say_unit_and_meaning() -> None:
    sections = (*ASSUMPTIONS.values(), read("coach.yaml")["trade"])
    entries = [*COLUMNS.items(), *(item for section in sections for item in section.items())]
    for name, entry in entries:
        assert isinstance(entry["unit"], str), name
        assert entry["unit"] or name == "ground_for", name  # letters have no unit
        assert len(entry["what"]) > 8, name
        assert "source" in entry, name


def test_every_work_has_a_title_and_a_kind_and_admits_that_it_was_not_seen() -> None:
    for key, work in SOURCES.items():
        assert set(work) <= {"author", "title", "year", "where", "kind", "seen"}, key
        assert work["title"], key
        assert work["kind"] in {"book", "article", "standard", "law"}, key
        assert work["seen"] is False, key


def test_an_article_can_be_found_again() -> None:
    for key, work in SOURCES.items():
        if work["kind"] == "article":
            assert work["author"], key
            assert str(work["year"]) == key[-4:], key
            assert work["where"], key


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        ("N-wrought", 400, 1000),
        ("N-cast", 250, 500),
        ("N-brass", 200, 350),
        ("N-magnesium", 400, 1000),
        ("H-48-55", 80, 120),
        ("H-above-55", 50, 80),
    ],
)
def test_solid_carbide_runs_at_the_speeds_of_common_practice(key: str, low: float, high: float) -> None:
    """Common practice, no source; in aluminium and magnesium as far as the spindle turns."""
    assert CLASSES[key]["v_c_solid"] == [low, high]
