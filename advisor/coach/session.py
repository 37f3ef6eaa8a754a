"""A session: questions asked and answered, a hint and a second try, then the reason, then where the answer turns.

What is shown and typed goes through a seat, so that a session runs at a terminal, over a pipe and in a test alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from advisor.coach import record as records
from advisor.coach.exercise import Exercise, NoExercise, Part
from advisor.coach.grading import Graded, grade, model_answers
from advisor.coach.picking import Picked, Wish, again, first_seed, pick, suits
from advisor.coach.reading import Unreadable, read
from advisor.coach.record import Answered, Pending, Record
from advisor.coach.topics import topics
from advisor.files.problems import BadInput
from advisor.files.unit_scales import showing
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, section

HINT, WHY, SKIP, QUIT, HELP = "?", "why", "skip", "quit", "help"
COMMANDS = {
    HINT: "a hint: which measure to look at",
    WHY: "give the answer up, and read why",
    SKIP: "pass this question over",
    QUIT: "leave; next time goes on at this question",
    HELP: "these words",
}
SECOND = "Try once more, or type why. Enter alone keeps an answer."
KEEP = "Enter keeps {kept}"
MANY = "1000000"  # a count that no plan has
HINTED = 0.5  # what a first try is worth after a hint that was asked for


class Seat(NamedTuple):
    """Where somebody sits: ``ask`` gives what was typed, nothing at the end of input; ``save`` keeps the record."""

    show: Callable[[Sequence[Block]], None]
    ask: Callable[[str], str | None]
    save: Callable[[Record], None]
    now: Callable[[], datetime]


class Ended(NamedTuple):
    """How a session ended: the record, what was asked in it, and whether the learner was interrupted."""

    record: Record
    asked: tuple[Answered, ...]
    interrupted: bool


class _Try(NamedTuple):
    """What was typed to a question: answers by part, or one of the commands."""

    answers: Mapping[str, str]
    command: str = ""
    hinted: bool = False


def practise(record: Record, wish: Wish, seat: Seat, minutes: float) -> Ended:
    """A session until its time is up, or the learner leaves; after every answer the record is saved.

    Raises:
        NoExercise: nothing can be asked.
        BadInput: a job or the record is not as it must be.
        OSError: the record cannot be saved.
    """
    begun = len(record.answers)
    end = seat.now() + timedelta(minutes=minutes)
    seed = first_seed(record, wish)
    latest = [record]  # what an interrupt finds

    def save(changed: Record) -> None:
        latest[0] = changed
        seat.save(changed)

    interrupted = False
    try:
        while True:
            number = len(latest[0].answers) - begun
            picked = _next(latest[0], wish, seed + number, seat, save)
            answer = ask_one(picked, latest[0], wish, seat, save, number + 1)
            if answer is None:
                break
            save(records.with_answer(latest[0], answer))
            if seat.now() >= end:
                break
    except KeyboardInterrupt:
        interrupted = True
    return Ended(latest[0], latest[0].answers[begun:], interrupted)


def _next(record: Record, wish: Wish, seed: int, seat: Seat, save: Callable[[Record], None]) -> Picked:
    """The question that waits, if it is one of those asked for; else the next one, which then waits."""
    waits = record.pending
    if waits is not None and suits(waits.question, wish):
        try:
            return again(waits.question, wish)
        except (NoExercise, BadInput) as error:
            seat.show([Para(f"The question that waited is passed over: {error}")])
    picked = pick(record.answers, wish, seed, seat.now())
    save(records.with_pending(record, Pending(question=picked.question)))
    return picked


def ask_one(
    picked: Picked, record: Record, wish: Wish, seat: Seat, save: Callable[[Record], None], number: int
) -> Answered | None:
    """A question asked until it is answered or passed over; nothing where the learner leaves."""
    exercise, waits = picked.exercise, record.pending or Pending(question=picked.question)
    seat.show(tuple(_opening(picked, number, waits.first is not None)))
    typed = _typed(exercise, seat, {})
    if waits.first is not None or typed.command:
        return _ended(picked, waits, typed, wish, seat)
    graded = grade(exercise, typed.answers)
    first = graded.score * (HINTED if typed.hinted else 1)
    if graded.right:
        seat.show(tuple(_explained(exercise, graded, False, wish)))
        return _answered(picked, seat, first, graded.score, 1, ())
    waits = Pending(question=picked.question, first=first, missed=_missed(graded, exercise))
    save(records.with_pending(record, waits))
    seat.show(tuple(_hinted(graded)))
    return _ended(picked, waits, _typed(exercise, seat, typed.answers), wish, seat)


def _ended(picked: Picked, waits: Pending, typed: _Try, wish: Wish, seat: Seat) -> Answered | None:
    """What comes of the last try, or of the command typed in its place."""
    exercise, first = picked.exercise, waits.first
    tries = 0 if first is None else 1
    if typed.command == QUIT:
        return None
    if typed.command == SKIP:
        return _answered(picked, seat, first, first, tries, waits.missed)
    if typed.command == WHY:
        shown = grade(exercise, model_answers(exercise))
        seat.show(tuple(_explained(exercise, shown, True, wish)))
        missed = waits.missed or _missed(shown, exercise)
        return _answered(picked, seat, first or 0.0, first or 0.0, tries, missed)
    graded = grade(exercise, typed.answers)
    seat.show(tuple(_explained(exercise, graded, False, wish)))
    return _answered(picked, seat, first, graded.score, tries + 1, waits.missed)


def _answered(
    picked: Picked, seat: Seat, first: float | None, score: float | None, tries: int, missed: tuple[str, ...]
) -> Answered:
    return Answered(
        question=picked.question,
        topic=picked.exercise.topic,
        first=first,
        score=score,
        tries=tries,
        missed=missed,
        when=seat.now(),
    )


def _missed(graded: Graded, exercise: Exercise) -> tuple[str, ...]:
    """The rules behind the answer, those of the topic first."""
    own = topics()[exercise.topic].rules
    return tuple(sorted(graded.rules, key=lambda rule: rule not in own))


def _opening(picked: Picked, number: int, second: bool) -> Iterator[Block]:
    exercise = picked.exercise
    yield Heading(f"Question {number}: {topics()[exercise.topic].title}", 1, exercise.kind)
    if picked.note:
        yield Para(f"Your senior: {picked.note}")
    yield from exercise.told
    if second:
        yield Para("This is the second try.")


def _typed(exercise: Exercise, seat: Seat, before: Mapping[str, str]) -> _Try:
    """What is typed to each part, each asked until it can be read; or the command that ends the asking."""
    answers: dict[str, str] = {}
    hinted = False
    for part in exercise.parts:
        seat.show(tuple(_part(part)))
        while True:
            kept = before.get(part.name, "")
            said = seat.ask(f"{part.name}{f' ({KEEP.format(kept=kept)})' if kept else ''}")
            if said is None:
                return _Try({}, QUIT)
            word = said.strip()
            command = word.casefold()
            if command in COMMANDS and word not in {choice.label for choice in part.choices}:
                if command in (WHY, SKIP, QUIT):
                    return _Try({}, command)
                hinted |= command == HINT
                seat.show(_help() if command == HELP else _hint_of(exercise))
                continue
            word = word or kept
            try:
                with showing(exercise.units):
                    read(part, word)
            except Unreadable as error:
                seat.show((Para(f"{error}. Or type {', '.join(COMMANDS)}."),))
                continue
            answers[part.name] = " ".join(word.split())  # as it was read; it may be shown again
            break
    return _Try(answers, hinted=hinted)


def _part(part: Part) -> Iterator[Block]:
    yield Heading(part.ask)
    if part.choices:
        yield Pairs(tuple((choice.label, choice.text) for choice in part.choices))


def _help() -> tuple[Block, ...]:
    return (Heading("Words that help"), Pairs(tuple(COMMANDS.items())))


def _hint_of(exercise: Exercise) -> tuple[Block, ...]:
    """A hint before anything was answered: that of an answer which is surely wrong."""
    right = model_answers(exercise)
    wrong = {part.name: _wrong(part, right[part.name]) for part in exercise.parts}
    return grade(exercise, wrong).hint or (Para(f"{topics()[exercise.topic].what} Look at that number first."),)


def _wrong(part: Part, right: str) -> str:
    """An answer other than the right one."""
    others = [choice.label for choice in part.choices if choice.label not in right.replace(",", " ").split()]
    if part.choices:
        return (others or [part.choices[0].label])[0]
    return "0" if part.unit else MANY


def _hinted(graded: Graded) -> Iterator[Block]:
    """The first step after a wrong answer: how much of it is right, and where to look."""
    right = sum(credit >= 1 for _, credit, _ in graded.parts)
    yield Para(f"Not yet: {right} of {len(graded.parts)} right.")
    yield from graded.hint
    yield Para(SECOND)


def _explained(exercise: Exercise, graded: Graded, given_up: bool, wish: Wish) -> Iterator[Block]:
    """The second and third step: what each answer is worth, why, and where the answer turns."""
    labels = {part.name: {choice.label: choice.text for choice in part.choices} for part in exercise.parts}
    if given_up:
        right = model_answers(exercise)
        told = ((name, _with_text(labels[name], answer)) for name, answer in right.items())
        yield from section("The answer", (Item(said, strong=f"{name}:") for name, said in told))
    else:
        yield Para("Right." if graded.right else f"Worth {round(100 * graded.score)} %.")
        yield Items(tuple(Item(said, strong=f"{name}:") for name, _, said in graded.parts))
    yield from graded.reason
    yield from graded.contrast
    remarks = wish.course.remarks if wish.course else {}
    yield from section("Your senior", (Item(remarks[rule], rule) for rule in graded.rules if rule in remarks))


def _with_text(choices: Mapping[str, str], answer: str) -> str:
    """An answer with what its labels stand for."""
    found = [f"{label} {choices[label]}" for label in answer.replace(",", " ").split() if label in choices]
    return "; ".join(found) or answer
