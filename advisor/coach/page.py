"""The coach's pages: the report of a learner, and a sheet of exercises with its answers, to be printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from advisor.choosing.advice import of_every_cut
from advisor.coach.exercise import Exercise, Part, kind_word
from advisor.coach.report import STATES, Report, due_text, percent, report_blocks, talk_blocks
from advisor.coach.scene import scene_of
from advisor.coach.schedule import LATELY
from advisor.coach.sheet import Printed, Sheet
from advisor.coach.topics import topics
from advisor.files.unit_scales import in_prose, in_units_of, scale_of
from advisor.knowledge.shipped import rule_base
from advisor.render.drawings import svg
from advisor.render.drawings.plan_view import plan_view
from advisor.render.drawings.section import section as side_section
from advisor.render.drawings.svg import WIDTH, Drawing, hatch, label
from advisor.render.page_parts import rendered
from advisor.text.blocks import Block, Heading, Item, Items, Para, Sketch
from advisor.text.spread import LINE

EDGE, HIGH = 8.0, 14.0
BOX, LINE_TO_FILL = "☐", "________"


class Asked(NamedTuple):
    """An exercise as it is printed: its number and topic, the question, and each part with what to fill in."""

    place: str
    head: tuple[Block, ...]
    told: tuple[Block, ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]


class Answer(NamedTuple):
    """The answer to an exercise as it is printed, with drawings of the advised way."""

    place: str
    head: tuple[Block, ...]
    text: tuple[Block, ...]
    drawings: tuple[Drawing, ...]


def report_page(report: Report) -> str:
    """The report of a learner as an HTML document."""
    head, *rest = report_blocks(report, plot=False)
    title = head.text if isinstance(head, Heading) else ""
    drawn = plot(report) if any(one.asked for one in report.standings) else None
    talks = tuple(talk_blocks(report))
    told = tuple(block for block in rest if block not in talks)
    return rendered(
        "coach_report.html.j2",
        title=title,
        head=(head, *told[:1]),
        plot=drawn,
        rest=_parts(told[1:]),
        talks=_parts(talks),
    )


def _parts(blocks: Sequence[Block]) -> tuple[Block, ...]:
    """The blocks as parts of the page: their headings are those of a part."""
    return tuple(block._replace(level=2) if isinstance(block, Heading) else block for block in blocks)


def plot(report: Report) -> Drawing:
    """A bar for each topic that was asked, the firm ones first, on one scale from 0 to 100 %."""
    asked = [one for state in STATES for one in report.standings if one.state == state and one.asked]
    wide, y = WIDTH - 2 * EDGE, EDGE
    drawn: list[str] = []
    for one in asked:
        head = f"{topics()[one.topic].title}: {percent(one.worth)}, {one.state}"
        drawn.append(label(EDGE, y + 2, head, class_="label strong"))
        drawn.append(label(WIDTH - EDGE, y + 2, due_text(one, report.now), "end"))
        y += LINE
        fill = hatch("standing", "cut" if one.state == STATES[0] else "entry")
        drawn.append(svg.rect(EDGE, y, wide, HIGH, class_="frame"))
        if one.worth:
            drawn.append(svg.rect(EDGE, y, one.worth * wide, HIGH, class_="bar", fill=fill, data_topic=one.topic))
        y += HIGH + LINE
    said = "; ".join(f"{topics()[one.topic].title} {percent(one.worth)}, {one.state}" for one in asked)
    return svg.drawing(
        "standing", "standing", f"What the last {LATELY} answers were worth", f"{said}.", y - LINE / 2, drawn
    )


def sheet_page(sheet: Sheet) -> str:
    """The sheet as an HTML document: exercises, then the answers from a page of their own on."""
    count = len(sheet.printed)
    title = f"{count} exercise{'' if count == 1 else 's'} in rough milling, sheet {sheet.seed}"
    return rendered(
        "coach_sheet.html.j2",
        title=title,
        head=(Heading(title, 1), Para(f"Name ____________________  date ____________  right ____ of {count}")),
        asked=[_asked(one) for one in sheet.printed],
        answers=[_answer(one) for one in sheet.printed],
        answers_head=(
            Heading(f"Answers to sheet {sheet.seed}", 1),
            Para("Other answers may be right too: whatever is neither forbidden nor poor, and not noticeably slower."),
            *before_a_run(),
        ),
    )


def before_a_run() -> tuple[Block, ...]:
    """What is to be minded before an answer is run on a machine, as the advice says it of every cut."""
    items = tuple(Item(in_prose(rule.remedy), rule.id, "Safety:") for rule in of_every_cut(rule_base()))
    return Heading("Before any of it is run", 2), Items(items)


@in_units_of(lambda one: one.exercise.units)
def _asked(one: Printed) -> Asked:
    exercise = one.exercise
    head = Heading(f"{one.number}  {topics()[exercise.topic].title}", 2, kind_word(exercise.kind))
    told = tuple(
        block._replace(level=3) if isinstance(block, Heading) and block.level < 3 else block for block in exercise.told
    )
    return Asked(f"e{one.number}", (head,), told, tuple((part.ask, _to_fill(part)) for part in exercise.parts))


def _to_fill(part: Part) -> tuple[str, ...]:
    """A box for each choice, or a line for a number."""
    if not part.choices:
        return (f"{LINE_TO_FILL} {scale_of(part.unit).unit}".rstrip(),)
    return tuple(f"{BOX} {choice.label}  {choice.text}" for choice in part.choices)


@in_units_of(lambda one: one.exercise.units)
def _answer(one: Printed) -> Answer:
    exercise = one.exercise
    head = Heading(f"{one.number}  {topics()[exercise.topic].title}", 2)
    told = Items(tuple(_right(exercise, one.answers)))
    reason = _lower(_without_sketches((*one.graded.reason, *one.graded.contrast)))
    return Answer(f"a{one.number}", (head,), (told, *reason), tuple(_drawings(one)))


def _right(exercise: Exercise, answers: Mapping[str, str]) -> Iterator[Item]:
    """The answer to each part, a label with what it stands for."""
    for part in exercise.parts:
        texts = {choice.label: choice.text for choice in part.choices}
        given = answers[part.name]
        labels = [label for label in given.replace(",", " ").split() if label in texts]
        said = "; ".join(f"{name} {texts[name]}" for name in labels) or given
        yield Item(said, strong=f"{part.ask}")


def _without_sketches(blocks: Sequence[Block]) -> Iterator[Block]:
    """The blocks without drawings in characters, and without the headings of these: the page draws."""
    for place, block in enumerate(blocks):
        after = blocks[place + 1] if place + 1 < len(blocks) else None
        if not isinstance(block, Sketch) and not (isinstance(block, Heading) and isinstance(after, Sketch)):
            yield block


def _lower(blocks: Iterator[Block]) -> Iterator[Block]:
    for block in blocks:
        yield block._replace(level=3) if isinstance(block, Heading) else block


def _drawings(one: Printed) -> Iterator[Drawing]:
    """The advised way of the feature that was asked about, from the side and from above."""
    scene = scene_of(one.exercise.assignment)
    region, prefix = scene.answer.region, f"a{one.number}"
    for drawn in (
        side_section(scene.best, region, f"{prefix}-side", scene.bench.limits),
        plan_view(scene.best, region, f"{prefix}-plan"),
    ):
        if drawn is not None:
            yield drawn
