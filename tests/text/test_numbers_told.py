"""Numbers that stand in the answer for a small job, or turn it at a hair: what they are is read off there.

Source of each: common practice, no source.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from advisor.analysis.alternatives import costly, difference
from advisor.analysis.line_search import Field, Line
from advisor.analysis.sensitivity import nearest_breakpoints
from advisor.choosing.advice import advise
from advisor.choosing.drill_sizes import only_another_drill
from advisor.methods.cut import Cut
from advisor.methods.helix import on_the_corner
from advisor.methods.trial import cut_of
from advisor.model.candidate import Candidate
from advisor.model.cause import Cause, Held, HeldBy
from advisor.model.cutter import Cutter
from advisor.model.owner import Owner
from advisor.model.region import regions_of
from advisor.readers.materials import load_materials
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, asked, drill, inserted, job, solid

CLEARING, LAYERS, RAMPED, BORING, DRILLING = (
    "engagement_limited_clearing", "layered_pocketing", "ramped_slotting", "helical_boring", "drilling",
)  # fmt: skip
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 20, "floor": True}
THROUGH: dict[str, Any] = {"kind": "round_hole", "depth": 20, "floor": False, "clearance_below": 10}
HOLE_12: dict[str, Any] = THROUGH | {"diameter": 12}


def told(method: str, feature: dict[str, Any], cutter: Cutter, material: str = STEEL) -> Callable[[str], float]:
    """Return the facts of one cutter's best way by a method, to be asked for a number by its name."""
    found = next(each for each in asked(feature, [cutter], material).candidates if each.method == method)
    return lambda name: float(found.facts[name])


def cut(feature: dict[str, Any], cutter: Cutter, material: str = STEEL) -> Cut:
    """Return the cut of a cutter in a feature, before any method."""
    assignment = job(feature, [cutter], material)
    bench, region = bench_of(assignment), regions_of(assignment.job.features[0])[0]
    found = cut_of(cutter_in(region, cutter, feature_facts(region, bench), bench), region, bench)
    assert found is not None
    return found


@pytest.mark.parametrize(("diameter", "margin"), [(41.499, 0.0), (41.501, -0.501)])
def test_a_core_of_half_a_millimetre_breaks_off(diameter: float, margin: float) -> None:
    """The cutter leaves no core in a bore of 40 mm; half a millimetre stays on the wall."""
    assert told(BORING, THROUGH | {"diameter": diameter}, solid(20, 30))("core_margin") == pytest.approx(margin)


def test_a_carbide_drill_wider_than_20_mm_feeds_no_more_than_one_of_20_mm() -> None:
    """A drill of 20 mm feeds 2 to the power of 0.65 times what one of 10 mm does, the everyday size of the tables."""
    chips = [told(DRILLING, THROUGH | {"diameter": DC + 1}, drill(DC))("table_chip") for DC in (10, 20, 20.5, 30)]
    assert chips[1:] == pytest.approx([chips[0] * 2**0.65] * 3)


def test_a_drill_with_inserts_turns_at_nine_tenths_of_the_speed_of_inserts_in_milling() -> None:
    speed = load_materials()[STEEL].v_c_inserted
    assert speed is not None
    with_inserts = drill(24).model_copy(update={"ZEFP": 1})
    assert told(DRILLING, THROUGH | {"diameter": 25}, with_inserts)("table_speed") == pytest.approx(0.9 * speed)


def test_in_a_turn_however_thin_the_corner_thins_the_chip_to_half() -> None:
    """The sine of 30 degrees is a half."""
    edge = on_the_corner(cut(POCKET, solid(12, 26, RE=3)), 0.01).inside.cutter.KAPR
    assert edge == pytest.approx(30)


def test_a_cutter_with_a_dead_centre_bores_no_wider_than_nineteen_tenths_of_itself() -> None:
    """38 mm, less the cutter of 20 mm and its dead centre of 10 mm."""
    cutter = inserted(20, LU=50, RE=0.4, dead_centre=10)
    assert told(LAYERS, POCKET, cutter)("helix_core_margin") == pytest.approx(8)


@pytest.mark.parametrize(("side", "borne"), [(0.0, 0.05), (0.08, 0.05), (0.4, 0.2), (0.8, 0.4)])
def test_finishing_takes_half_of_its_allowance_more_in_a_corner_and_half_a_tenth_at_least(
    side: float, borne: float
) -> None:
    rest = told(LAYERS, POCKET | {"corner_radius": 5, "allowance_side": side}, solid(12, 26))
    assert rest("corner_rest") - rest("corner_rest_beyond") == pytest.approx(borne)


def test_the_widest_cutter_for_a_corner_is_narrower_than_it_by_fifteen_hundredths() -> None:
    """Of 5 mm 4.5 mm are there beside the allowance: 9 mm over 1.15."""
    found = asked(POCKET | {"corner_radius": 5}, [solid(20, 30)], STEEL)
    assert found.rest is not None
    assert found.rest.widest == pytest.approx(9 / 1.15)


def test_a_cutter_for_the_corners_feeds_the_chip_of_the_tables_since_it_is_engaged_to_the_middle() -> None:
    """A square corner between two walls: four teeth of a 7.5 mm cutter, at its speed, no thinner chip than the feed."""
    feature, material = POCKET | {"corner_radius": 5}, load_materials()[STEEL]
    quick = EVERYDAY | {"spindle": {"speed": [1200, 6000, 40000], "power": [12, 15, 15]}}
    found = next(each for each in asked(feature, [solid(20, 30)], STEEL, quick).candidates if each.method == LAYERS)
    limits = bench_of(job(feature, [solid(20, 30)], STEEL)).limits
    speed = 1000 * material.v_c_solid / (3.141592653589793 * 7.5)
    chip = material.h_share * 7.5
    assert found.facts["corner_rest_feed"] == pytest.approx(speed * limits["rest_cutter_teeth"] * chip, rel=1e-5)


def held_back(share: float) -> Held | None:
    """Return what is told to hold back a way like the best that takes twice as long, all of it in the cut.

    ``share`` is by how much its feed was held back.
    """
    assignment = job(POCKET, [solid(12, 26)], STEEL)
    bench = bench_of(assignment)
    best = advise(assignment, bench).features[0].best
    assert best is not None
    assert best.plan is not None
    slow = replace(best.plan, held=(Held("feed_per_tooth", 0.1, 0.1 * (1 - share), Cause(HeldBy.MACHINE_FEED)),))
    facts = best.facts | {"cut_time": float(best.facts["cut_time"]) + best.time}
    rival = best._replace(time=2 * best.time, plan=slow, facts=facts)
    return costly(difference(best, rival, bench.base, (best, rival)), bench.limits)


@pytest.mark.parametrize(("share", "explains"), [(0.0497, False), (0.0503, True)])
def test_a_feed_held_back_by_a_twentieth_does_not_explain_a_longer_time(share: float, explains: bool) -> None:
    assert (held_back(share) is not None) is explains


def test_a_solid_high_feed_cutter_takes_twice_the_chip_of_the_tables() -> None:
    chip = told(LAYERS, POCKET, solid(12, 1, KAPR=15, LU=30, LPR=32))("table_chip")
    assert chip == pytest.approx(2 * load_materials()[STEEL].h_share * 12)


@pytest.mark.parametrize(("width", "covers"), [(13.2, 0.6), (14.2, 1.0), (18, 1.0)])
def test_a_millimetre_at_most_beside_the_middle_of_a_slot_covers_the_bending(width: float, covers: float) -> None:
    """What is left on the wall beside a 12 mm cutter: 0.6 mm, 1.1 mm, and 3 mm."""
    slot = {"kind": "slot", "length": 150, "width": width, "depth": 10, "floor": True, "open_ends": 1}
    ramped = told(RAMPED, slot, solid(12, 26))
    share = 3 * ramped("deflection") / ramped("deflection_share")
    assert share == pytest.approx(covers)


def two_ways(feature: dict[str, Any]) -> tuple[Candidate, Candidate]:
    """Return two ways by different methods, neither of them forbidden."""
    found = [each for each in asked(feature, [solid(12, 26)], ALUMINIUM).candidates if each.grade != "forbidden"]
    return found[0], next(each for each in found if each.method != found[0].method)


@pytest.mark.parametrize(
    ("at", "changes"), [(99.5, True), (100.5, False), (25.1, True), (24.9, False)], ids=lambda each: str(each)
)
def test_a_cutter_is_looked_at_up_to_twice_as_long_and_half_as_short(at: float, changes: bool) -> None:
    now, then = two_ways(POCKET)
    assignment = job(POCKET, [solid(12, 26)], ALUMINIUM)
    field = Field(assignment.crib)

    def there(value: float, _: Field) -> list[Candidate]:
        return [then if (value >= at if at > 50 else value <= at) else now]

    line = Line(50.0, [now], lambda _: True, there, field, field, bench_of(assignment))
    assert [one.at for one in nearest_breakpoints((Owner.CUTTER, "E12"), "LPR", "mm", line)] == (
        [pytest.approx(at, abs=0.1)] if changes else []
    )


@pytest.mark.parametrize(
    ("start", "at", "another"),
    [
        (5, 5.0995, True),
        (5, 5.1005, False),
        (5, 4.9005, True),
        (5, 4.8995, False),
        (40, 40.398, True),
        (40, 40.402, False),
        (40, 39.602, True),
        (40, 39.598, False),
    ],
)
def test_a_tenth_of_a_millimetre_or_a_hundredth_part_only_wants_another_drill(
    start: float, at: float, another: bool
) -> None:
    answer = asked(HOLE_12, [drill(11.6)], STEEL)
    drilled = next(each for each in answer.candidates if each.method == DRILLING)
    limits = bench_of(job(HOLE_12, [drill(11.6)], STEEL)).limits
    assert only_another_drill(start, at, (drilled, None), limits) is another
