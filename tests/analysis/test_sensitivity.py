"""Every turn of the advice that is told, asked again on both sides with the whole crib."""

from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from advisor.analysis.breakpoints import Key, key_of
from advisor.analysis.inputs import changed_cutter, changed_feature
from advisor.analysis.line_search import told
from advisor.analysis.sensitivity import STEPS, changed_machine, changes
from advisor.choosing.advice import MANY, advise_feature
from advisor.choosing.drill_sizes import only_another_drill
from advisor.choosing.job_advice import Advice
from advisor.model.answer import Breakpoint, FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.features import FeatureBase
from advisor.model.machine import make_machine
from advisor.model.owner import Owner
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import Bench, bench_of
from tests.cases import worked
from tests.jobs.strategies import everyday_features

CASES = sorted(path.parent.name for path in (Path(__file__).parents[2] / "cases").glob("*/job.yaml"))
CRIB = """\
id,body,DC,APMX,ZEFP,LU,DCONMS,KAPR,RMPX,RPMX,substrate,holder_diameter
C0,solid_end_mill,14.76,25.78,4,86.89,0.3693,12.77,,,cermet,209.2
C1,inserted_stacked_mill,4.959,71.93,6,,,71.28,1.868,70280,hss,23.39
"""
DEMO = Path(__file__).parents[2] / "cases/winch-side-plate/job.yaml"


def case(name: str) -> Advice:
    """Return the advice for a case as the command gives it; worked out once a run, for the snapshots too."""
    found = worked.asked(name)
    assert len(found.assignment.crib) <= MANY, "of a larger crib no turns are told"
    return found


def turns(name: str, feature_id: str) -> tuple[Breakpoint, ...]:
    """Return what would change the answer for a feature of a case, as it is told."""
    return pair(name, feature_id)[0].changes


def pair(name: str, feature_id: str) -> tuple[FeatureAdvice, FeatureBase]:
    """Return the answer for a feature of a case, and the feature."""
    found = case(name)
    pairs = zip(found.features, found.assignment.job.features, strict=True)
    return next(pair for pair in pairs if pair[1].id == feature_id)


def asked_again(
    turn: Breakpoint, value: float, feature: FeatureBase, assignment: Assignment, bench: Bench
) -> Key | None:
    """Method, body and way in with the one number changed, by the whole reasoning."""
    crib = assignment.crib
    if turn.owner is Owner.FEATURE:
        other = changed_feature(feature, turn.name, value)
        assert other is not None
        return key_of(advise_feature(other, crib, bench).best)
    if turn.owner is Owner.MACHINE:
        machine = changed_machine(bench.machine, turn.name, value)
        return key_of(advise_feature(feature, crib, bench._replace(machine=machine)).best)
    changed = []
    for cutter in crib:
        if cutter.id == turn.owner_id:
            other_cutter = changed_cutter(cutter, turn.name, value)
            assert other_cutter is not None
            changed.append(other_cutter)
        else:
            changed.append(cutter)
    return key_of(advise_feature(feature, changed, bench).best)


def hold_up(
    found: Iterable[Breakpoint], now: Key | None, feature: FeatureBase, assignment: Assignment, bench: Bench
) -> None:
    """Ask every turn of a feature again, where it is told and within a hair before.

    Where two ways are almost equal over a stretch, they take turns in it, and the hair may end in another turn.
    """
    for turn in found:
        named = (turn.method, turn.body, turn.entry or "") if turn.method else None
        hair = max(0.02, 0.0015 * turn.at, 2 * STEPS.get(turn.unit, 0))
        toward = -1 if turn.at > turn.start else 1
        nearby = [turn.at + toward * hair * part / 8 for part in range(8, 0, -1)]
        assert asked_again(turn, turn.at, feature, assignment, bench) == named, turn
        assert named != now
        if (turn.at > turn.start) == (nearby[0] > turn.start):
            assert any(asked_again(turn, before, feature, assignment, bench) == now for before in nearby), turn


@pytest.mark.parametrize("name", CASES)
def test_every_turn_of_a_case_holds_on_both_sides(name: str) -> None:
    found = case(name)
    for answer, feature in zip(found.features, found.assignment.job.features, strict=True):
        hold_up(turns(name, feature.id), key_of(answer.best), feature, found.assignment, found.bench)
        assert all(turn.at != turn.start for turn in turns(name, feature.id))


@settings(max_examples=8, suppress_health_check=list(HealthCheck))
@given(everyday_features())
def test_every_turn_of_any_feature_holds_on_both_sides(feature: FeatureBase) -> None:
    """With every other cutter of the demo, which takes half as long as with all."""
    assignment, bench = case(DEMO.parent.name).assignment, case(DEMO.parent.name).bench
    assignment = assignment.model_copy(update={"crib": assignment.crib[::2]})
    answer = advise_feature(feature, assignment.crib, bench)
    found = changes(answer, feature, assignment.crib, bench)
    hold_up(found, key_of(answer.best), feature, assignment, bench)
    assert all(turn.at > 0 for turn in found)


def test_a_speed_and_a_feed_that_turn_an_answer_are_told_as_they_are_typed() -> None:
    """Whole turns, and whole millimetres a minute; those of the demo that are no lengths, borne out on both sides."""
    name = DEMO.parent.name
    every = [turn for answer in case(name).features for turn in turns(name, answer.region.id)]
    found = [turn for turn in every if turn.unit in ("1/min", "mm/min")]
    assert found
    assert all(turn.at == round(turn.at) for turn in found)


@pytest.mark.parametrize(
    ("value", "other", "step", "at"),
    [
        (4547.3, 4549.6, 1.0, 4547.0),
        (4549.6, 4547.3, 1.0, 4550.0),
        (4548.0, 4549.0, 1.0, 4548.0),
        (8.4762, 8.49, 0.01, 8.47),
        (8.4762, 8.46, 0.01, 8.48),
    ],
)
def test_a_value_beyond_a_turn_is_rounded_away_from_it(value: float, other: float, step: float, at: float) -> None:
    assert told(value, other, step) == at


@pytest.mark.parametrize(("job", "feature_id"), [("bracket-hole-on-parallels", "H1")])
def test_a_cutter_many_times_as_long_or_short_is_not_told(job: str, feature_id: str) -> None:
    """Flutes of 23 mm instead of 56 would turn the hole: no such cutter is at hand."""
    bench = case(job).bench
    most = bench.limits["cutter_length_times_most"]

    def lengths(times: float) -> set[str]:
        moved = bench._replace(limits={**bench.limits, "cutter_length_times_most": times})
        answer, feature = pair(job, feature_id)
        found = changes(answer, feature, case(job).assignment.crib, moved)
        return {turn.name for turn in found if turn.name in ("APMX", "LU", "LPR")}

    assert most == 2
    assert lengths(most) == set()
    assert lengths(3.5)


def test_a_hole_a_little_wider_or_narrower_only_wants_another_drill() -> None:
    """A hole of 12.06 mm is not drilled by 12 mm, nor one of 12 mm by 12.03: that is all it says."""
    found, (answer, feature) = case("bracket-hole-on-parallels"), pair("bracket-hole-on-parallels", "H1")
    fine = {"drill_size_step": 0.01, "drill_size_step_share": 0.001}
    for limits, near_too in ((found.bench.limits, False), ({**found.bench.limits, **fine}, True)):
        turned = changes(answer, feature, found.assignment.crib, found.bench._replace(limits=limits))
        near = {turn.name for turn in turned if turn.name in ("diameter", "DC") and turn.distance < 0.01}
        assert near == ({"diameter", "DC"} if near_too else set())


@pytest.mark.parametrize(
    ("start", "at", "another"),
    [
        (6.8, 6.77, True),
        (6.8, 6.701, True),
        (6.8, 6.7, False),
        (14, 13.861, True),
        (14, 14.14, False),
        (14, 13.49, False),
    ],
)
def test_another_drill_is_within_a_tenth_of_a_millimetre_or_a_hundredth(start: float, at: float, another: bool) -> None:
    (answer, _), limits = pair("bracket-hole-on-parallels", "H1"), case("bracket-hole-on-parallels").bench.limits
    assert only_another_drill(start, at, (answer.best, None), limits) is another
    assert only_another_drill(start, at, (None, answer.best), limits) is another
    assert not only_another_drill(start, at, (None, None), limits), "milled before and after: told however near"


def test_a_slot_widened_to_where_loops_have_room_is_no_longer_ramped() -> None:
    wider = [turn for turn in turns("guide-slot-narrow", "S1") if turn.name == "width"]
    assert any(turn.at > turn.start and turn.method != "ramped_slotting" for turn in wider)


def test_a_weaker_spindle_keeps_the_shape_of_its_curve() -> None:
    machine = make_machine(
        name="m",
        spindle={"speed": [1000, 4000], "power": [8, 10]},
        feed_max=5000,
        rapid=9000,
        axis_acceleration=2,
        tool_change=9,
        coolant=["air"],
    )
    assert changed_machine(machine, "spindle power", 5).spindle.power == (4, 5)


@pytest.mark.parametrize(
    ("job", "feature_id", "name"),
    [
        ("spar-pocket-aluminium", "P1", "depth"),  # a second level comes and goes on the way
        ("rack-slot-worn-axes", "S1", "depth"),
        ("winch-side-plate", "H2", "depth"),
        ("winch-side-plate", "S1", "width"),
        ("pump-base-deep-pocket", "P1", "depth"),
    ],
)
def test_no_other_answer_lies_between_today_and_a_turn(job: str, feature_id: str, name: str) -> None:
    advice = case(job)
    bench, crib = advice.bench, advice.assignment.crib
    feature = next(item for item in advice.assignment.job.features if item.id == feature_id)
    answer = next(found for found in advice.features if found.region.id == feature_id)
    told = [turn for turn in turns(job, feature_id) if turn.owner is Owner.FEATURE and turn.name == name]
    assert told
    for turn in told:
        for step in range(1, 12):
            between = changed_feature(feature, name, turn.start + (turn.at - turn.start) * step / 12)
            assert between is not None
            assert key_of(advise_feature(between, crib, bench).best) == key_of(answer.best), (turn, step)


def test_a_spindle_of_next_to_no_power_is_no_obstacle(tmp_path: Path) -> None:
    """The value on this side of a turn would be told as 0 kW, which no machine has."""
    machine = (
        "machines:\n- {name: m1, spindle: {speed: [2.4], power: [0.001252]}, feed_max: 13640, rapid: 3801,\n"
        "   axis_acceleration: 7.961, tool_change: 60, coolant: [mist], stiffness: 0.1899}\ncrib: crib.csv\n"
    )
    face = "{id: F0, kind: planar_face, depth: 18.33, length: 93.34, width: 9.25}"
    (tmp_path / "shop.yaml").write_text(machine)
    (tmp_path / "job.yaml").write_text(
        f"{{part: Strip, material: 42CrMo4, machine: m1, shop: shop.yaml, features: [{face}]}}"
    )
    (tmp_path / "crib.csv").write_text(CRIB)
    assert all(turn.at > 0 for turn in _turns_of(tmp_path / "job.yaml"))


def _turns_of(job: Path) -> Iterator[Breakpoint]:
    assignment = read_assignment(job)
    bench = bench_of(assignment)
    for feature in assignment.job.features:
        yield from changes(advise_feature(feature, assignment.crib, bench), feature, assignment.crib, bench)
