"""What may be typed into a machine is shown to 0.01 mm, and never rounded towards the floor or the wall."""

import re
from collections.abc import Iterator
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.choosing.advice import advise_feature
from advisor.choosing.left_on_walls import left_on_walls
from advisor.coach.invent import invented
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import DOWN, GAP, UP, apart, exact, fact_text, quantity
from advisor.model.candidate import Candidate
from advisor.model.region import Region
from advisor.render.drawings.section_labels import left_labels
from advisor.situation.bench import bench_of
from advisor.text.feature import settings
from advisor.text.section_text import side_section
from advisor.text.side_view import side_of
from tests.cases import worked

STEP = 0.01
SLACK = 1e-5
LEVELLED = ("engagement_limited_clearing", "layered_pocketing", "ramped_slotting", "face_milling")
BASE = rule_base()


def read(text: str) -> float:
    """The first number of a text, read back."""
    found = re.search(r"[\d.]+", text.replace(GAP, "").replace(" ", ""))
    assert found is not None, text
    return float(found[0])


def answers() -> Iterator[tuple[str, Candidate, Region, RuleBase]]:
    for name, found in worked.every_feature():
        if found.best is not None and found.best.plan is not None:
            yield f"{name} {found.region.id}", found.best, found.region, worked.advice(name).bench.base
    for seed in range(12):
        assignment = invented(None, 3, Random(seed))
        if assignment is not None:
            found = advise_feature(assignment.job.features[0], assignment.crib, bench_of(assignment))
            if found.best is not None and found.best.plan is not None:
                yield f"invented {seed}", found.best, found.region, BASE


EVERY = list(answers())
each_answer = pytest.mark.parametrize(("best", "region", "base"), [one[1:] for one in EVERY], ids=[x[0] for x in EVERY])


@pytest.mark.parametrize(
    ("value", "unit", "typed", "text"),
    [
        (100.6, "mm", DOWN, f"100.6{GAP}mm"),
        (100.6, "mm", None, f"100.6{GAP}mm"),
        (1234.567, "mm", None, f"1{GAP}234.57{GAP}mm"),
        (6.875, "mm", DOWN, f"6.87{GAP}mm"),
        (6.875, "mm", UP, f"6.88{GAP}mm"),
        (0.3, "mm", UP, f"0.3{GAP}mm"),
        (0.04567, "mm", DOWN, f"0.0456{GAP}mm"),
        (3456.9, "mm/min", DOWN, f"3{GAP}456{GAP}mm/min"),
        (8765, "1/min", None, f"8{GAP}765{GAP}/min"),
        (95.7, "1/min", DOWN, f"95{GAP}/min"),
        (95.7, "mm/min", DOWN, f"95.7{GAP}mm/min"),
        (12.345, "deg", DOWN, "12.34°"),
        (12.345, "deg", None, "12.3°"),
        (-1.005, "mm", DOWN, f"−1{GAP}mm"),
        (1e-12, "mm", DOWN, f"0{GAP}mm"),
    ],
)
def test_a_length_a_feed_and_a_speed_are_as_exact_as_they_are_typed(
    value: float, unit: str, typed: str | None, text: str
) -> None:
    assert quantity(value, unit, typed=typed) == text


@pytest.mark.parametrize(
    ("time", "text"),
    [(8.37, "8.4"), (0.964, "1"), (0.04, "0.04"), (9.94, "9.9"), (10.4, "10"), (71.8, "72"), (272.4, "272")],
)
def test_a_time_is_told_in_whole_seconds_and_below_ten_in_tenths(time: float, text: str) -> None:
    assert quantity(time, "s") == f"{text}{GAP}s"
    assert quantity(1234.5, "s") == f"1{GAP}230{GAP}s"


def test_two_times_that_differ_by_less_are_told_apart() -> None:
    assert len(set(apart(8.37, 8.35, "s"))) == 2
    assert len(set(apart(71.8, 72.1, "s"))) == 2


@given(st.floats(0.001, 5000))
def test_a_depth_is_never_shown_deeper_and_an_allowance_never_smaller(value: float) -> None:
    down, up = read(exact(value, 2, towards=DOWN)), read(exact(value, 2, towards=UP))
    assert down <= value * (1 + 1e-11) + 1e-7
    assert up >= value * (1 - 1e-11) - 1e-7
    assert value - STEP < down
    assert up < value + STEP


@given(st.integers(1, 500000))
def test_a_number_of_whole_hundredths_is_shown_as_it_is(hundredths: int) -> None:
    assert read(exact(hundredths / 100, 2, towards=DOWN)) == read(exact(hundredths / 100, 2, towards=UP))
    assert read(exact(hundredths / 100, 2)) == hundredths / 100


def test_a_depth_close_to_its_limit_stays_apart_from_it() -> None:
    assert apart(11.499, 11.5, "mm") == (f"11.499{GAP}mm", f"11.5{GAP}mm")
    assert apart(11.499, 11.5, "mm", DOWN)[0] == f"11.49{GAP}mm"


@each_answer
def test_the_settings_of_an_answer_are_exact_and_on_the_safe_side(
    best: Candidate, region: Region, base: RuleBase
) -> None:
    plan, told = best.plan, dict(settings(best, base))
    assert plan is not None
    depth = read(told["axial depth"])
    assert plan.axial_depth - STEP < depth <= plan.axial_depth + SLACK
    if "radial width" in told:
        assert plan.radial_width - STEP < read(told["radial width"]) <= plan.radial_width + SLACK
    if "overcut" in told:
        overcut = float(best.facts["overcut"])
        assert overcut - STEP < read(told["overcut"]) <= overcut + SLACK
    left = left_on_walls(best, plan)
    if left > 0 and "on the side" in told["allowances"]:
        assert left - SLACK <= read(told["allowances"]) < left + STEP
    each, per, feed = re.split(r"per (tooth|revolution),", told["feed"])
    whole = plan.feed_per_tooth * (plan.cutter.ZEFP if best.method == "drilling" else 1)
    assert per == ("revolution" if best.method == "drilling" else "tooth")
    assert whole * (1 - STEP) < read(each) <= whole + SLACK
    assert abs(read(feed) - plan.feed_rate) < 1
    assert abs(read(told["spindle"]) - plan.spindle_speed) < 1
    if "ramp angle" in told and best.way_in is not None and best.way_in.ramp_angle is not None:
        assert best.way_in.ramp_angle - STEP < read(told["ramp angle"]) <= best.way_in.ramp_angle + SLACK


@each_answer
def test_levels_and_their_depth_add_up_to_the_depth_to_cut(best: Candidate, region: Region, base: RuleBase) -> None:
    plan = best.plan
    assert plan is not None
    if best.method not in LEVELLED:
        return
    told = dict(settings(best, base))["axial depth"]
    depth = read(told)
    last = read(told.partition("the last")[2]) if "the last" in told else depth
    whole = float(best.facts["depth_to_cut"])
    together = (plan.levels - 1) * depth + last
    assert together <= whole + STEP / 2 + SLACK
    assert together > whole - 2 * STEP


@each_answer
def test_no_height_of_a_drawing_lies_below_the_floor(best: Candidate, region: Region, base: RuleBase) -> None:
    side = side_of(best, region)
    deepest = max(region.depth, -side.tip)
    said = [text for _, text in left_labels(side, _Frame()) if text.startswith(("level", "tip", "floor", "underside"))]
    lines = " | ".join(side_section(best, region, 28))
    said += re.findall(r"(?:level|tip|floor|end) [\d.]+", lines)
    for text in said:
        height = read(text.rpartition(":")[2].rpartition(" ")[2])
        assert height <= deepest + SLACK
        assert any(abs(height - real) < STEP for real in (-side.tip, region.depth, *(-at for at in side.levels)))


class _Frame:
    """Heights as they are."""

    def y(self, height: float) -> float:
        """The height itself."""
        return height


def test_a_rule_tells_a_depth_of_100_6_mm_as_it_is() -> None:
    assert fact_text(BASE, "depth", {"depth": 100.6}) == f"100.6{GAP}mm"
    assert fact_text(BASE, "axial_depth", {"axial_depth": 7.16667}) == f"7.16{GAP}mm"
    assert fact_text(BASE, "side_allowance", {"side_allowance": 0.301}) == f"0.301{GAP}mm"
    assert fact_text(BASE, "bottom_allowance", {"bottom_allowance": 1.301}) == f"1.31{GAP}mm"
