"""Relations that the advice must keep whatever the numbers. Source of each: reasoning alone, named in its docstring."""

from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.engagement import engagement_angle
from advisor.methods.trial import cut_of, try_cut
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import GRADES
from advisor.model.cutter import Cutter
from advisor.model.machine import Machine, make_machine
from advisor.model.plan import Plan
from advisor.model.region import regions_of
from advisor.paths import shared_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.small import EVERYDAY, QUICK_EXAMPLES, STRONG, asked, job, solid
from tests.jobs.strategies import written_features

pytestmark = pytest.mark.outside
few = settings(max_examples=QUICK_EXAMPLES)
some = settings(max_examples=2 * QUICK_EXAMPLES)

MATERIALS = ["EN AW-6082-T6", "C45", "42CrMo4", "X5CrNi18-10", "EN-GJL-250", "Ti-6Al-4V"]
# From 0.05 DC on: below, the limit on making up for thin chips steps in, and the feeds per tooth would differ.
shares = st.floats(0.05, 0.5)


@cache
def crib() -> tuple[Cutter, ...]:
    return read_crib(shared_dir() / "crib.csv").cutters


def told(found: FeatureAdvice) -> tuple[Any, ...]:
    best = found.best
    if best is None:
        return (found.grade,)
    return (
        found.grade,
        best.method,
        best.cutter.id,
        best.entry,
        best.plan.levels if best.plan else None,
        sorted(rule.id for rule in best.fired),
    )


LENGTHS = {"length", "width", "depth", "diameter", "corner_radius", "stock_side", "clearance_below"}
CUTTER_LENGTHS = ("DC", "APMX", "LU", "LPR", "DN", "DCONMS", "RE", "dead_centre", "holder_diameter")
OTHERS = ("id", "body", "KAPR", "ZEFP", "FHA", "RMPX", "RPMX", "substrate", "point_angle")


def written(feature: dict[str, Any], cutters: Sequence[Cutter], per_mm: float) -> Advice:
    """Return the advice for files written in mm (1.0) or inch (1/25.4)."""
    with TemporaryDirectory() as place:
        folder, unit = Path(place), "mm" if per_mm == 1 else "inch"
        values = ", ".join(
            f"{name}: {value * per_mm!r}" if name in LENGTHS else f"{name}: {str(value).lower()}"
            for name, value in feature.items()
        )
        (folder / "job.yaml").write_text(
            f"part: Units\nunits: {unit}\nmaterial: C45\nmachine: everyday\nshop: shop.yaml\n"
            f"features:\n  - {{id: F1, {values}}}\n"
        )
        machine = ", ".join(f"{name}: {value!r}".replace("'", "") for name, value in EVERYDAY.items())
        (folder / "shop.yaml").write_text(f"machines:\n  - {{{machine}}}\ncrib: crib.csv\n")
        rows = [",".join((*CUTTER_LENGTHS, *OTHERS))]
        for cutter in cutters:
            lengths = [getattr(cutter, name) for name in CUTTER_LENGTHS]
            cells = ["" if value is None else repr(value * per_mm) for value in lengths]
            rows.append(
                ",".join(cells + ["" if (value := getattr(cutter, name)) is None else str(value) for name in OTHERS])
            )
        (folder / "crib.csv").write_text(("# units: inch\n" if per_mm != 1 else "") + "\n".join(rows) + "\n")
        return advise(read_assignment(folder / "job.yaml"))


@few
@given(written_features())
def test_inch_and_millimetre_give_the_same_advice(feature: dict[str, Any]) -> None:
    """Source: a length is the same length in any unit."""
    one, other = (written(feature, crib()[::3], per_mm).features[0] for per_mm in (1.0, 1 / 25.4))
    assert told(one) == told(other)
    if one.best is not None and other.best is not None:
        assert one.best.time == pytest.approx(other.best.time, rel=1e-6)


@some
@given(
    written_features(),
    st.sampled_from(MATERIALS),
    st.sampled_from([EVERYDAY, STRONG]),
    st.sets(st.integers(0, 47), min_size=1, max_size=8),
    st.sets(st.integers(0, 47), max_size=8),
)
def test_a_larger_crib_never_gives_a_worse_nor_a_noticeably_slower_answer(
    feature: dict[str, Any], material: str, machine: dict[str, Any], few_cutters: set[int], more: set[int]
) -> None:
    """Source: whoever has more to choose from can still choose the same.

    A worse grade only where that saves 3 tenths of the time, and at the same grade no more than a tenth longer, for a
    stiffer cutter; by the time that counts, which of a hole not worth its drill is that without one.
    """
    small, large = (
        [crib()[place % len(crib())] for place in sorted(places)] for places in (few_cutters, few_cutters | more)
    )
    small, large = (
        list({cutter.id: cutter for cutter in small}.values()),
        list({cutter.id: cutter for cutter in large}.values()),
    )
    one, other = asked(feature, small, material, machine), asked(feature, large, material, machine)
    if one.best is None:
        return
    assert other.best is not None
    if GRADES.index(other.grade) > GRADES.index(one.grade):
        assert (one.grade, other.grade) == ("good", "workable")
        assert other.best.counted < 0.7 * one.best.counted
    elif one.grade == other.grade:
        assert other.best.counted <= 1.1 * one.best.counted + 1e-9


@some
@given(
    written_features(), st.sampled_from([0.5, 1.5, 2.0]), st.integers(3, 20), st.sampled_from(["closed_pocket", "slot"])
)
def test_geometric_ratios_survive_scaling(feature: dict[str, Any], scale: float, DC: int, kind: str) -> None:
    """Source: a drawing scaled as a whole has the same proportions."""
    plain = {"kind": kind, "length": 90, "width": 40, "depth": feature["depth"], "floor": True, "allowance_side": 0.5}
    plain |= {"open_ends": 0} if kind == "slot" else {"corner_radius": 7}
    larger = {name: value * scale if name in LENGTHS | {"allowance_side"} else value for name, value in plain.items()}
    ratios = []
    for given_feature, times in ((plain, 1.0), (larger, scale)):
        assignment = job(given_feature, [solid(DC * times, 2 * DC * times, RE=0.1 * times)])
        bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
        inside = cutter_in(region, assignment.crib[0], feature_facts(region, bench), bench)
        ratios.append(
            {
                name: inside.facts.get(name)
                for name in ("width_ratio", "depth_ratio", "corner_ratio", "slenderness", "fill_share")
            }
        )
    assert ratios[0] == pytest.approx(ratios[1])
    assert ratios[0]["width_ratio"] == pytest.approx(40 / DC)


@some
@given(st.sampled_from(MATERIALS), shares, shares, st.floats(0.01, 0.2), st.sampled_from([EVERYDAY, STRONG]))
def test_at_the_same_feed_per_tooth_a_narrower_cut_never_wants_more_power(
    material: str, one: float, other: float, tooth: float, machine: dict[str, Any]
) -> None:
    """Source: the force on a thinner chip rises by less than the volume falls."""
    assignment = job({"kind": "step", "length": 200, "width": 80, "depth": 20}, [solid(12, 26)], material, machine)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    cut = cut_of(cutter_in(region, assignment.crib[0], feature_facts(region, bench), bench), region, bench)
    assert cut is not None
    trials = []
    for share in sorted((one, other)):
        angle = engagement_angle(share * 12, 12)
        trials.append(try_cut(cut, 20, share * 12, angle, chip=chip_thickness(tooth, 90, angle)))
    narrow, wide = trials
    assert narrow.feed_per_tooth == pytest.approx(wide.feed_per_tooth)
    assert narrow.speed == pytest.approx(wide.speed)
    assert narrow.load.power <= wide.load.power * (1 + 1e-9)


FINAL = {
    "axial_depth": "axial_depth",
    "radial_width": "radial_width",
    "feed_per_tooth": "feed_per_tooth",
    "feed_rate": "feed_rate",
    "spindle_speed": "spindle_speed",
    "allowance_side": "side_allowance",
}
SOME_OF_EACH: list[dict[str, Any]] = [
    {"kind": "step", "length": 80, "width": 33, "depth": 21},
    {"kind": "slot", "length": 80, "width": 26, "depth": 21, "floor": True, "open_ends": 1},
    {"kind": "slot", "length": 80, "width": 11.8, "depth": 14, "floor": True, "open_ends": 0},
    {"kind": "closed_pocket", "length": 80, "width": 60, "depth": 41, "floor": True, "corner_radius": 6},
    {"kind": "outside_profile", "length": 80, "width": 60, "depth": 41, "stock_side": 7},
    {"kind": "round_hole", "diameter": 33, "depth": 31, "floor": True},
    {"kind": "round_hole", "diameter": 23, "depth": 20, "floor": True, "flat_floor": True},
    {"kind": "planar_face", "length": 200, "width": 90, "depth": 4},
]


@cache
def plans() -> list[Plan]:
    """Return the plans of many candidates on a strong and a weak machine with slow axes."""
    weak = EVERYDAY | {"spindle": {"speed": [2000, 8000], "power": [2, 2.2]}, "axis_acceleration": 0.5}
    found = [
        candidate.plan
        for feature in SOME_OF_EACH
        for material in ("EN AW-6082-T6", "X5CrNi18-10")
        for machine in (STRONG, weak)
        for candidate in asked(feature, crib()[::2], material, machine).candidates
    ]
    return [plan for plan in found if plan is not None]


@pytest.mark.parametrize("setting", FINAL)
def test_what_was_held_back_ends_at_the_setting_that_is_advised(setting: str) -> None:
    """Source: reasoning alone. Each step starts where the one before ended, and the last is what is advised."""
    changed = [(plan, steps) for plan in plans() if (steps := [held for held in plan.held if held.setting == setting])]
    assert changed or setting == "allowance_side", "no plan has such a step"
    for plan, steps in changed:
        for one, other in pairwise(steps):
            assert other.before == pytest.approx(one.after), (plan.method, plan.cutter.id, steps)
        assert getattr(plan, FINAL[setting]) == pytest.approx(steps[-1].after), (plan.method, plan.cutter.id, steps)


def test_what_was_held_back_changed_and_has_a_cause() -> None:
    """Source: reasoning alone."""
    steps = [held for plan in plans() for held in plan.held]
    assert len(steps) > 500
    settings = {*FINAL, "centre_feed", "ramp_angle"}  # told beside the settings that a level has
    assert all(held.before != held.after and held.cause and held.setting in settings for held in steps)


@some
@given(written_features(), st.sampled_from(MATERIALS), st.sampled_from([EVERYDAY, STRONG]))
def test_what_is_advised_lies_within_cutter_and_spindle(
    feature: dict[str, Any], material: str, machine: dict[str, Any]
) -> None:
    """Source: reasoning alone. No level beyond the edge, no width beyond DC; the machine has the speed and power."""
    spindle: Machine = make_machine(**machine)
    found = asked(feature, crib()[::3], material, machine)
    for candidate in found.candidates:
        plan = candidate.plan
        if plan is None or candidate.grade == "forbidden":
            continue
        depth = float(candidate.facts["depth_to_cut"])
        assert plan.radial_width <= candidate.cutter.DC * (1 + 1e-9)
        if candidate.method in ("engagement_limited_clearing", "layered_pocketing", "ramped_slotting", "face_milling"):
            assert plan.axial_depth <= candidate.cutter.APMX * (1 + 1e-9)
            assert plan.levels * plan.axial_depth >= depth * (1 - 1e-9)
        assert plan.spindle_speed <= spindle.spindle.speed[-1] * (1 + 1e-9)
        assert plan.feed_rate <= spindle.feed_max * (1 + 1e-9)
        assert plan.load.power <= plan.load.worn_power <= plan.load.power_available * (1 + 1e-9)
        assert candidate.time > 0


def test_every_material_of_these_checks_is_in_the_table() -> None:
    """Else the draws above would be narrower than they look."""
    assert len({load_materials()[name].group for name in MATERIALS}) == 5
