"""Every drawing shows the numbers it was drawn from, at scale, and what must not touch is seen to touch."""

import re
from itertools import pairwise
from math import cos, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.choosing.time_parts import time_parts
from advisor.mechanics.engagement import engagement_angle
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.render.drawings.engagement import R, engagement
from advisor.render.drawings.plan_view import plan_view
from advisor.render.drawings.section import section
from advisor.render.drawings.spindle_curve import spindle_curve
from advisor.render.drawings.svg import WIDTH, Drawing, element
from advisor.render.drawings.time_bar import time_bar
from advisor.render.page_parts import drawings
from advisor.text.spread import LINE, spread
from tests.cases import worked
from tests.jobs.strategies import end_mills
from tests.render import drawn
from tests.render.drawn import at, changed, contacts, number, part, parts, pocket, short_cutter

FEATURES = [(name, found.region.id) for name, found in worked.every_feature()]
ADVISED = [(name, found) for name, found in FEATURES if worked.feature(name, found).best]
each_feature = pytest.mark.parametrize(("name", "feature"), ADVISED)
LIMITS = worked.advice("winch-side-plate").bench.limits


def advised(name: str, feature: str) -> tuple[FeatureAdvice, Candidate]:
    answer = worked.feature(name, feature)
    assert answer.best is not None
    return answer, answer.best


def fact(candidate: Candidate, name: str) -> float:
    return float(candidate.facts[name])


# --- The side section


@each_feature
def test_depth_flutes_and_width_are_drawn_to_one_scale(name: str, feature: str) -> None:
    answer, best = advised(name, feature)
    drawing = section(best, answer.region, "x")
    depth = at(drawing, "bottom") - at(drawing, "feature")
    if best.method == "drilling":
        return
    flutes = part(drawing, "flutes")
    assert number(flutes, "height") / depth == pytest.approx(best.cutter.APMX / answer.region.depth, rel=0.02)
    assert number(flutes, "width") / depth == pytest.approx(best.cutter.DC / answer.region.depth, rel=0.02)
    holder = part(drawing, "holder")
    assert number(holder, "width") / depth == pytest.approx(best.cutter.holder_diameter / answer.region.depth, rel=0.02)


@each_feature
def test_the_last_level_is_drawn_at_the_depth_to_cut(name: str, feature: str) -> None:
    answer, best = advised(name, feature)
    if best.method == "drilling":
        return
    drawing = section(best, answer.region, "x")
    marks = [item for item in drawn.read(drawing).iter() if (item.get("data-at") or "").startswith("level")]
    scale = (at(drawing, "bottom") - at(drawing, "feature")) / answer.region.depth
    last = number(marks[-1], "y1") - at(drawing, "feature")
    assert last / scale == pytest.approx(fact(best, "depth_to_cut"), rel=0.02, abs=0.1)


@each_feature
def test_the_way_that_is_advised_touches_nothing(name: str, feature: str) -> None:
    answer, best = advised(name, feature)
    touched = contacts(section(best, answer.region, "x", worked.advice(name).bench.limits))
    assert touched <= {"beneath"}  # a drill goes through by its point, whatever lies beneath; a caution says so
    assert not touched or best.method == "drilling"


def test_contact_is_drawn_wherever_a_rule_forbids_it_and_nowhere_else() -> None:
    rules = {"shank-rubs": "shank", "holder-hits": "holder"}
    seen = set()
    for name, answer in worked.every_feature():
        limits = worked.advice(name).bench.limits
        for item in {(one.method, one.cutter.id): one for one in answer.candidates}.values():
            fired = {rules[rule.id] for rule in item.fired if rule.id in rules}
            if item.plan is None and item.method == "drilling":
                continue  # forbidden before its depth is known
            touched = contacts(section(item, answer.region, "x", limits)) - {"beneath"}
            if "shank" in fired and item.cutter.LPR == item.cutter.LU:
                touched |= {"shank"}  # no shank stands out: what touches is the holder
            assert touched >= fired, (name, answer.region.id, item.cutter.id)
            more = {"holder"} if item.method == "drilling" else set()  # drawn at the depth of its tip
            if "deeper-than-the-flutes" in {rule.id for rule in item.fired}:
                more |= {"shank"}  # told as flutes too short
            assert touched - fired <= more, (name, answer.region.id, item.cutter.id)
            seen |= fired
    assert "shank" in seen


@given(end_mills, st.floats(3, 120), st.floats(0, 10))
@settings(max_examples=80)
def test_a_collision_is_hatched_exactly_where_shank_or_holder_has_no_room(cutter, depth, top) -> None:  # type: ignore[no-untyped-def]
    answer = pocket()
    region = answer.region._replace(depth=depth, top=top)
    facts = {**answer.facts, "depth_to_cut": depth - 0.5, "side_allowance": 0.5, "bottom_allowance": 0.5}
    candidate = Candidate("layered_pocketing", cutter, "helical_ramp", "good", 1.0, (), facts)
    drawing = section(candidate, region, "x", LIMITS)
    buried = depth - 0.5 + top
    gap = (cutter.DC - cutter.DCONMS) / 2
    rubs = cutter.LU - buried < -1e-4 and gap < LIMITS["shank_clearance_least"]
    hits = cutter.LPR - buried < LIMITS["holder_clearance_least"] - 1e-4
    if abs(cutter.LU - buried) > 1e-3 and abs(cutter.LPR - buried - LIMITS["holder_clearance_least"]) > 1e-3:
        assert ("shank" in contacts(drawing)) == rubs
        assert ("holder" in contacts(drawing)) == hits
        assert ("CONTACT" in drawing.svg) == (rubs or hits)
        assert ("Contact:" in drawing.text) == (rubs or hits)
    for box in drawn.texts(drawing):
        assert box.left >= -1, box
        assert box.right <= WIDTH + 1, box


def test_a_short_cutter_in_a_deep_pocket_is_told_from_the_drawing_alone() -> None:
    drawing = section(short_cutter(), pocket().region, "x", LIMITS)
    assert contacts(drawing) == {"shank", "holder", "uncut"}
    assert all(f"x-{name}" in drawing.svg for name in ("hit", "stock"))
    told = " ".join(box.said for box in drawn.texts(drawing))
    assert "CONTACT: shank of 16\u00a0mm rubs the wall over 8\u00a0mm" in told
    assert "CONTACT: holder of 27\u00a0mm is 2.5\u00a0mm deep in the stock" in told
    assert "CONTACT: neck meets 13.5\u00a0mm of each level" in told


def test_a_holder_no_wider_than_the_cutter_is_still_told_where_it_dips_into_the_cut() -> None:
    slim = {"APMX": 15.0, "LU": 18.0, "LPR": 18.0, "DCONMS": 14.0, "holder_diameter": 16.0}
    candidate = changed(pocket(), slim)
    drawing = section(candidate, pocket().region, "x", LIMITS)
    assert "holder" in contacts(drawing)
    told = " ".join(box.said for box in drawn.texts(drawing))
    assert "CONTACT: holder of 16\u00a0mm is 10.5\u00a0mm down in the cut, and wider above" in told
    assert "wider above" in drawing.text


def test_the_hatching_of_a_contact_lies_where_cutter_and_stock_overlap() -> None:
    candidate = changed(pocket(), {"APMX": 28.5, "LU": 28.5, "LPR": 26.0 + 2.5})
    shorter = candidate._replace(cutter=candidate.cutter.model_copy(update={"APMX": 20.0, "LU": 20.0, "LPR": 24.0}))
    drawing = section(shorter, pocket().region, "x", LIMITS)
    (hit,) = (item for item in drawn.read(drawing).iter() if item.get("data-contact") == "holder")
    assert number(hit, "y") == pytest.approx(at(drawing, "feature"), abs=0.02)
    scale = (at(drawing, "bottom") - at(drawing, "feature")) / pocket().region.depth
    assert number(hit, "height") / scale == pytest.approx(28.5 - 24.0, rel=0.02)


def test_a_tip_that_goes_into_the_table_is_seen() -> None:
    answer, best = advised("winch-side-plate", "C1")
    deeper = best._replace(facts={**best.facts, "depth_to_cut": 49.0, "overcut": 7.0})
    assert contacts(section(deeper, answer.region, "x")) == {"beneath"}
    within = best._replace(facts={**best.facts, "depth_to_cut": 46.0, "overcut": 4.0})
    assert contacts(section(within, answer.region, "x")) == set()


# --- From above


@each_feature
def test_cutter_and_feature_are_drawn_to_one_scale_from_above(name: str, feature: str) -> None:
    answer, best = advised(name, feature)
    drawing = plan_view(best, answer.region, "x")
    wide = extent(part(drawing, "outline").get("d", ""))
    r = number(part(drawing, "cutter"), "r")
    assert 2 * r / wide == pytest.approx(best.cutter.DC / answer.region.length, rel=0.02, abs=0.001)


def extent(d: str) -> float:
    """How wide a box with rounded corners is, from the places that its path comes to."""
    x, seen = 0.0, []
    for command, rest in re.findall(r"([MHVa])([^MHVaZ]*)", d):
        values = [float(found) for found in rest.split()]
        if command in "MH":
            x = values[0]
        elif command == "a":
            x += values[-2]
        seen.append(x)
    return max(seen) - min(seen)


@each_feature
def test_the_helix_touches_its_bore_and_the_ramp_has_its_length(name: str, feature: str) -> None:
    answer, best = advised(name, feature)
    drawing = plan_view(best, answer.region, "x")
    r = number(part(drawing, "cutter"), "r")
    if best.entry == "helical_ramp":
        bore = number(part(drawing, "bore"), "r")
        width = fact(best, "bore" if best.method == "helical_boring" else "helix_bore")
        assert bore / r == pytest.approx(width / best.cutter.DC, rel=0.02)
        assert number(part(drawing, "helix"), "r") + r == pytest.approx(bore, abs=0.05)
    elif best.entry == "zigzag_ramp":
        ramp = part(drawing, "ramp")
        length = fact(best, "ramp_length" if best.method == "ramped_slotting" else "entry_stroke")
        stroke = number(ramp, "x2") - number(ramp, "x1")
        assert stroke / (2 * r) == pytest.approx(length / best.cutter.DC, rel=0.02)
    elif best.entry == "side_entry":
        assert parts(drawing, "roll")


@pytest.mark.parametrize(("corner", "rests"), [(5.0, 4), (8.0, 4), (8.6, 0), (13.0, 0)])
def test_corners_that_the_cutter_cannot_reach_are_hatched(corner: float, rests: int) -> None:
    narrow = changed(pocket(), {"DC": 16.0})  # with 0.5 mm on the walls: corners of less than R8.5 keep some
    drawing = plan_view(narrow, pocket().region._replace(corner_radius=corner), "x")
    assert len(parts(drawing, "rest")) == rests
    assert ("does not get into them" in drawing.text) == (rests > 0)


def test_an_open_side_is_dashed_and_its_corners_have_no_rest() -> None:
    answer, best = advised("winch-side-plate", "Q1")
    drawing = plan_view(best, answer.region._replace(corner_radius=3.0), "x")
    assert [item.get("data-open") for item in drawn.read(drawing).iter() if item.get("data-open")] == ["right"]
    assert len(parts(drawing, "rest")) == 2


# --- Engagement, time, spindle


@each_feature
def test_the_arc_of_contact_is_the_engagement(name: str, feature: str) -> None:
    _, best = advised(name, feature)
    assert best.plan is not None
    drawing = engagement(best, "x")
    if drawing is None:
        assert best.method in ("drilling", "helical_boring")
        return
    shown = "corner-angle" if parts(drawing, "corner-angle") else "angle"
    assert angle_of(part(drawing, shown).get("d", "")) == pytest.approx(best.plan.engagement, abs=1.0)


def angle_of(d: str) -> float:
    """The angle of an arc that begins to the right, from its ends."""
    from math import atan2, degrees

    from advisor.render.drawings.engagement import X, Y

    x, y = map(float, d.split()[-2:])
    return degrees(atan2(Y - y, x - X)) % 360


@given(st.floats(0.02, 1.0))
def test_the_width_of_contact_is_drawn_at_the_scale_of_the_cutter(share: float) -> None:
    from advisor.render.drawings.engagement import width_of

    assert width_of(engagement_angle(share * 16, 16)) / (2 * R) == pytest.approx(share, abs=1e-6)
    assert width_of(90) == pytest.approx(R * (1 - cos(radians(90))))


@each_feature
def test_the_bars_of_time_are_as_long_as_their_seconds(name: str, feature: str) -> None:
    _, best = advised(name, feature)
    found = time_parts(best)
    drawing = time_bar([("as planned", {part: 2 * value for part, value in found.items()}), ("advised", found)], "x")
    for kind, seconds in found.items():
        if seconds > 0:
            longer, shorter = (number(item, "width") for item in parts(drawing, kind))
            assert longer == pytest.approx(2 * shorter, abs=0.05)
            total = WIDTH - 16
            assert longer == pytest.approx(total * seconds / sum(found.values()), abs=0.05)


@each_feature
def test_the_cut_lies_under_the_curve_of_the_spindle(name: str, feature: str) -> None:
    _, best = advised(name, feature)
    assert best.plan is not None
    drawing = spindle_curve(best.plan, worked.advice(name).bench, "x")
    assert len(parts(drawing, "point")) == 2
    for point, curve in zip(parts(drawing, "point"), parts(drawing, "curve"), strict=True):
        pairs = [tuple(map(float, pair.split())) for pair in curve.get("d", "")[1:].split("L")]
        nearest = min(pairs, key=lambda pair: abs(pair[0] - number(point, "cx")))
        assert number(point, "cy") >= nearest[1] - 3


def test_too_much_power_is_crossed_and_said() -> None:
    plan = changed(pocket()).plan
    assert plan is not None
    load = plan.load._replace(power=22.0, torque=1.0)
    drawing = spindle_curve(changed(pocket(), load=load).plan, worked.advice("winch-side-plate").bench, "x")  # type: ignore[arg-type]
    assert len(parts(drawing, "point")) == 1
    assert any(box.said.endswith("OVER") for box in drawn.texts(drawing))
    assert "Over the curve: power." in drawing.text


# --- All of them


def every_drawing(name: str, feature: str) -> tuple[Drawing, ...]:
    answer, best = advised(name, feature)
    return drawings(best, answer.region, worked.advice(name).bench, "x", "advised")


@each_feature
def test_no_two_labels_of_a_drawing_overlap_and_none_is_cut_off(name: str, feature: str) -> None:
    for drawing in every_drawing(name, feature):
        boxes = list(drawn.texts(drawing))
        tall = float(drawn.read(drawing).get("viewBox", "").split()[3])
        for place, box in enumerate(boxes):
            assert box.left >= -1, (drawing.kind, box)
            assert box.right <= WIDTH + 1, (drawing.kind, box)
            assert box.bottom <= tall + 2, (drawing.kind, box)
            clash = [other.said for other in boxes[place + 1 :] if box.meets(other)]
            assert not clash, (drawing.kind, box.said, clash)


@each_feature
def test_every_drawing_says_in_words_what_it_shows(name: str, feature: str) -> None:
    for drawing in every_drawing(name, feature):
        tree = drawn.read(drawing)
        assert tree.get("role") == "img"
        told = {item.get("id"): item.text for item in tree.iter() if item.tag in ("title", "desc")}
        assert told[tree.get("aria-labelledby")]
        assert re.search(r"\d", told[tree.get("aria-describedby")] or "")


@each_feature
def test_the_same_answer_gives_the_same_drawings(name: str, feature: str) -> None:
    assert every_drawing(name, feature) == every_drawing(name, feature)


def test_what_is_said_in_a_drawing_is_escaped() -> None:
    assert element("text", x='<&">') == '<text x="&lt;&amp;&quot;&gt;"/>'
    hostile = changed(pocket(), {"id": '<b>"&E1'})
    for drawing in drawings(hostile, pocket().region, worked.advice("winch-side-plate").bench, "x", "<i>"):
        assert "<b>" not in drawing.svg
        assert "<i>" not in drawing.svg
        drawn.read(drawing)


@given(st.lists(st.floats(0, 300), min_size=1, max_size=12).map(sorted))
def test_labels_keep_their_order_and_their_distance(wanted: list[float]) -> None:
    found = spread(wanted, 10, 300)
    assert all(later - earlier >= LINE - 1e-6 for earlier, later in pairwise(found))
    assert found[0] >= 10 - 1e-6
