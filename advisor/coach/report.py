"""How a learner stands in each topic, as blocks and as plain values; and for the senior, what to talk about next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from os.path import commonpath
from shlex import quote
from typing import Any, NamedTuple

from advisor.coach.exercise import kind_word
from advisor.coach.record import Answered, Question, Record
from advisor.coach.schedule import LATELY, RIGHT, Standing, answered, standings
from advisor.coach.topics import Topic, topics
from advisor.files.problems import printable
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.text.blocks import Block, Heading, Item, Pairs, Para, Sketch, section
from advisor.text.firings import Firing
from advisor.text.known_firings import firings

STATES = ("firm", "shaky", "begun", "never asked")
NEVER_ASKED = STATES[-1]
TALKS = 3
SIGNS = {"right": "+", "hint": "o", "wrong": "-"}
WIDE, NARROW = 20, 10
FULL, EMPTY = "█", "░"
MOST_JOBS = 2  # that are named one by one
LATEST = 8  # answers that are shown as signs
DAY, HOUR, MINUTE = 86_400, 3_600, 60
LEGEND = (
    f"A bar shows what the last {LATELY} answers were worth; {SIGNS['right']} right at once, {SIGNS['hint']} after a "
    f"hint, {SIGNS['wrong']} wrong, the newest last."
)


class Talk(NamedTuple):
    """Something to talk about: a topic, the rule of it most often missed, how often, a case, a question missed."""

    topic: Topic
    worth: float
    rule: Rule | None
    times: int
    case: Firing | None
    question: Question | None


class Report(NamedTuple):
    """How a learner stands at a time; ``said`` is what a command names the learner with, such as `` --who anna``."""

    who: str
    now: datetime
    record: Record
    standings: tuple[Standing, ...]
    talks: tuple[Talk, ...]
    said: str = ""


def report_of(record: Record, now: datetime, said: str = "") -> Report:
    """The report of a record at a time; ``said`` is what a command names the learner with."""
    every = standings(record.answers, tuple(topics()), now)
    shaky = sorted((one for one in every if one.state == "shaky"), key=lambda one: (one.worth, one.kept))
    return Report(record.who, now, record, every, tuple(_talk(one, record) for one in shaky[:TALKS]), said)


def _talk(one: Standing, record: Record) -> Talk:
    """What to talk about in a topic: the rule of it that was missed most often, the latest of as many."""
    topic = topics()[one.topic]
    wrong = [answer for answer in answered(record.answers)[one.topic] if answer.missed]
    counts = Counter(rule for answer in reversed(wrong) for rule in dict.fromkeys(answer.missed) if rule in topic.rules)
    if not counts:
        return Talk(topic, one.worth, None, 0, None, wrong[-1].question if wrong else None)
    rule_id, times = counts.most_common(1)[0]
    question = next(answer.question for answer in reversed(wrong) if rule_id in answer.missed)
    rule = rule_base().by_id[rule_id]
    return Talk(topic, one.worth, rule, times, next(iter(firings().of(rule)), None), question)


def sign_of(answer: Answered) -> str:
    """How an answer went: right, hint or wrong."""
    if (answer.first or 0.0) >= RIGHT:
        return "right"
    return "hint" if (answer.score or 0.0) >= RIGHT else "wrong"


def report_blocks(report: Report, plot: bool = True) -> Iterator[Block]:
    """The report; without ``plot`` the bars are left to a drawing."""
    done = [answer for answer in report.record.answers if answer.score is not None]
    right = sum(sign_of(answer) == "right" for answer in done)
    yield Heading(f"{printable(report.who)}: {_counted(len(done), 'question')} answered, {right} right at once", 1)
    if not done:
        yield Para(f"None of {len(report.standings)} topics was asked yet. Begin with: roughing coach{report.said}")
        return
    by_state = {state: [one for one in report.standings if one.state == state] for state in STATES}
    counts = ", ".join(f"{len(by_state[state])} {state}" for state in STATES)
    yield Para(f"Of {len(report.standings)} topics: {counts}. {LEGEND if plot else ''}".rstrip())
    if plot:
        for state in STATES[:-1]:
            yield from _plotted(state, by_state[state], report)
    yield from section(
        NEVER_ASKED.capitalize(),
        (f"{topics()[one.topic].title}: {topics()[one.topic].what}" for one in by_state[NEVER_ASKED]),
    )
    yield from talk_blocks(report)


def talk_blocks(report: Report) -> Iterator[Block]:
    """For the senior: what to talk about next."""
    yield from section(
        f"{_counted(len(report.talks), 'thing')} to talk about next",
        (_talk_item(one, report.said) for one in report.talks),
    )


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


def _talk_item(talk: Talk, said: str) -> Item:
    head = f"{talk.topic.title}, {percent(talk.worth)}:"
    if talk.rule is None:
        return Item(talk.topic.what, strong=head, after=tuple(_places(talk, said)))
    times = "once" if talk.times == 1 else f"{talk.times} times"
    return Item(f"missed {times}: {talk.rule.title}.", talk.rule.id, head, tuple(_places(talk, said)))


def _places(talk: Talk, said: str) -> Iterator[str]:
    """Commands that show a case, and the question that was missed."""
    if talk.case is not None:
        yield f"Look at: roughing why cases/{talk.case.case}/job.yaml {talk.case.feature}"
    if talk.question is not None:
        yield f"Ask it again: {command_of(talk.question, talk.topic.id, said)}"


def command_of(question: Question, topic: str, said: str = "") -> str:
    """The command that asks a question again; one of a course, which no seed gives alone, is shown by its evidence."""
    jobs = [quote(path) for path in question.source]
    if question.feature is not None and jobs:
        return f"roughing why {jobs[0]} {question.feature}"
    if len(jobs) > MOST_JOBS:
        jobs = [quote(commonpath(question.source))]
    words = [question.topic or topic, "--kind", kind_word(question.kind), "--difficulty", str(question.difficulty)]
    words += ["--seed", str(question.seed), *(word for path in jobs for word in ("--from", path))]
    return f"roughing coach {' '.join(words)}{said}"


def _plotted(state: str, found: Sequence[Standing], report: Report) -> Iterator[Block]:
    """A bar for each topic of a state, with its latest answers and when it is due."""
    if not found:
        return
    of_topic = answered(report.record.answers)
    rows = []
    for one in sorted(found, key=lambda one: one.worth):
        signs = "".join(SIGNS[sign_of(answer)] for answer in of_topic[one.topic][-LATEST:])
        rows.append((topics()[one.topic].title, one.worth, signs, due_text(one, report.now)))
    label, beside = max(len(row[0]) for row in rows), max(len(row[2]) for row in rows)
    wide = [
        f"{title:{label}}  {bar(worth, WIDE)} {percent(worth):>5}  {signs:{beside}}  {due}"
        for title, worth, signs, due in rows
    ]
    narrow = [
        line
        for title, worth, signs, due in rows
        for line in (title, f"  {bar(worth, NARROW)} {percent(worth):>5}  {signs:{beside}}  {due}")
    ]
    yield Heading(state.capitalize())
    yield Sketch((tuple(wide), tuple(narrow)))


def bar(share: float, width: int) -> str:
    """A share from 0 to 1 as a bar of signs."""
    full = round(share * width)
    return FULL * full + EMPTY * (width - full)


def percent(share: float) -> str:
    """A share as a whole per cent."""
    return f"{round(100 * share)} %"


def due_text(one: Standing, now: datetime) -> str:
    """When a topic is due next, in a few words."""
    return "" if one.due is None else f"again {after(one.due - now)}"


def after(span: timedelta) -> str:
    """A span of time to come, in its largest unit."""
    seconds = span.total_seconds()
    if seconds <= 0:
        return "now"
    for size, name in ((DAY, "day"), (HOUR, "hour"), (MINUTE, "min")):
        if seconds >= size:
            count = round(seconds / size)
            return f"in {count} {name}{'s' if count != 1 and name != 'min' else ''}"
    return "in 1 min"


def end_blocks(asked: Sequence[Answered], record: Record, now: datetime, said: str = "") -> Iterator[Block]:
    """What was practised in a session, and when each topic comes again."""
    of_topic = answered(asked)
    passed = sum(answer.score is None for answer in asked)
    if not of_topic:
        yield Heading(f"Practised: 0 questions answered, {passed} passed over", 2)
    else:
        count = sum(map(len, of_topic.values()))
        yield Heading(f"Practised: {_counted(count, 'question')}", 2)
        due = {one.topic: due_text(one, now) for one in standings(record.answers, tuple(of_topic), now)}
        rows = []
        for topic, answers in of_topic.items():
            counts = Counter(map(sign_of, answers))
            told = [f"{counts[sign]} {word}" for sign, word in _SAID.items() if counts[sign]]
            rows.append((topics()[topic].title, f"{', '.join(told)}; {due[topic]}"))
        yield Pairs(tuple(rows))
        if passed:
            yield Para(f"{passed} passed over.")
    if record.pending is not None:
        yield Para(f"1 question is open. Go on with it: roughing coach{said}")


_SAID = {"right": "right at once", "hint": "right after a hint", "wrong": "wrong"}


def report_values(report: Report) -> dict[str, Any]:
    """The report as plain values."""
    of_topic = answered(report.record.answers)
    return {
        "who": report.who,
        "at": report.now.isoformat(),
        "topics": [
            {
                "topic": one.topic,
                "title": topics()[one.topic].title,
                "state": one.state,
                "asked": one.asked,
                "worth": round(one.worth, 4),
                "kept": round(one.kept, 4),
                "due": one.due.isoformat() if one.due else None,
                "answers": [sign_of(answer) for answer in of_topic.get(one.topic, ())],
            }
            for one in report.standings
        ],
        "talk_about": [
            {
                "topic": talk.topic.id,
                "worth": round(talk.worth, 4),
                "rule": talk.rule.id if talk.rule else None,
                "missed": talk.times,
                "case": {"case": talk.case.case, "feature": talk.case.feature} if talk.case else None,
                "question": command_of(talk.question, talk.topic.id, report.said) if talk.question else None,
            }
            for talk in report.talks
        ],
    }
