"""How a review is told: on the terminal, in Markdown, as JSON, and over many plans."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.knowledge.schema import WEIGHTS
from advisor.paths import cases_dir
from advisor.render import markdown, terminal
from advisor.render.review_record import review_record, review_schema, reviews_schema
from advisor.review.trend import NOBODY, trend
from advisor.text.review import review_blocks
from advisor.text.trend import trend_blocks
from tests.review.planning import shipped, whole
from tests.review.test_shipped_plans import HATCH, PLANS

JOB = cases_dir() / HATCH / "job.yaml"
FOLDER = cases_dir() / HATCH / "plans"


def run(*words: object) -> tuple[int, str, str]:
    """Return exit code, output and remarks of ``roughing review``."""
    found = CliRunner().invoke(app, ["review", *map(str, words)])
    return found.exit_code, found.stdout, found.stderr


def record(case: str, name: str) -> Any:
    """Return the JSON of a review."""
    return review_record(whole(case, name)).model_dump(mode="json", by_alias=True)


@pytest.mark.parametrize("columns", [80, 50])
@pytest.mark.parametrize(("case", "name"), PLANS)
def test_a_review_fits_its_terminal_and_names_every_finding(case: str, name: str, columns: int) -> None:
    found = shipped(case, name)
    lines = terminal.text(review_blocks(found), columns, True).splitlines()
    assert max(map(len, lines)) <= columns
    text = " ".join(" ".join(lines).split())
    for finding in found.findings:
        assert f"[{finding.rule.id}]" in text.replace("- ", "-") or finding.rule.id in text.replace(" ", "")


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_every_finding_says_a_number_or_what_to_do_and_nothing_is_left_unfilled(case: str, name: str) -> None:
    for finding in shipped(case, name).findings:
        assert "{" not in finding.text
        assert "not given" not in finding.text or "clearance" in finding.text
        assert finding.rule.remedy or any(sign.isdigit() for sign in finding.text)


def test_findings_come_worst_first_and_safety_before_others() -> None:
    for case, name in PLANS:
        places = [(WEIGHTS.index(one.weight), not one.rule.harm) for one in shipped(case, name).findings]
        assert places == sorted(places)


def test_what_we_would_have_done_is_told_only_where_it_matters() -> None:
    for case, name in PLANS:
        for finding in shipped(case, name).findings:
            assert bool(finding.instead) == (finding.weight != "consider" and finding.feature is not None)


@pytest.mark.parametrize(("case", "name"), PLANS)
def test_the_json_of_a_review_keeps_to_its_published_schema(case: str, name: str) -> None:
    Draft202012Validator(review_schema()).validate(record(case, name))


def test_the_json_has_the_fields_that_were_promised() -> None:
    found = record(HATCH, "full-flute-overload.yaml")
    first = found["findings"][0]
    assert {"weight", "operation", "feature", "rule", "text", "facts", "source", "instead"} <= set(first)
    assert (first["weight"], first["operation"], first["feature"]) == ("stop", 1, "T1")
    assert {"operation", "feature", "text"} <= set(record(HATCH, "good.yaml")["well_chosen"][0])
    assert {"operation", "what"} <= set(found["not_said"][0])
    assert set(found["time"]) == {"plan_s", "advised_s"}


def test_markdown_tells_what_the_terminal_tells() -> None:
    text = markdown.text(review_blocks(whole(HATCH, "loose-middle.yaml")))
    assert "`middle-falls-out`" in text
    assert "**Safety:**" in text


def test_the_exit_code_is_1_where_anything_is_to_be_stopped() -> None:
    assert run(JOB, FOLDER / "good.yaml")[0] == 0
    assert run(JOB, FOLDER / "full-flute-overload.yaml")[0] == 1
    assert run(JOB, "--say", "T1: E12P5L ap 29.5 ae 6")[0] == 1


def test_bad_input_ends_with_2_and_names_the_place() -> None:
    code, told, remarks = run(JOB, "--say", "T9: E12P5L")
    assert (code, told) == (2, "")
    assert "operation 1.feature" in remarks
    assert run(JOB)[0] == 2
    assert run(JOB, FOLDER / "nowhere.yaml")[0] == 2


def test_every_plan_of_a_folder_is_reviewed_and_what_recurs_is_told() -> None:
    code, told, _ = run(JOB, FOLDER, "--format", "json")
    found = json.loads(told)
    Draft202012Validator(reviews_schema()).validate(found)
    assert code == 1
    assert len(found["reviews"]) == sum(case == HATCH for case, _ in PLANS)
    slow = next(one for one in found["trend"] if one["rule"] == "slower-than-advised")
    assert slow["plans"] == sum(
        "slower-than-advised" in {f["rule"] for f in one["findings"]} for one in found["reviews"]
    )
    assert slow["programmers"] == {}


def test_the_trend_names_programmers_only_when_asked_and_is_not_for_blame() -> None:
    plain, named = run(JOB, FOLDER, "--trend")[1], run(JOB, FOLDER, "--trend", "--by-programmer")[1]
    assert "not for blame" in plain
    assert "MO" not in plain
    assert "MO" in named
    assert "What recurs" in plain
    assert "Stop:" not in plain


def test_a_plan_named_twice_is_one_plan() -> None:
    good, other = FOLDER / "good.yaml", FOLDER / "full-flute-overload.yaml"
    code, told, _ = run(JOB, good, other, FOLDER / ".." / "plans" / "good.yaml", "--format", "json")
    assert code == 1
    assert [Path(one["plan"]).name for one in json.loads(told)["reviews"]] == [good.name, other.name]


@pytest.mark.parametrize("option", ["--trend", "--by-programmer"])
def test_a_page_tells_no_trend_and_says_so(option: str) -> None:
    code, told, remarks = run(JOB, FOLDER / "good.yaml", "--format", "html", option)
    assert (code, told) == (2, "")
    assert option in remarks
    assert "a page is of one plan" in remarks


def test_what_recurs_comes_first_and_counts_plans_once() -> None:
    overload = shipped(HATCH, "full-flute-overload.yaml")
    good = shipped(HATCH, "good.yaml")
    found = trend([overload, overload._replace(plan=overload.plan._replace(programmer=None)), good], by_programmer=True)
    first = found[0]
    assert (first.plans, first.weight) == (2, "stop")
    assert dict(first.programmers) == {"MO": 1, NOBODY: 1}
    # 0.75 mm stay on the walls of its slot beyond the allowance, which is told from 0.5 mm on
    assert [one.rule.id for one in trend([good])] == ["walls-of-the-slot-keep-more-than-planned"]
    told = terminal.text(trend_blocks([overload, overload, good], found), 80, True)
    assert found[0].rule.title in " ".join(told.split())
    once = trend([overload, good])
    assert once
    assert "Nothing recurs" in terminal.text(trend_blocks([overload, good], once), 80, True)
    assert "0 findings in 1\u00a0plan" in terminal.text(trend_blocks([good], ()), 80, True)
