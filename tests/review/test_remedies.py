"""One set of remedies for a plan: as little is changed as answers its findings, and the set is reviewed itself."""

from itertools import pairwise

import pytest

from advisor.render import terminal
from advisor.review.finding import HEAVY
from advisor.review.remedies import NUMBERS, remedies
from advisor.review.verdict import Review
from advisor.text.blocks import Heading, Items
from advisor.text.review import change_text, review_blocks
from tests.review.planning import shipped
from tests.review.test_shipped_plans import HATCH, PLANS


def told(found: Review) -> str:
    return " ".join(terminal.text(review_blocks(found, sketches=False), 80, True).split()).replace("\u00a0", " ")


def in_the_set(found: Review) -> list[str]:
    """Return the entries of the set of remedies."""
    blocks = list(review_blocks(found, sketches=False))
    for head, block in pairwise(blocks):
        if isinstance(head, Heading) and head.text == "What to change" and isinstance(block, Items):
            return [item.text.replace("\u00a0", " ") for item in block.items]
    return []


def test_a_cut_too_wide_is_narrowed_with_the_cutter_and_the_way_of_the_plan() -> None:
    found = shipped(HATCH, "full-flute-overload.yaml")
    (one,) = remedies(found).changes
    planned = one.planned.candidate
    assert (one.changed.cutter.id, one.changed.method, one.changed.entry) == (
        planned.cutter.id, planned.method, planned.entry,
    )  # fmt: skip
    assert one.changed.plan is not None
    assert planned.plan is not None
    assert one.changed.plan.radial_width < planned.plan.radial_width
    assert change_text(one).replace("\u00a0", " ").startswith("a_e 6 → ")
    assert all(remedies(found).answers(finding) for finding in found.findings)
    assert "Narrow the cut" not in told(found)


def test_of_a_wrong_coolant_the_coolant_alone_is_changed() -> None:
    found = shipped(HATCH, "flood-on-inserts.yaml")
    (entry,) = in_the_set(found)
    assert entry.startswith("Operation 1, T1: coolant flood → air. Then ")


def test_a_cutter_too_short_is_changed_for_one_that_reaches() -> None:
    found = shipped(HATCH, "beyond-the-flutes.yaml")
    (one,) = remedies(found).changes
    best = one.planned.advice.best
    assert best is not None
    assert one.changed.cutter.id == best.cutter.id != one.planned.candidate.cutter.id


def test_what_no_number_answers_is_told_in_words() -> None:
    (entry,) = in_the_set(shipped(HATCH, "loose-middle.yaml"))
    assert "Keep tabs or a skin" in entry


def test_a_sound_plan_has_no_set() -> None:
    assert remedies(shipped(HATCH, "good.yaml")).changes == ()
    assert in_the_set(shipped(HATCH, "good.yaml")) == []


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_what_to_do_about_all_that_is_to_be_stopped_or_changed_stands_once_and_in_the_set(case: str, name: str) -> None:
    found = shipped(case, name)
    each = remedies(found)
    text, together = told(found), " ".join(in_the_set(found))
    for finding in found.findings:
        if finding.weight not in HEAVY:
            continue
        if each.answers(finding):
            assert any(one.planned.operation.number == finding.operation for one in each.changes)
        elif finding.rule.remedy:
            assert finding.remedy.replace("\u00a0", " ") in together
            assert text.count(finding.remedy.replace("\u00a0", " ")) == 1


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_every_change_of_the_set_changes_something_and_has_a_time(case: str, name: str) -> None:
    for one in remedies(shipped(case, name)).changes:
        assert "→" in change_text(one)


def test_the_numbers_left_open_are_all_that_a_plan_may_say_of_a_cut() -> None:
    from advisor.model.operations import OperationRow

    words = {"feature", "cutter", "method", "entry", "entry_cutter", "order", "coolant", "tabs"}
    assert set(NUMBERS) == set(OperationRow.model_fields) - words


def test_a_caution_of_several_operations_is_told_once_with_the_others_named() -> None:
    text = told(shipped(HATCH, "good.yaml"))
    assert text.count("[part-shifts]") == 1
    assert "The same in operation 3, T1, with their own numbers." in text


def test_what_was_assumed_and_what_was_not_given_is_gathered() -> None:
    text = told(shipped(HATCH, "good.yaml"))
    assert "P1, W1, T1, S1: no wall thickness given." in text
    assert "Not given in the plan, and assumed Operation 1, F1: radial width 60 mm, bottom allowance 0 mm" in text
