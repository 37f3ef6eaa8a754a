"""The page of a review: every shipped plan gives one, and what is to be stopped for contact is seen in its drawings."""

from functools import cache
from pathlib import Path

import pytest

from advisor.readers.plan import read_plan
from advisor.render.drawings.section import section
from advisor.render.page_review import review_page
from advisor.review.remedies import remedied
from advisor.review.verdict import Review, review
from advisor.text.findings import well_chosen_text
from advisor.text.review import finding_item
from advisor.text.sheet import first_sentence
from tests.cases import worked
from tests.render import drawn
from tests.render.page_readers import read_page, words

PLANS = sorted(
    (folder.parent.name, plan.name)
    for folder in worked.cases_dir().glob("*/plans")
    for plan in folder.iterdir()
    if plan.suffix in (".yaml", ".csv")
)
each_plan = pytest.mark.parametrize(("case", "plan"), PLANS)
CONTACT = {
    "shank-rubs": "shank",
    "holder-hits": "holder",
    "level-beyond-the-flutes": "uncut",
    "cuts-into-what-lies-beneath": "beneath",
    "cuts-into-the-floor": "floor",
}
JOB = "review-hatch-frame"


@cache
def reviewed(case: str, plan: str) -> Review:
    advice = worked.advice(case)
    path: Path = worked.cases_dir() / case / "plans" / plan
    return remedied(review(read_plan(path, advice.assignment.job.units), advice.assignment, advice))


@cache
def page(case: str, plan: str) -> str:
    return review_page(reviewed(case, plan))


@each_plan
def test_the_page_of_every_plan_is_well_formed_and_whole_in_itself(case: str, plan: str) -> None:
    found = read_page(page(case, plan))
    assert found.open == []
    assert found.faults(page(case, plan)) == []


@each_plan
def test_every_finding_is_told_in_its_group_and_with_its_operation(case: str, plan: str) -> None:
    told = words(" ".join(read_page(page(case, plan)).said))
    result = reviewed(case, plan)
    for finding in result.findings:
        times = 1 if finding.operation is None else 2
        assert told.count(words(finding.without_remedy.text)) >= times, finding.rule.id
        assert words(finding.text) in told, finding.rule.id
        assert words(finding_item(finding, result, with_remedy=False).text) in told
    for praise in result.well_chosen:
        assert words(first_sentence(well_chosen_text(praise, result.bench.base))) in told


@each_plan
def test_contact_is_drawn_where_the_review_stops_for_it_and_nowhere_else(case: str, plan: str) -> None:
    result = reviewed(case, plan)
    for judged in result.operations:
        place = (judged.operation.number, judged.feature_id)
        fired = {found.rule.id for found in result.findings if (found.operation, found.feature) == place}
        limits = result.bench.limits
        touched = drawn.contacts(section(judged.candidate, judged.advice.region, "x", limits))
        if judged.role != "main":
            continue
        if judged.candidate.method == "drilling":
            touched -= {"beneath"}
        assert touched == {CONTACT[rule] for rule in fired if rule in CONTACT}


def test_the_collision_of_the_demo_is_told_by_its_drawing_alone() -> None:
    result = reviewed(JOB, "beyond-the-flutes.yaml")
    (judged,) = result.operations
    drawing = section(judged.candidate, judged.advice.region, "x", result.bench.limits)
    assert drawn.contacts(drawing) == {"shank", "holder", "uncut"}
    told = " ".join(box.said for box in drawn.texts(drawing))
    assert told.count("CONTACT:") == 3
    assert judged.advice.best is not None
    advised = section(judged.advice.best, judged.advice.region, "x", result.bench.limits)
    assert drawn.contacts(advised) == set()


@each_plan
def test_plan_and_advice_are_drawn_beside_each_other(case: str, plan: str) -> None:
    result = reviewed(case, plan)
    shown = page(case, plan)
    for place, judged in enumerate(result.operations, start=1):
        card = shown.split(f'id="o{place}"')[1].split("</section>")[0]
        assert f'id="o{place}-p-side-title"' in card
        if judged.role != "pilot" and judged.advice.best:
            assert f'id="o{place}-a-side-title"' in card
            assert card.index("as planned</strong>") < card.index("as advised</strong>")


def test_a_weight_is_told_by_sign_and_word_not_by_colour_alone() -> None:
    shown = page(JOB, "faster-than-marked.yaml")
    assert "✕ Stop" in shown
    assert "▲ Change" in shown
    assert "✓ Well chosen" in page(JOB, "good.yaml")


def test_a_hostile_plan_stays_text() -> None:
    result = reviewed(JOB, "good.yaml")
    hostile = "<script>alert(1)</script>"
    named = result._replace(plan=result.plan._replace(programmer=hostile, name=hostile))
    found = read_page(review_page(named))
    assert "script" not in found.tags
    assert " ".join(found.said).count(hostile) >= 2
