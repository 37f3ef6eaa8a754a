"""One set of remedies for a plan: as little is changed as answers its findings, and the set is reviewed itself."""

from itertools import pairwise

import pytest
from jsonschema import validate
from typer.testing import CliRunner

from advisor import service
from advisor.cli.main import app
from advisor.paths import cases_dir
from advisor.render import terminal
from advisor.render.page_review import review_page
from advisor.render.review_record import review_record, review_schema
from advisor.review.finding import HEAVY
from advisor.review.remedies import NUMBERS, remedied
from advisor.review.verdict import Review
from advisor.text.blocks import Heading, Items
from advisor.text.review import change_text, review_blocks
from tests.review.planning import advice, assignment, whole
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
    found = whole(HATCH, "full-flute-overload.yaml")
    (one,) = found.remedies.changes
    planned = one.planned.candidate
    assert (one.changed.cutter.id, one.changed.method, one.changed.entry) == (
        planned.cutter.id, planned.method, planned.entry,
    )  # fmt: skip
    assert one.changed.plan is not None
    assert planned.plan is not None
    assert one.changed.plan.radial_width < planned.plan.radial_width
    assert change_text(one).replace("\u00a0", " ").startswith("a_e 6 → ")
    assert all(found.remedies.answers(finding) for finding in found.findings)
    assert "Narrow the cut" not in told(found)


def test_of_a_wrong_coolant_the_coolant_alone_is_changed() -> None:
    found = whole(HATCH, "flood-on-inserts.yaml")
    (entry,) = in_the_set(found)
    assert entry.startswith("Operation 1, T1: coolant flood → air. Then ")


def test_a_cutter_too_short_is_changed_for_one_that_reaches() -> None:
    found = whole(HATCH, "beyond-the-flutes.yaml")
    (one,) = found.remedies.changes
    best = one.planned.advice.best
    assert best is not None
    assert one.changed.cutter.id == best.cutter.id != one.planned.candidate.cutter.id


def test_what_no_number_answers_is_told_in_words() -> None:
    (entry,) = in_the_set(whole(HATCH, "loose-middle.yaml"))
    assert "Keep tabs or a skin" in entry


def test_the_set_stands_before_the_findings() -> None:
    found = list(review_blocks(whole(HATCH, "full-flute-overload.yaml")))
    heads = [block.text for block in found if isinstance(block, Heading)]
    assert heads.index("What to change") < next(at for at, head in enumerate(heads) if head.startswith("Stop"))


def test_a_sound_plan_has_no_set() -> None:
    assert whole(HATCH, "good.yaml").remedies.changes == ()
    assert in_the_set(whole(HATCH, "good.yaml")) == []


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_what_to_do_about_all_that_is_to_be_stopped_or_changed_stands_once_and_in_the_set(case: str, name: str) -> None:
    found = whole(case, name)
    each = found.remedies
    text, together = told(found), " ".join(in_the_set(found))
    for finding in found.findings:
        if finding.weight not in HEAVY:
            continue
        if each.answers(finding):
            assert any(one.planned.operation.number == finding.operation for one in each.changes)
        elif finding.rule.remedy:
            assert finding.remedy.replace("\u00a0", " ") in together
            assert text.count(finding.remedy.replace("\u00a0", " ")) == 1


def test_every_change_of_the_set_changes_something_and_has_a_time() -> None:
    changes = [change_text(one) for case, name in PLANS for one in whole(case, name).remedies.changes]
    assert len(changes) > 15
    assert [text for text in changes if "→" not in text or ". Then " not in text] == []


def test_the_numbers_left_open_are_all_that_a_plan_may_say_of_a_cut() -> None:
    from advisor.model.operations import OperationRow

    words = {"feature", "cutter", "method", "entry", "entry_cutter", "order", "coolant", "tabs"}
    assert set(NUMBERS) == set(OperationRow.model_fields) - words


def test_a_caution_of_several_operations_is_told_once_with_the_others_named() -> None:
    text = told(whole(HATCH, "good.yaml"))
    assert text.count("[part-shifts]") == 1
    assert "The same in operation 3, T1, with their own numbers." in text


def test_what_was_assumed_and_what_was_not_given_is_gathered() -> None:
    text = told(whole(HATCH, "good.yaml"))
    assert "P1, W1, T1, S1: no wall thickness given." in text
    assert "Not given in the plan, and assumed Operation 1, F1: radial width 60 mm, bottom allowance 0 mm" in text


def test_text_page_and_json_show_the_set_and_work_nothing_out(monkeypatch: pytest.MonkeyPatch) -> None:
    found = whole(HATCH, "full-flute-overload.yaml")

    def refuse(*given: object) -> None:
        raise AssertionError("a review was made to show one")

    monkeypatch.setattr("advisor.review.remedies.review", refuse)
    monkeypatch.setattr("advisor.review.verdict.review", refuse)
    assert in_the_set(found)
    assert "What to change" in review_page(found)
    assert review_record(found).remedies


def test_the_set_is_worked_out_once_a_review(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Review] = []
    monkeypatch.setattr("advisor.review.isolated.remedied", lambda found: asked.append(found) or remedied(found))
    plan, job = whole(HATCH, "flood-on-inserts.yaml").plan, assignment(HATCH)
    found = service.review_plan(plan, job, advice(HATCH))
    for _ in range(2):
        assert in_the_set(found)
        review_record(found)
    assert len(asked) == 1
    assert found.remedies.changes


def test_findings_that_recur_are_told_without_working_out_remedies(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(found: Review) -> Review:
        raise AssertionError("remedies were worked out that nobody sees")

    monkeypatch.setattr("advisor.review.isolated.remedied", refuse)
    case = cases_dir() / HATCH
    words = ["review", case / "job.yaml", case / "plans" / "flood-on-inserts.yaml", "--trend"]
    assert CliRunner().invoke(app, list(map(str, words))).exit_code in (0, 1)


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_json_has_the_numbers_to_type(case: str, name: str) -> None:
    found = whole(case, name)
    record = review_record(found).model_dump(mode="json", by_alias=True)
    validate(record, review_schema())
    assert [(one["operation"], one["feature"]) for one in record["remedies"]] == [
        (one.planned.operation.number, one.planned.feature_id) for one in found.remedies.changes
    ]
    for told_, one in zip(record["remedies"], found.remedies.changes, strict=True):
        assert (told_["method"], told_["cutter"], told_["entry"]) == (
            one.changed.method, one.changed.cutter.id, one.changed.entry,
        )  # fmt: skip
        assert told_["text"] == change_text(one)
        if one.changed.plan is not None:
            assert told_["settings"]["radial_width"] == pytest.approx(one.changed.plan.radial_width, rel=1e-3)
            assert told_["settings"]["feed_rate"] == pytest.approx(one.changed.plan.feed_rate, rel=1e-3)
    assert [one["answered"] for one in record["findings"]] == [*map(found.remedies.answers, found.findings)]
