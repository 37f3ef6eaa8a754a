"""The order of a whole plan: the face first, what frees the part last, and held."""

import pytest

from advisor.readers.plan_line import plan_said
from advisor.review.coverage import MAIN, Part, features_after, fewest_changes
from advisor.review.verdict import Review, review
from tests.review.planning import assignment

PLATE = "winch-side-plate"
FACE, POCKET, OUTLINE = "F1: A80", "P1: E20N3 helical ramp", "C1: E20N3L"


def said(*operations: str, rim: float | None = 4) -> Review:
    """Return the review of a spoken plan for the side plate, with a rim of stock round its outline [mm]."""
    found = assignment(PLATE)
    features = tuple(
        one.model_copy(update={"stock_side": rim}) if one.id == "C1" else one for one in found.job.features
    )
    found = found.model_copy(update={"job": found.job.model_copy(update={"features": features})})
    return review(plan_said(["; ".join(operations)], [cutter.id for cutter in found.crib], "mm"), found)


def weights(found: Review) -> dict[str, str]:
    """Return the rules of all findings with their weights."""
    return {finding.rule.id: finding.weight for finding in found.findings}


def of_the_order(found: Review) -> dict[str, str]:
    """Return the findings about what is free or comes late."""
    names = (
        "part-is-free-too-early",
        "outline-before-the-rest",
        "nothing-holds-the-part",
        "part-not-said-to-be-held",
        "rim-becomes-chips-and-holding-not-said",
        "face-comes-late",
    )
    return {name: weight for name, weight in weights(found).items() if name in names}


@pytest.mark.parametrize(("held", "rim"), [(" tabs no", 4), ("", 20), (" tabs no", 20), ("", None)])
def test_a_part_that_is_free_before_its_pocket_is_cut_is_a_stop(held: str, rim: float | None) -> None:
    assert of_the_order(said(FACE, OUTLINE + held, POCKET, rim=rim)) == {"part-is-free-too-early": "stop"}
    assert said(FACE, OUTLINE + held, POCKET, rim=rim).stops


@pytest.mark.parametrize("plan", [(FACE, OUTLINE, POCKET), (FACE, POCKET, OUTLINE)])
@pytest.mark.parametrize("rim", [4, 19.9])
def test_a_rim_that_becomes_chips_holds_no_part_and_the_plan_is_asked_what_does(
    plan: tuple[str, ...], rim: float
) -> None:
    """20 mm of cutter leave no frame of a rim of less, so the part is held from elsewhere already; what holds it must
    do so in the pocket too, if that comes later.
    """
    early = {"outline-before-the-rest": "consider"} if plan[-1] is POCKET else {}
    assert of_the_order(said(*plan, rim=rim)) == {"rim-becomes-chips-and-holding-not-said": "consider"} | early


def test_what_frees_the_part_last_and_held_by_tabs_is_no_finding() -> None:
    assert of_the_order(said(FACE, POCKET, OUTLINE + " tabs yes")) == {}


def test_a_plan_that_ends_with_nothing_to_hold_the_part_is_a_stop() -> None:
    assert of_the_order(said(FACE, POCKET, OUTLINE + " tabs no")) == {"nothing-holds-the-part": "stop"}


def test_a_plan_is_asked_what_holds_the_part_at_the_end() -> None:
    assert of_the_order(said(FACE, POCKET, OUTLINE, rim=20)) == {"part-not-said-to-be-held": "consider"}


def test_tabs_cut_early_must_take_the_other_cuts_too() -> None:
    assert of_the_order(said(FACE, OUTLINE + " tabs yes", POCKET)) == {"outline-before-the-rest": "consider"}


@pytest.mark.parametrize("skin", ["0.2", "0.5"])
def test_a_skin_left_at_the_bottom_holds_the_part(skin: str) -> None:
    assert of_the_order(said(FACE, f"{OUTLINE} bottom {skin}", POCKET)) == {}


def test_a_second_part_cut_out_of_the_same_plate_is_not_cut_in_the_first() -> None:
    kinds = {"one": "outside_profile", "other": "outside_profile", "hole": "round_hole"}
    cutter = assignment(PLATE).crib[0]
    operations = plan_said(["C1: E20N3L; C1: E20N3L; C1: E20N3L"], ["E20N3L"], "mm").operations
    every = [Part(one, name, MAIN, cutter, None) for one, name in zip(operations, kinds, strict=True)]
    assert [features_after(part, every, kinds) for part in every] == [1, 1, 0]
    assert features_after(every[0], every[:2], kinds) == 0


def test_pockets_before_the_face_are_to_be_changed() -> None:
    assert of_the_order(said(POCKET, FACE)) == {"face-comes-late": "change"}
    assert of_the_order(said(FACE, POCKET)) == {}


def test_changes_are_not_saved_by_cutting_the_part_free_early() -> None:
    """One cutter does outline and step, another the pocket between them: the outline still comes last."""
    used = [("A", "step"), ("B", "pocket"), ("A", "outline")]
    kinds = {"step": "step", "pocket": "closed_pocket", "outline": "outside_profile"}
    assert fewest_changes(used) == 2
    assert fewest_changes(used, kinds) == 2  # the pocket first, then the step and the outline
    both = [("A", "step"), ("B", "step"), ("A", "outline")]
    assert fewest_changes(both, kinds) == 3


def test_changes_are_not_saved_by_facing_late() -> None:
    used = [("A", "face"), ("B", "step"), ("A", "pocket"), ("B", "pocket")]
    kinds = {"face": "planar_face", "step": "step", "pocket": "closed_pocket"}
    assert fewest_changes(used, kinds) == 2
    used = [("A", "face"), ("B", "pocket"), ("A", "outline")]
    assert fewest_changes(used, kinds | {"outline": "outside_profile"}) == 3
