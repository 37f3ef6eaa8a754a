"""A review carries the same words about people and fire as the advice does, and so does a sheet of exercises."""

import pytest

from advisor.choosing.advice import cautions_for, of_every_cut
from advisor.coach.page import before_a_run
from advisor.knowledge.shipped import rule_base
from advisor.render.page_review import review_page
from advisor.render.review_record import review_record
from advisor.review.safety import cautions_of
from advisor.review.verdict import Review
from advisor.text.blocks import Items
from advisor.text.review import review_blocks
from tests.review.planning import advice, whole

WORDS = ("Keep the guard shut", "eye protection", "local codes", "qualified person", "the makers' data", "first run")
PLANS = [
    ("winch-side-plate", "free-before-the-pocket.yaml"),
    ("gear-case-magnesium", "wet.yaml"),
    ("review-hatch-frame", "good.yaml"),
    ("review-hatch-frame", "plunge-with-inserts.yaml"),
]


def told(found: Review) -> str:
    """Return all that the review tells, as one text."""
    items = [item for block in review_blocks(found) if isinstance(block, Items) for item in block.items]
    return "\n".join(f"{item.strong} {item.text} {' '.join(item.after)}" for item in items)


@pytest.mark.parametrize(("case", "plan"), PLANS)
def test_a_review_says_who_decides_to_keep_the_guard_shut_and_how_to_run_first(case: str, plan: str) -> None:
    found = whole(case, plan)
    page, record = review_page(found), review_record(found).model_dump_json()
    for words in WORDS:
        assert words.casefold() in told(found).casefold()
        assert words.casefold() in record.casefold()
        assert words.casefold() in page.replace("&#39;", "'").casefold()


@pytest.mark.parametrize(("case", "plan"), PLANS)
def test_no_caution_about_people_or_fire_that_the_same_cut_has_in_advice_is_left_out(case: str, plan: str) -> None:
    found = whole(case, plan)
    wanted = {rule.id for one in found.operations for rule in cautions_for(one.candidate, found.bench) if rule.harm} | {
        rule.id for rule in of_every_cut(rule_base())
    }
    assert {one.rule.id for one in found.cautions} == wanted
    assert all(one.rule.harm for one in found.cautions)


def test_fire_comes_first_and_what_every_cut_gives_last() -> None:
    ids = [one.rule.id for one in whole("gear-case-magnesium", "wet.yaml").cautions]
    assert ids[0] == "magnesium-fire"
    assert ids[-2:] == ["chips-thrown", "first-run"]
    ids = [one.rule.id for one in whole("winch-side-plate", "free-before-the-pocket.yaml").cautions]
    assert ids[0] == "rim-becomes-chips"


def test_the_guard_is_told_with_the_fastest_cut_of_the_plan() -> None:
    found = whole("winch-side-plate", "free-before-the-pocket.yaml")
    fastest = max(float(one.candidate.facts["cutting_speed"]) for one in found.operations)
    (guard,) = [one for one in found.cautions if one.rule.id == "chips-thrown"]
    assert guard.facts["cutting_speed"] == fastest
    assert guard.operation is None


def test_a_plan_of_which_nothing_can_be_worked_out_is_told_it_too() -> None:
    bench = advice("review-hatch-frame").bench
    texts = " ".join(one.text for one in cautions_of([], bench))
    assert all(words.casefold() in texts.casefold() for words in WORDS)


def test_a_sheet_of_exercises_says_it_before_its_answers() -> None:
    texts = " ".join(item.text for block in before_a_run() if isinstance(block, Items) for item in block.items)
    assert all(words.casefold() in texts.casefold() for words in WORDS)
    assert "{" not in texts
