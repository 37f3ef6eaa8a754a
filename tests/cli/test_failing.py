"""A feature with a fault of our own does not take the others with it: they are answered, and it is named."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from typer.testing import CliRunner

from advisor.choosing import advice
from advisor.cli.main import app
from advisor.model.features import FeatureBase
from advisor.paths import cases_dir
from advisor.review import verdict
from tests.cli.commands import WINCH

HATCH = cases_dir() / "review-hatch-frame"
OTHERS = ["F1", "C1", "P1", "Q1", "T1", "H1", "H2"]
TOLD = "S1: internal error, no advice given for this feature: ZeroDivisionError: float division by zero. Report this"


def run(*words: object) -> tuple[int, str, str]:
    """The exit code, stdout and stderr of a command."""
    found = CliRunner().invoke(app, [str(word) for word in words])
    return found.exit_code, found.stdout, found.stderr


@pytest.fixture
def fails(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Lets the work on one feature end in a fault."""

    def put(name: str) -> None:
        usual = advice.feature_advice

        def broken(feature: FeatureBase, *more: Any, **named: Any) -> object:
            return 1 / 0.0 if feature.id == name else usual(feature, *more, **named)

        monkeypatch.setattr(advice, "feature_advice", broken)

    return put


@pytest.mark.parametrize("form", ["text", "markdown", "html"])
def test_the_other_features_are_answered_and_the_one_is_named(fails: Callable[[str], None], form: str) -> None:
    fails("S1")
    code, told, remarks = run("advise", WINCH, "--quick", "--format", form)
    assert code == 70
    assert TOLD in remarks
    assert "Not answered" in told
    assert "1 not answered" in told.replace("\n", " ").replace("  ", " ")
    assert all(name in told for name in (*OTHERS, "S1"))
    assert form != "html" or told.rstrip().endswith("</html>")


def test_the_record_has_the_others_and_names_the_one(fails: Callable[[str], None]) -> None:
    whole = json.loads(run("advise", WINCH, "--quick", "--format", "json")[1])
    fails("S1")
    code, told, _ = run("advise", WINCH, "--quick", "--format", "json")
    found = json.loads(told)
    assert code == 70
    assert found["failed"] == [{"feature": "S1", "error": "ZeroDivisionError: float division by zero"}]
    assert found["features"] == [one for one in whole["features"] if one["id"] != "S1"]
    assert whole["failed"] == []


def test_a_feature_that_cannot_be_told_does_not_silence_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.render import recording

    usual = recording.feature_record

    def broken(answer: Any, whole: Any) -> object:
        return 1 / 0.0 if answer.region.id == "S1" else usual(answer, whole)

    monkeypatch.setattr(recording, "feature_record", broken)
    code, told, remarks = run("advise", WINCH, "--quick", "--format", "json")
    assert code == 70
    assert TOLD in remarks
    assert [one["id"] for one in json.loads(told)["features"]] == OTHERS


def test_of_many_jobs_the_one_with_a_fault_still_answers_its_other_features(fails: Callable[[str], None]) -> None:
    fails("S1")
    slot = cases_dir() / "die-holder-with-drill" / "job.yaml"
    code, told, remarks = run("advise", WINCH, slot, "--quick", "--processes", "1", "--format", "json")
    first, second = json.loads(told)
    assert code == 70
    assert TOLD in remarks
    assert [one["id"] for one in first["advice"]["features"]] == OTHERS
    assert not second["advice"]["failed"]


def test_where_no_feature_has_an_answer_nothing_is_advised(fails: Callable[[str], None]) -> None:
    fails("S1")
    job = cases_dir() / "guide-slot-narrow" / "job.yaml"
    code, told, remarks = run("advise", job, "--quick")
    assert (code, told) == (70, "")
    assert "S1: internal error" in remarks


def test_the_evidence_names_the_feature_that_failed(fails: Callable[[str], None]) -> None:
    fails("S1")
    code, told, remarks = run("why", WINCH, "S1")
    assert (code, told) == (70, "")
    assert TOLD in remarks
    assert run("why", WINCH, "F1")[0] == 0


@pytest.mark.parametrize("form", ["text", "json", "html"])
def test_a_review_judges_what_it_can(fails: Callable[[str], None], form: str) -> None:
    fails("P1")
    code, told, remarks = run("review", HATCH / "job.yaml", HATCH / "plans" / "good.yaml", "--format", form)
    assert code == 70
    assert "P1: internal error" in remarks
    if form == "json":
        found = json.loads(told)
        assert [one["feature"] for one in found["failed"]] == ["P1"]
        assert {one["feature"] for one in found["operations"]} == {"F1", "W1", "T1", "S1"}
    else:
        assert "P1: internal error" in told


def test_a_fault_in_judging_one_feature_leaves_the_others_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = verdict.work_out

    def broken(part: Any, *more: Any) -> object:
        return 1 / 0.0 if part.feature == "P1" else usual(part, *more)

    monkeypatch.setattr(verdict, "work_out", broken)
    code, told, _ = run("review", HATCH / "job.yaml", HATCH / "plans" / "good.yaml", "--format", "json")
    found = json.loads(told)
    assert code == 70
    assert [one["feature"] for one in found["failed"]] == ["P1"]
    assert {one["feature"] for one in found["operations"]} == {"F1", "W1", "T1", "S1"}


def test_a_feature_that_failed_keeps_its_place_in_the_order_of_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """A part cut free before a pocket that could not be judged is still a part cut free too early."""
    plan = HATCH / "plans" / "good.yaml"
    usual = json.loads(run("review", HATCH / "job.yaml", plan, "--format", "json")[1])
    seen: list[float] = []
    judged = verdict.judge

    def noted(one: Any, *more: Any) -> object:
        if one.part.feature == "T1":
            seen.append(one.candidate.facts["features_after"])
        return judged(one, *more)

    monkeypatch.setattr(verdict, "judge", noted)
    run("review", HATCH / "job.yaml", plan)
    worked = verdict.work_out
    monkeypatch.setattr(
        verdict, "work_out", lambda part, *more: 1 / 0.0 if part.feature == "P1" else worked(part, *more)
    )
    run("review", HATCH / "job.yaml", plan)
    assert usual["failed"] == []
    assert seen[0] == seen[-1] == 3
