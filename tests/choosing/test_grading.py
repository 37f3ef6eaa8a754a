"""Grades and order of candidates: what the rules give together, and no hidden weights."""

import math
from dataclasses import dataclass
from itertools import pairwise

import pytest

from advisor.choosing.candidates import grade_of
from advisor.choosing.ranking import against_of, standing
from advisor.knowledge.conditions import All
from advisor.knowledge.schema import Rule, Source
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import GRADES, Candidate
from advisor.situation.facts import conclude
from tests.cases import worked

CASES = [pytest.param(found, id=f"{case}-{found.region.id}") for case, found in worked.every_feature()]
BASE = rule_base()


def rule(
    verdict: str, rule_id: str = "r", overrides: tuple[str, ...] = (), concludes: tuple[str, str, None] | None = None
) -> Rule:
    return Rule(
        id=rule_id,
        title="",
        stage="clearing",
        level="candidate",
        about=(),
        condition=All(()),
        verdict=verdict,
        because="",
        remedy="",
        source=Source(),
        examples=(),
        file="",
        line=None,
        overrides=overrides,
        concludes=concludes,
    )


@pytest.mark.parametrize(
    ("verdicts", "grade"),
    [
        ((), "workable"),
        (("for",), "good"),
        (("for", "for"), "good"),
        (("against",), "poor"),
        (("for", "against"), "poor"),
        (("forbids",), "forbidden"),
        (("for", "against", "forbids"), "forbidden"),
        (("cautions",), "workable"),
        (("for", "concludes"), "good"),
    ],
)
def test_one_word_against_makes_poor_and_one_that_forbids_forbidden(verdicts: tuple[str, ...], grade: str) -> None:
    assert grade_of([rule(verdict, f"r{place}") for place, verdict in enumerate(verdicts)]) == grade


def test_a_rule_that_another_overrides_has_no_say() -> None:
    weak, strong = rule("forbids", "weak"), rule("against", "strong", ("weak",))
    assert standing([weak, strong]) == (strong,)
    assert grade_of([weak, strong]) == "poor"
    assert grade_of([weak]) == "forbidden"


def test_two_values_for_one_fact_are_an_error_unless_one_overrides_the_other() -> None:
    one, other = (
        rule("concludes", "one", (), ("room_kind", "close", None)),
        rule("concludes", "other", (), ("room_kind", "ample", None)),
    )
    with pytest.raises(RuntimeError, match="one and other"):
        conclude({}, (one, other))
    facts: dict[str, float | str] = {}
    conclude(facts, (one, rule("concludes", "other", ("one",), ("room_kind", "ample", None))))
    assert facts == {"room_kind": "ample"}


@pytest.mark.parametrize("found", CASES)
def test_candidates_stand_by_grade_then_time_within_the_limits_on_that(found: FeatureAdvice) -> None:
    """A workable way comes before a good one under 0.7 of its time; of one grade nobody comes before one who is more
    than a tenth quicker, among poor ways only where the same speaks against both."""
    for one, other in pairwise(found.candidates):
        if GRADES.index(one.grade) > GRADES.index(other.grade):
            assert (one.grade, other.grade) == ("workable", "good")
            assert one.counted < 0.7 * other.counted
        elif one.grade == other.grade == "poor" and against_of(one) != against_of(other):
            assert against_of(one) < against_of(other)
        elif one.grade == other.grade != "forbidden":
            assert one.counted <= 1.1 * other.counted


@pytest.mark.parametrize("found", CASES)
def test_the_answer_is_the_first_that_is_not_forbidden(found: FeatureAdvice) -> None:
    allowed = [candidate for candidate in found.candidates if candidate.grade != "forbidden"]
    assert found.best == (allowed[0] if allowed else None)
    assert found.grade == (allowed[0].grade if allowed else "forbidden")


@pytest.mark.parametrize("found", CASES)
def test_every_grade_has_its_reason_among_the_fired_rules(found: FeatureAdvice) -> None:
    """No candidate is good, poor or forbidden but by a rule that says so; also where arithmetic found no way."""
    verdict = {"good": "for", "poor": "against", "forbidden": "forbids"}
    for candidate in found.candidates:
        wanted = verdict.get(candidate.grade)
        fired = {one.verdict for one in standing(candidate.fired)}
        assert wanted in fired if wanted else not fired & {"for", "against", "forbids"}, (
            candidate.method,
            candidate.cutter.id,
            candidate.entry,
        )


@pytest.mark.parametrize("found", CASES)
def test_an_allowed_candidate_is_worked_out_to_the_end(found: FeatureAdvice) -> None:
    for candidate in found.candidates:
        if candidate.grade != "forbidden":
            assert candidate.plan is not None
            assert math.isfinite(candidate.time)
            assert candidate.time > 0


@pytest.mark.parametrize("found", CASES)
def test_every_fact_is_a_registered_measure_within_its_range(found: FeatureAdvice) -> None:
    for candidate in found.candidates:
        for name, value in candidate.facts.items():
            measure = BASE.measures[name]
            if isinstance(value, str):
                assert measure.can_be(value), name
            else:
                assert measure.range is not None, name
                assert measure.range[0] <= value <= measure.range[1], (name, value)


@pytest.mark.parametrize("found", CASES)
def test_a_rule_fires_only_where_it_is_about_the_candidate(found: FeatureAdvice) -> None:
    for candidate in found.candidates:
        for one in candidate.fired:
            for fact, words in one.about:
                assert candidate.facts.get(fact, candidate.method) in words, (one.id, fact)


@dataclass
class _Counted:
    looked_at: int = 0


def test_the_times_of_an_answer_add_up() -> None:
    counted = _Counted()
    for _, found in worked.every_feature():
        for candidate in found.candidates:
            if candidate.grade == "forbidden" or "total_time" not in candidate.facts:
                continue
            assert float(candidate.facts["total_time"]) == pytest.approx(candidate.time)
            assert candidate.time >= _parts(candidate) * (1 - 1e-9)
            counted.looked_at += 1
    assert counted.looked_at > 200


def _parts(candidate: Candidate) -> float:
    """Return cut and travel without what the way in may replace."""
    assert candidate.plan is not None
    return 0.0 if candidate.method == "ramped_slotting" else candidate.plan.cut_time + candidate.plan.travel_time
