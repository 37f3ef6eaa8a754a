"""Coolant and chips: what the cautions of one cut say never goes against the material, nor against one another."""

import pytest

from advisor.choosing.advice import advise, cautions_for
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import fill
from advisor.model.answer import FeatureAdvice
from advisor.readers.materials import load_materials
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, asked, inserted, job, solid

DEEP = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 26, "floor": True}
CRIB = [solid(12, 30, ZEFP=4, RMPX=5), inserted(20, LU=40)]
MAGNESIUM, TITANIUM, NICKEL = "UNS M11311", "Ti-6Al-4V", "UNS N07718"
COOLANTS = (["flood", "air"], ["flood"], ["air"], ["mist"], ["none"], ["flood", "mist", "air", "through"])


def answer(material: str, coolant: list[str], feature: dict[str, object] = DEEP) -> FeatureAdvice:
    """Return the advice on a machine with this coolant."""
    return asked(feature, CRIB, material, EVERYDAY | {"coolant": coolant})


def remedies(found: FeatureAdvice) -> dict[str, str]:
    """Return what each caution says to do, in small letters."""
    facts = found.best.facts if found.best else found.facts
    return {rule.id: fill(rule_base(), rule, rule.remedy, facts).casefold() for rule in found.cautions}


@pytest.mark.parametrize("coolant", COOLANTS, ids="-".join)
def test_magnesium_is_cut_dry_or_under_oil_and_its_chips_are_not_blown_about(coolant: list[str]) -> None:
    told = remedies(answer(MAGNESIUM, coolant))
    assert "without an air blast" in told["magnesium-fire"]
    assert "class d agent" in told["magnesium-fire"]
    others = " ".join(text for rule, text in told.items() if rule != "magnesium-fire")
    assert not any(word in others for word in ("flood", "flush", "blow", "air blast", "coolant", "mist"))
    assert (
        told["chips-taken-out-on-the-way"]
        == "stop on the way down, lift the cutter, stop the spindle, and brush them out."
    )


@pytest.mark.parametrize("coolant", COOLANTS, ids="-".join)
def test_titanium_chips_are_flushed_or_brushed_out_and_never_blown_about(coolant: list[str]) -> None:
    found = answer(TITANIUM, coolant)
    told, flooded = remedies(found), "flood" in coolant
    assert "do not blow the chips about" in told["titanium-fire"]
    assert found.best is None or found.best.plan.levels == 1
    assert (told.get("chips-packed-in-one-go") == "while it cuts, flush them out.") is flooded
    assert ("chips-taken-out-on-the-way" in told) is not flooded
    assert ("flood-needed" in told) is flooded


@pytest.mark.parametrize("material", [TITANIUM, NICKEL])
@pytest.mark.parametrize("coolant", COOLANTS, ids="-".join)
def test_without_flood_every_way_in_titanium_and_nickel_is_rated_down(material: str, coolant: list[str]) -> None:
    rated = {one.grade for one in answer(material, coolant).candidates}
    assert rated <= {"poor", "forbidden"} if "flood" not in coolant else "good" in rated


def test_steel_on_a_machine_without_flood_is_not_rated_down() -> None:
    assert answer(STEEL, ["air"]).grade == answer(STEEL, ["flood", "air"]).grade == "good"


def test_with_inserts_in_steel_chips_are_blown_out_and_with_solid_carbide_flushed() -> None:
    shallow = DEEP | {"width": 80, "length": 120, "depth": 45}
    with_inserts = asked(shallow, [inserted(20, LU=60, LPR=75)], STEEL, STRONG)
    solid_ones = asked(DEEP, [CRIB[0]], STEEL, STRONG)
    assert remedies(with_inserts)["chips-packed"] == "after every level, blow them out."
    assert remedies(solid_ones)["chips-packed-in-one-go"] == "while it cuts, flush them out."


@pytest.mark.parametrize(("depth", "one"), [(26, True), (40, False)])
def test_chips_are_taken_out_after_every_level_only_where_there_is_more_than_one(depth: float, one: bool) -> None:
    """A cutter with flutes of 30 mm takes 26 mm in one level, and 40 mm in several."""
    found = asked(DEEP | {"depth": depth}, [solid(12, 30, ZEFP=4, RMPX=5, LU=45, LPR=52)], ALUMINIUM)
    assert found.best is not None
    assert found.best.plan is not None
    assert (found.best.plan.levels == 1) is one
    assert ("chips-packed-in-one-go" in remedies(found)) is one
    assert ("chips-packed" in remedies(found)) is not one


@pytest.mark.parametrize(
    ("material", "coolant", "wanted"),
    [
        (STEEL, ["flood", "air"], "while it cuts, flush them out."),
        ("EN-GJL-250", ["flood", "air"], "while it cuts, blow them out."),
        ("EN-GJL-250", ["flood"], "stop on the way down, lift the cutter, stop the spindle, and brush them out."),
        (MAGNESIUM, ["flood", "air"], "stop on the way down, lift the cutter, stop the spindle, and brush them out."),
    ],
)
def test_a_helix_down_a_bore_has_no_levels_to_take_chips_out_after(
    material: str, coolant: list[str], wanted: str
) -> None:
    """Nobody blows by hand into a running cut: without an air blast the machine stops for it."""
    bore = {"kind": "round_hole", "diameter": 21, "depth": 37, "floor": True, "flat_floor": True}
    found = asked(bore, [solid(12, 42, ZEFP=4, RMPX=5)], material, EVERYDAY | {"coolant": coolant})
    assert found.best is not None
    assert found.best.method == "helical_boring"
    told = {rule: text for rule, text in remedies(found).items() if rule.startswith("chips-") and "out" in text}
    assert wanted in told.values()
    assert not any("every level" in text for text in told.values())


@pytest.mark.parametrize("material", [material.name for material in load_materials()])
@pytest.mark.parametrize("coolant", COOLANTS[:3], ids="-".join)
def test_no_cut_is_to_be_flooded_and_run_dry_at_once(material: str, coolant: list[str]) -> None:
    for cutter in CRIB:
        told = " ".join(remedies(asked(DEEP, [cutter], material, EVERYDAY | {"coolant": coolant})).values())
        wet = any(word in told for word in ("flush", "flood the cut", "with coolant"))
        dry = any(word in told for word in ("run dry", "cut dry", "blow them", "brush them"))
        assert not (wet and dry), told


def test_fire_is_told_before_all_other_cautions() -> None:
    for material in (MAGNESIUM, TITANIUM):
        first = answer(material, ["flood", "air"]).cautions[0]
        assert first.id.endswith("-fire")


def test_a_light_cut_neither_shifts_nor_lifts_the_part() -> None:
    """A few hundred newtons are held by any vice; three kilonewtons want a stop."""
    light = asked({"kind": "step", "length": 80, "width": 6, "depth": 8}, [solid(8, 19, ZEFP=3)])
    heavy = asked(
        {"kind": "step", "length": 300, "width": 40, "depth": 60}, [solid(25, 65, ZEFP=4, FHA=30)], STEEL, STRONG
    )
    assert float(light.best.facts["force"]) < 500  # type: ignore[union-attr]
    assert {"part-shifts", "part-lifts"}.isdisjoint(remedies(light))
    assert float(heavy.best.facts["force"]) > 1500  # type: ignore[union-attr]
    assert "part-shifts" in remedies(heavy)


def test_plunging_is_told_nothing_of_a_side_cut() -> None:
    """Its force goes along the spindle: no cutter is pulled out of its holder, and no part is pushed aside."""
    cutter = solid(12, 26, LU=62, LPR=70, DN=11.5, FHA=40)
    found = advise(job({"kind": "step", "length": 60, "width": 12, "depth": 60}, [cutter]))
    plunge = next(one for one in found.features[0].candidates if one.method == "plunge_roughing")
    told = {rule.id for rule in cautions_for(plunge, found.bench)}
    assert {"pull-out", "part-lifts", "part-shifts"}.isdisjoint(told)
