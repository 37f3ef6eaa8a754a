"""One who knows, one who guesses, one weak in a topic: they see what is shown, and the report tells them apart."""

from collections import Counter
from collections.abc import Mapping
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from advisor.coach.picking import Wish
from advisor.coach.record import Record
from advisor.coach.report import Report, report_blocks, report_of, sign_of
from advisor.coach.topics import topics
from tests.coach.learners import MORNING, Learner, guesses, knows, sit, weak_in

DAYS = 3
WEAK = "deep-narrow-cuts"


def after_days(who: str, learner: Learner, folder: Path) -> Report:
    record = Record(who=who)
    for day in range(DAYS):
        record = sit(record, learner, folder, 10, Wish(), MORNING + timedelta(days=day)).record
    return report_of(record, MORNING + timedelta(days=DAYS))


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Report]:
    learners = {"knows": knows, "guesses": guesses(3), "weak": weak_in(topics()[WEAK].title)}
    return {who: after_days(who, learner, tmp_path_factory.mktemp(who)) for who, learner in learners.items()}


def asked(report: Report) -> Counter[str]:
    return Counter(answer.topic for answer in report.record.answers)


def test_one_who_knows_is_right_at_once_and_has_nothing_to_talk_about(reports: Mapping[str, Report]) -> None:
    report = reports["knows"]
    assert {sign_of(answer) for answer in report.record.answers} == {"right"}
    assert len(report.record.answers) == 5 * DAYS
    assert report.talks == ()
    assert {one.state for one in report.standings} == {"firm", "begun", "never asked"}


def test_one_who_guesses_is_firm_in_nothing_and_shaky_in_what_was_asked_more_than_twice(
    reports: Mapping[str, Report],
) -> None:
    report = reports["guesses"]
    assert "firm" not in {one.state for one in report.standings}
    assert {one.state for one in report.standings if one.asked > 2} == {"shaky"}
    assert len(report.talks) in (2, 3)


def test_one_who_is_weak_in_one_topic_is_shaky_in_that_alone(reports: Mapping[str, Report]) -> None:
    report = reports["weak"]
    assert [one.topic for one in report.standings if one.state == "shaky"] == [WEAK]
    (talk,) = report.talks
    assert talk.topic.id == WEAK
    assert talk.rule is None or talk.rule.id in talk.topic.rules


def test_the_weak_topic_is_asked_more_often(reports: Mapping[str, Report]) -> None:
    weak, knows_all = asked(reports["weak"]), asked(reports["knows"])
    assert weak[WEAK] > knows_all[WEAK]
    assert weak.most_common(1)[0][0] == WEAK


def test_no_topic_is_asked_twice_in_a_row(reports: Mapping[str, Report]) -> None:
    for report in reports.values():
        for one, other in pairwise(report.record.answers):
            assert one.topic != other.topic or other.when.date() > one.when.date()


def test_more_topics_are_begun_by_one_who_knows(reports: Mapping[str, Report]) -> None:
    assert len(asked(reports["knows"])) > len(asked(reports["guesses"])) > 1


def test_the_three_reports_read_differently(reports: Mapping[str, Report]) -> None:
    assert len({str(list(report_blocks(report))[1:]) for report in reports.values()}) == 3
