"""Which material a text means: names of the shop floor, states, hardness; what is asked back and what is refused."""

import pytest

from advisor.readers.material_meant import meant, suggestion
from advisor.readers.materials import load_materials

MATERIALS = load_materials()

# EN, AISI, UNS and steel numbers beside each other as the trade uses them, from memory
GROUPS = {
    "P": "St52 S355 St37 1045 C45 C45E Ck45 4140 42CrMo4 4340 8620 16MnCr5 100Cr6 1018 12L14 430 420 17-4PH "
    "O1 D2 P20 H13 1.2379 1.2311 1.2343",
    "M": "304 303 316 316L V2A V4A 1.4301 2205 SS304 X5CrNi18-10",
    "N": "A356 AlMgSi1 AlSi10Mg 6061-T6 7075 2024 5083 AlMg4,5Mn "
    "EN-AW-6082 CuZn39Pb3 Ms58 C360 C36000 copper AZ91 AZ31",
    "K": "GG25 GGG40 EN-GJL-250",
    "S": "N07718 2.4668 Ti64 3.7165 N06625",
}


@pytest.mark.parametrize(
    ("name", "group"), [(name, group) for group, names in GROUPS.items() for name in names.split()]
)
def test_an_everyday_name_is_found_in_its_group(name: str, group: str) -> None:
    found = meant(name, MATERIALS).material
    assert found is not None
    assert found.group == group


@pytest.mark.parametrize(
    ("name", "same"),
    [
        ("1045", "C45"),
        ("4140", "1.7225"),
        ("D2", "1.2379"),
        ("H13", "1.2344"),
        ("P20", "1.2311"),
        ("304", "V2A"),
        ("316L", "V4A"),
        ("17-4PH", "1.4542"),
        ("alloy 718", "2.4668"),
        ("Ti Grade 5", "3.7165"),
        ("class 30 iron", "EN-GJL-200"),
        ("A356", "AlSi7Mg0.3"),
        ("304 stainless steel", "1.4301"),
        ("D2 tool steel", "1.2379"),
        ("Al 6061-T6", "EN AW-6061"),
        ("W.-Nr. 1.4301", "AISI 304"),
        ("uns s30400", "SS 304"),
        ("6061-T651", "6061-T6"),
        ("1,4301", "1.4301"),
        ("316 bar", "316L"),
    ],
)
def test_two_names_of_one_material_lead_to_the_same_row(name: str, same: str) -> None:
    assert meant(name, MATERIALS).material is meant(same, MATERIALS).material is not None


@pytest.mark.parametrize(
    ("text", "row"),
    [
        ("42CrMo4 QT", "42CrMo4"),
        ("42CrMo4+QT", "42CrMo4"),
        ("42CrMo4 vergütet 30 HRC", "42CrMo4"),
        ("42CrMo4+V", "42CrMo4"),
        ("42CrMo4 900 N/mm²", "42CrMo4"),
        ("42CrMo4 vergütet auf 900-1000 N/mm2", "42CrMo4"),
        ("42CrMo4 1200 MPa", "Pre-hardened steel 36-44 HRC"),
        ("42CrMo4 weichgeglüht", "42CrMo4 annealed"),
        ("1.2379 gehärtet 58 HRC", "X153CrMoV12 hardened"),
        ("42CrMo4 HB 300", "42CrMo4"),
        ("4140 annealed", "42CrMo4 annealed"),
        ("42CrMo4 30 HRC", "42CrMo4"),
        ("42CrMo4 38 HRC", "Pre-hardened steel 36-44 HRC"),
        ("42CrMo4 52 HRC", "42CrMo4 hardened"),
        ("1.2379 58 HRC", "X153CrMoV12 hardened"),
        ("D2 HRC 60", "X153CrMoV12 hardened"),
        ("H13 annealed", "X40CrMoV5-1"),
        ("H13 44 HRC", "Pre-hardened steel 36-44 HRC"),
        ("H13 45 HRC", "Hardened steel 45-55 HRC"),
        ("H13 55 HRC", "Hardened steel 45-55 HRC"),
        ("H13 55.5 HRC", "Hardened steel 56-65 HRC"),
        ("H13 52-54 HRC", "X40CrMoV5-1 hardened"),
        ("O1 60 HRC", "Hardened steel 56-65 HRC"),
        ("C45 55 HRC", "Hardened steel 45-55 HRC"),
        ("steel 50 HRC", "Hardened steel 45-55 HRC"),
        ("17-4PH H900", "X5CrNiCuNb16-4 aged"),
        ("S355J2+N", "S355J2"),
        ("C45 200 HB", "C45"),
    ],
)
def test_state_and_hardness_decide_which_data_answer(text: str, row: str) -> None:
    found = meant(text, MATERIALS).material
    assert found is not None
    assert found.name == row


@pytest.mark.parametrize("value", [45, 48, 52, 58, 62, 65])
@pytest.mark.parametrize("steel", ["42CrMo4", "1.2379", "H13", "O1", "C45", "100Cr6", "tool steel"])
def test_steel_of_45_hrc_and_more_is_hard_steel_whatever_its_name(steel: str, value: int) -> None:
    found = meant(f"{steel} {value} HRC", MATERIALS).material
    assert found is not None
    assert found.group == "H"
    assert (found.cutting_class == "H-above-55") == (value > 55)


@pytest.mark.parametrize("text", ["1.2379", "H13", "42CrMo4", "4140", "O1", "100Cr6", "17-4PH"])
def test_a_state_that_nobody_gave_is_told(text: str) -> None:
    assert "no state given" in meant(text, MATERIALS).note


@pytest.mark.parametrize(
    "text", ["C45", "S355", "6082", "304", "H13 annealed", "42CrMo4 QT", "1.2379 hardened", "GG25"]
)
def test_nothing_is_told_where_no_state_decides_or_it_is_given(text: str) -> None:
    assert meant(text, MATERIALS).note == ""


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("brass", "CuZn39Pb3"),
        ("bronze", "tin bronze"),
        ("steel", "S355"),
        ("stainless", "316L"),
        ("aluminium", "6082"),
        ("A2", "AISI A2"),
        ("1050", "a steel"),
        ("718", "alloy 718"),
        ("cast iron", "EN-GJL-250"),
        ("titanium", "Ti grade 5"),
        ("tool steel", "1.2379"),
        ("C45 hardened", "its hardness too"),
        ("H13 annealed 58 HRC", "that fit"),
        ("6082 58 HRC", "can have"),
        ("H13 70 HRC", "up to"),
        ("1045 aluminium", "that agree"),
        ("1.2379 T6", "one of its states"),
        ("42CrMo4 ardened", "its state (quenched and tempered, annealed or hardened)"),
    ],
)
def test_what_is_not_clear_is_asked_back(text: str, wanted: str) -> None:
    found = meant(text, MATERIALS)
    assert found.material is None
    assert found.fault is not None
    assert wanted in found.fault.wanted


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        *(
            (text, "a plastic")
            for text in ("POM", "POM-C", "PA6", "PA 66", "PA66-GF30", "PEEK", "PC", "PMMA", "PTFE", "PVC", "nylon")
        ),
        *((text, "wood") for text in ("oak", "plywood", "MDF")),
        *((text, "a fibre composite") for text in ("GRP", "CFRP", "GFK", "carbon fibre plate")),
        ("graphite", "without chips"),
        ("CuBe2", "poisonous"),
    ],
)
def test_what_is_no_metal_for_these_rules_is_refused_by_name(text: str, kind: str) -> None:
    fault = meant(text, MATERIALS).fault
    assert fault is not None
    assert fault.wanted.startswith("a metal: this is")
    assert kind in fault.wanted


@pytest.mark.parametrize(
    "text",
    [
        "1046",
        "10450",
        "C46",
        "34CrMo5",
        "42CrMo5",
        "AlMgSi2",
        "EN-GJL-255",
        "305",
        "1.4302",
        "7076",
        "N07719",
        "xyz",
        "",
    ],
)
def test_a_number_is_never_taken_for_another_one(text: str) -> None:
    assert suggestion(text, MATERIALS) is None


@pytest.mark.parametrize(
    ("text", "near"),
    [("EN AW-6082-T5", "EN AW-6082-T6"), ("Ti6Al4", "Ti-6Al-4V"), ("coper", "copper"), ("alumnium", "aluminium")],
)
def test_a_slip_in_the_letters_is_helped(text: str, near: str) -> None:
    assert suggestion(text, MATERIALS) == near


def test_a_suggestion_for_a_name_with_a_letter_missing_stays_in_its_group() -> None:
    for material in MATERIALS:
        for name in (material.name, *material.aliases):
            for at in range(len(name) % 3, len(name), 3):
                text = name[:at] + name[at + 1 :] if name[at].isalpha() else ""
                near = suggestion(text, MATERIALS) if text and meant(text, MATERIALS).material is None else None
                found = MATERIALS.find(near) if near else None
                assert found is None or found.group == material.group, (name, text, near)


@pytest.mark.parametrize("state", MATERIALS.words.soft_states)
def test_a_soft_state_beside_the_hardness_of_a_hardened_steel_is_refused(state: str) -> None:
    assert "is softer" in str(meant(f"1.2379 {state} 58 HRC", MATERIALS).fault)
