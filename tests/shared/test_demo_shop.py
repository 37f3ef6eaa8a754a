"""The demo shop: machines and cutters that a shop could really own."""

import csv
import itertools
import math
from pathlib import Path
from typing import Any

import pytest
import yaml

SHARED = Path(__file__).resolve().parents[2] / "shared"
BODIES = {
    "solid_end_mill",
    "inserted_end_mill",
    "inserted_high_feed_mill",
    "inserted_stacked_mill",
    "inserted_face_mill",
    "drill",
}
# Flute and overall length of high-speed steel end mills, DIN 844 / ISO 1641-1, from memory.
DIN_844 = {"short": {10: (22, 72), 12: (26, 83), 16: (32, 92), 20: (38, 104)}, "long": {16: (63, 123), 20: (75, 141)}}
# Length of a plain shank that the holder grips, DIN 1835, from memory.
DIN_1835 = {10: 40, 12: 45, 16: 48, 20: 50}
# Flute length of solid carbide end mills of the long series, DIN 6527, from memory.
DIN_6527_LONG = {6: 13, 8: 19, 10: 22, 12: 26, 16: 32, 20: 38}


def read(name: str) -> Any:
    return yaml.safe_load((SHARED / name).read_text(encoding="utf-8"))


ASSUMPTIONS: dict[str, Any] = read("assumptions.yaml")
MACHINES: list[dict[str, Any]] = read("shop.yaml")["machines"]


def read_crib() -> list[dict[str, Any]]:
    words = {"id", "body", "substrate", "end_cutting", "TMC1ISO", "COATING"}
    with (SHARED / "crib.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    return [{k: v if k in words else (float(v) if v else None) for k, v in row.items()} for row in rows]


CRIB = read_crib()


def of_body(*bodies: str) -> list[dict[str, Any]]:
    return [cutter for cutter in CRIB if cutter["body"] in bodies]


# machines


def test_at_least_five_machines_of_different_character() -> None:
    assert len({machine["name"] for machine in MACHINES}) == len(MACHINES) >= 5
    curves = [str(machine["spindle"]) for machine in MACHINES]
    assert len(set(curves)) == len(curves)
    accelerations = [machine["axis_acceleration"] for machine in MACHINES]
    assert min(accelerations) <= 1
    assert max(accelerations) >= 8


def test_a_spindle_curve_gives_a_power_for_each_rising_speed() -> None:
    for machine in MACHINES:
        speeds, powers = machine["spindle"]["speed"], machine["spindle"]["power"]
        assert len(speeds) == len(powers) >= 2, machine["name"]
        assert speeds == sorted(set(speeds)), machine["name"]
        assert min(powers) > 0, machine["name"]


def test_torque_never_rises_with_speed() -> None:
    for machine in MACHINES:
        speeds, powers = machine["spindle"]["speed"], machine["spindle"]["power"]
        torques = [power / speed for power, speed in zip(powers, speeds, strict=True)]
        assert torques == sorted(torques, reverse=True), machine["name"]


def test_the_heavy_machine_has_much_torque_and_the_light_one_much_speed() -> None:
    def greatest_torque(machine: dict[str, Any]) -> float:
        speed, power = machine["spindle"]["speed"][0], machine["spindle"]["power"][0]
        return float(power * 1000 / (speed / 60 * 2 * math.pi))

    heavy = max(MACHINES, key=greatest_torque)
    light = max(MACHINES, key=lambda machine: machine["spindle"]["speed"][-1])
    assert greatest_torque(heavy) > 500
    assert greatest_torque(light) < 20
    assert heavy["spindle"]["speed"][-1] <= 6000
    assert heavy["stiffness"] > light["stiffness"]
    assert heavy["axis_acceleration"] < light["axis_acceleration"]


def test_no_machine_feeds_faster_than_its_rapid() -> None:
    assert all(machine["feed_max"] <= machine["rapid"] for machine in MACHINES)


def test_one_machine_has_flood_alone_and_one_air_alone() -> None:
    coolants = [machine["coolant"] for machine in MACHINES]
    assert ["flood"] in coolants
    assert ["air"] in coolants
    assert set().union(*coolants) <= {"flood", "mist", "air", "through", "none"}


def test_the_shop_names_its_crib() -> None:
    assert (SHARED / read("shop.yaml")["crib"]).is_file()


# crib


def test_the_crib_holds_cutters_of_all_bodies() -> None:
    assert 36 <= len(CRIB) <= 60
    assert {cutter["body"] for cutter in CRIB} == BODIES


def test_every_line_of_the_crib_fills_the_same_columns() -> None:
    lines = (SHARED / "crib.csv").read_text(encoding="utf-8").splitlines()
    assert {line.count(",") for line in lines} == {20}


def test_an_id_stands_for_one_cutter_and_no_two_cutters_are_the_same() -> None:
    assert len({cutter["id"] for cutter in CRIB}) == len(CRIB)
    for one, other in itertools.combinations(CRIB, 2):
        assert {**one, "id": ""} != {**other, "id": ""}, (one["id"], other["id"])


def test_a_cutter_reaches_at_least_as_deep_as_it_cuts_and_its_holder_stays_clear() -> None:
    for cutter in CRIB:
        assert 0 < cutter["APMX"] <= cutter["LU"] <= cutter["LPR"], cutter["id"]
        if cutter["DN"] is not None:
            assert cutter["DN"] < cutter["DC"], cutter["id"]


def test_a_cutter_usable_deeper_than_its_edges_has_a_reduced_neck() -> None:
    for cutter in CRIB:
        if cutter["LU"] > cutter["APMX"]:
            assert cutter["DN"] is not None, cutter["id"]


def test_a_cutter_without_a_neck_is_usable_as_deep_as_it_cuts() -> None:
    for cutter in CRIB:
        if cutter["DN"] is None:
            assert cutter["LU"] == cutter["APMX"], cutter["id"]


def test_corner_radius_and_dead_centre_fit_under_the_cutter() -> None:
    for cutter in CRIB:
        assert cutter["RE"] <= cutter["DC"] / 2, cutter["id"]
        assert cutter["dead_centre"] < cutter["DC"], cutter["id"]


def test_a_cutter_that_cuts_to_its_centre_has_no_dead_centre_and_the_others_have_one() -> None:
    for cutter in CRIB:
        assert cutter["end_cutting"] in {"yes", "no"}, cutter["id"]
        assert (cutter["dead_centre"] == 0) == (cutter["end_cutting"] == "yes"), cutter["id"]


def test_every_inserted_cutter_is_marked_with_its_greatest_speed() -> None:
    for cutter in CRIB:
        assert (cutter["RPMX"] is not None) == cutter["body"].startswith("inserted"), cutter["id"]


@pytest.mark.parametrize("body", ["inserted_end_mill", "inserted_high_feed_mill"])
def test_the_wider_inserted_cutter_ramps_less_steeply_and_turns_slower(body: str) -> None:
    ordered = sorted(of_body(body), key=lambda cutter: cutter["DC"])
    for narrow, wide in itertools.pairwise(ordered):
        assert wide["RMPX"] < narrow["RMPX"]
        assert wide["RPMX"] < narrow["RPMX"]
        assert wide["dead_centre"] > narrow["dead_centre"]


def test_edge_lengths_and_edge_angles_suit_the_body() -> None:
    for cutter in of_body("inserted_high_feed_mill"):
        assert cutter["APMX"] <= 1.5, cutter["id"]
        assert 15 <= cutter["KAPR"] <= 22, cutter["id"]
    for cutter in of_body("inserted_stacked_mill"):
        assert cutter["APMX"] > cutter["DC"], cutter["id"]
        assert cutter["KAPR"] == 90, cutter["id"]
    for cutter in of_body("inserted_end_mill"):
        assert 9 <= cutter["APMX"] <= 11, cutter["id"]
        assert cutter["KAPR"] == 90, cutter["id"]


def test_the_first_lengths_project_little_and_only_long_and_necked_ones_much() -> None:
    for cutter in of_body("solid_end_mill"):
        ratio = cutter["LPR"] / cutter["DC"]
        assert ratio <= 5.5, cutter["id"]
        if cutter["DC"] >= 10 and cutter["APMX"] < 2.5 * cutter["DC"] and cutter["DN"] is None:
            assert ratio <= 3.2, cutter["id"]


def test_high_speed_steel_end_mills_have_the_lengths_of_din_844() -> None:
    hss = [cutter for cutter in of_body("solid_end_mill") if cutter["substrate"] == "hss"]
    assert {cutter["DC"] for cutter in hss} >= {10, 12, 16, 20}
    for cutter in hss:
        series = DIN_844["long"] if cutter["id"].endswith("L") else DIN_844["short"]
        flute, overall = series[cutter["DC"]]
        assert cutter["APMX"] == flute, cutter["id"]
        assert cutter["LPR"] == overall - DIN_1835[cutter["DC"]], cutter["id"]


def test_carbide_end_mills_of_the_common_series_have_the_lengths_of_din_6527() -> None:
    for diameter, flute in DIN_6527_LONG.items():
        lengths = {c["APMX"] for c in of_body("solid_end_mill") if c["DC"] == diameter and c["substrate"] == "carbide"}
        assert flute in lengths, diameter


def test_cutters_for_aluminium_have_few_teeth_and_a_steep_helix() -> None:
    found = [cutter for cutter in of_body("solid_end_mill") if cutter["ZEFP"] <= 3]
    assert len(found) >= 8
    assert all(40 <= cutter["FHA"] <= 45 for cutter in found)


def test_a_cutter_is_ground_for_what_its_teeth_say() -> None:
    """Two and three teeth for aluminium, four for steel, stainless steel and iron, six for hardened steel; inserts are
    changed to suit, so nothing is said of them.
    """
    for cutter in CRIB:
        groups = str(cutter["TMC1ISO"] or "").split()
        if cutter["body"] != "solid_end_mill":
            assert not groups, cutter["id"]
        elif cutter["ZEFP"] <= 3:
            assert groups == ["N"], cutter["id"]
        else:
            assert ("H" in groups) == (cutter["ZEFP"] >= 6), cutter["id"]
            assert "N" not in groups or cutter["substrate"] == "hss", cutter["id"]


def test_drills_cut_to_their_point_with_two_lips() -> None:
    for cutter in of_body("drill"):
        assert cutter["end_cutting"] == "yes", cutter["id"]
        assert cutter["ZEFP"] == 2, cutter["id"]
        assert cutter["point_angle"] == {"carbide": 140, "hss": 118}[cutter["substrate"]], cutter["id"]
        assert cutter["KAPR"] == cutter["point_angle"] / 2, cutter["id"]


@pytest.mark.parametrize("diameter", [8, 10, 12, 16, 20, 25])
def test_a_drill_opens_the_way_for_every_common_cutter(diameter: int) -> None:
    ratios = [drill["DC"] / diameter for drill in of_body("drill")]
    assert any(1.05 <= ratio <= 1.2 for ratio in ratios)


def test_the_holder_is_wider_than_the_shank_it_grips() -> None:
    for cutter in CRIB:
        assert cutter["holder_diameter"] > cutter["DCONMS"], cutter["id"]


def test_a_crib_stays_within_the_bounds_of_a_slip_of_the_keyboard() -> None:
    bounds = {name: entry["value"] for name, entry in ASSUMPTIONS["bounds"].items()}
    for cutter in CRIB:
        assert bounds["cutting_diameter_least"] <= cutter["DC"] <= bounds["cutting_diameter_most"]
        assert cutter["LPR"] <= bounds["cutter_length_most"]
        assert bounds["edge_angle_least"] <= cutter["KAPR"] <= bounds["edge_angle_most"]
        assert cutter["RPMX"] is None or cutter["RPMX"] <= bounds["spindle_speed_most"]


def test_the_bounds_span_a_range() -> None:
    bounds = ASSUMPTIONS["bounds"]
    for name in bounds:
        if name.endswith("_least"):
            partner = name.removesuffix("_least") + "_most"
            assert bounds[name]["value"] < bounds[partner]["value"], name
