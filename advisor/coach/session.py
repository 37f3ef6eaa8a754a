"""A session: a question, a hint and a second try, then the answer with its reason, then where it turns; a screen each.

What is shown and typed goes through a seat, so that a session runs at a terminal, over a pipe and in a test alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from typing import NamedTuple

from advisor.coach import record as records
from advisor.coach.exercise import Choice, Exercise, NoExercise, Part, kind_word
from advisor.coach.grading import WHOLE, Graded, grade, model_answers
from advisor.coach.picking import Picked, Wish, again, first_seed, pick, suits
from advisor.coach.reading import Unreadable, matched, read
from advisor.coach.record import Answered, Pending, Record
from advisor.coach.topics import topics
from advisor.files.problems import BadInput
from advisor.files.unit_scales import showing
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, section
from advisor.text.names import spaced

HINT, WHY, SKIP, QUIT, HELP = "?", "why", "skip", "q", "help"
COMMANDS = (  # each with the other words for it
    Choice(HINT, "a hint; a second one narrows it", ("h", "hint")),
    Choice(WHY, "the answer with its reason; counts as wrong"),
    Choice(SKIP, "pass this question over"),
    Choice(QUIT, "leave; what is answered is kept, and this question comes next time", ("quit", "exit")),
    Choice(HELP, "these words"),
)
SHORT = "? hint, why, skip, q to leave"
SECOND = "Try once more; Enter alone keeps an answer."
KEEP = "Enter keeps {kept}"
HINTED = 0.5  # what a first try is worth after a hint that was asked for


class Seat(NamedTuple):
    """Where somebody sits: ``ask`` gives what was typed, nothing at the end of input; ``save`` keeps the record.

    ``pause`` waits after a screen, where somebody reads at a terminal: what was typed, nothing at the end of input.
    """

    show: Callable[[Sequence[Block]], None]
    ask: Callable[[str], str | None]
    save: Callable[[Record], None]
    now: Callable[[], datetime]
    pause: Callable[[], str | None] = lambda: ""


class Ended(NamedTuple):
    """How a session ended: the record, what was asked in it, and whether the learner was interrupted."""

    record: Record
    asked: tuple[Answered, ...]
    interrupted: bool


class _Try(NamedTuple):
    """What was typed to a question: answers by part, or one of the commands; and how many hints were given."""

    answers: Mapping[str, str]
    command: str = ""
    hints: int = 0


class _Done(NamedTuple):
    """A question that was answered or passed over: what is kept of it, and the screens that come after."""

    answer: Answered
    screens: tuple[tuple[Block, ...], ...] = ()


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
            done = ask_one(picked, latest[0], wish, seat, save, number + 1)
            if done is None:
                break
            save(records.with_answer(latest[0], done.answer))
            if not _shown(done.screens, seat) or seat.now() >= end:
                break
    except KeyboardInterrupt:
        interrupted = True
    return Ended(latest[0], latest[0].answers[begun:], interrupted)


def _next(record: Record, wish: Wish, seed: int, seat: Seat, save: Callable[[Record], None]) -> Picked:
    """The question that is open, if it is one of those asked for; else the next one, which then is."""
    waits = record.pending
    if waits is not None and suits(waits.question, wish):
        try:
            return again(waits.question, wish)
        except (NoExercise, BadInput) as error:
            seat.show([Para(f"The open question is passed over: {error}")])
    picked = pick(record.answers, wish, seed, seat.now())
    save(records.with_pending(record, Pending(question=picked.question)))
    return picked


def _shown(screens: Sequence[Sequence[Block]], seat: Seat) -> bool:
    """Show one screen after the other, with a pause after each; whether to go on."""
    for screen in screens:
        seat.show(screen)
        typed = seat.pause()
        if typed is None or _command(typed) == QUIT:
            return False
    return True


def ask_one(
    picked: Picked, record: Record, wish: Wish, seat: Seat, save: Callable[[Record], None], number: int
) -> _Done | None:
    """A question asked until it is answered or passed over; nothing where the learner leaves."""
    exercise, waits = picked.exercise, record.pending or Pending(question=picked.question)
    seat.show(tuple(_opening(picked, number, waits.first is not None)))
    typed = _typed(exercise, seat, {}, 0)
    if waits.first is not None or typed.command:
        return _ended(picked, waits, typed, wish, seat)
    graded = grade(exercise, typed.answers)
    first = graded.score * (HINTED if typed.hints else 1)
    if graded.right:
        return _Done(_answered(picked, seat, first, graded.score, 1, ()), _screens(exercise, graded, False, wish))
    waits = Pending(question=picked.question, first=first, missed=_missed(graded, exercise))
    save(records.with_pending(record, waits))
    seat.show(tuple(_not_yet(graded, exercise, typed.hints)))
    return _ended(picked, waits, _typed(exercise, seat, typed.answers, typed.hints + 1), wish, seat)


def _ended(picked: Picked, waits: Pending, typed: _Try, wish: Wish, seat: Seat) -> _Done | None:
    """What comes of the last try, or of the command typed in its place."""
    exercise, first = picked.exercise, waits.first
    tries = 0 if first is None else 1
    if typed.command == QUIT:
        return None
    if typed.command == SKIP:
        return _Done(_answered(picked, seat, first, first, tries, waits.missed))
    if typed.command == WHY:
        shown = grade(exercise, model_answers(exercise))
        missed = waits.missed or _missed(shown, exercise)
        answer = _answered(picked, seat, first or 0.0, first or 0.0, tries, missed)
        return _Done(answer, _screens(exercise, shown, True, wish))
    graded = grade(exercise, typed.answers)
    answer = _answered(picked, seat, first, graded.score, tries + 1, waits.missed)
    return _Done(answer, _screens(exercise, graded, False, wish))


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
    yield Heading(f"Question {number}: {topics()[exercise.topic].title}", 1, kind_word(exercise.kind))
    if picked.note:
        yield Para(f"Remark: {picked.note}")
    yield from exercise.told
    if second:
        yield Para("This is the second try.")


def _typed(exercise: Exercise, seat: Seat, before: Mapping[str, str], hints: int) -> _Try:
    """What is typed to each part, each asked until it can be read; or the command that ends the asking."""
    answers: dict[str, str] = {}
    for part in exercise.parts:
        seat.show(tuple(_part(part, bool(before))))
        while True:
            kept = before.get(part.name, "")
            said = seat.ask(f"{spaced(part.name)} ({KEEP.format(kept=kept) if kept else SHORT})")
            if said is None:
                return _Try({}, QUIT, hints)
            command = _command(said, part)
            if command in (WHY, SKIP, QUIT):
                return _Try({}, command, hints)
            if command:
                seat.show(_help() if command == HELP else tuple(_hint(exercise, hints)))
                hints += command == HINT
                continue
            word = " ".join(said.split()) or kept
            try:
                with showing(exercise.units):
                    read(part, word)
            except Unreadable as error:
                seat.show((Para(f"{error}. Or {SHORT}."),))
                continue
            answers[part.name] = word  # as it was read; it may be shown again
            break
    return _Try(answers, hints=hints)


def _command(said: str, part: Part | None = None) -> str:
    """The command that was typed, if it is no answer to the part."""
    word = " ".join(said.split()).casefold()
    if part is not None and word in {choice.label.casefold() for choice in part.choices}:
        return ""
    return next((one.label for one in COMMANDS if word in (one.label, *one.words)), "")


def _part(part: Part, again_: bool) -> Iterator[Block]:
    """What a part asks, with its choices, but for those that stand above it."""
    yield Heading(part.ask)
    if part.choices and (again_ or not part.listed):
        yield Pairs(tuple((choice.label, choice.text) for choice in part.choices))


def _help() -> tuple[Block, ...]:
    rows = tuple((", ".join((one.label, *one.words)), one.text) for one in COMMANDS)
    return (Heading("Besides an answer, type"), Pairs(rows))


def _hint(exercise: Exercise, given: int) -> Iterator[Block]:
    """The next hint; where all were given, the last one again."""
    yield Heading("Hint")
    yield Para(exercise.hints[min(given, len(exercise.hints) - 1)])


def _not_yet(graded: Graded, exercise: Exercise, hints: int) -> Iterator[Block]:
    """The first step after a wrong answer: how much of it is right, and the next hint."""
    right = [spaced(name) for name, credit, _ in graded.parts if credit >= WHOLE]
    yield Para(f"Not yet. Right: {', '.join(right)}." if right else "Not yet.")
    yield from _hint(exercise, hints)
    yield Para(SECOND)


def _screens(exercise: Exercise, graded: Graded, given_up: bool, wish: Wish) -> tuple[tuple[Block, ...], ...]:
    """What comes after an answer: the answer and its reason, then where it turns."""
    explained = tuple(_explained(exercise, graded, given_up, wish))
    return (explained, graded.contrast) if graded.contrast else (explained,)


def _explained(exercise: Exercise, graded: Graded, given_up: bool, wish: Wish) -> Iterator[Block]:
    """What each answer is worth, and the reason."""
    if given_up:
        right = model_answers(exercise)
        told = (Item(_with_text(part, right[part.name]), strong=f"{spaced(part.name)}:") for part in exercise.parts)
        yield from section("The answer", told)
    else:
        yield Para(_verdict(graded))
        several = len(graded.parts) > 1
        yield Items(
            tuple(
                Item(said, strong=f"{spaced(name)}, {_word(credit)}:" if several else "")
                for name, credit, said in graded.parts
            )
        )
    yield from graded.reason
    remarks = wish.course.remarks if wish.course else {}
    yield from section("Remark of the course", (Item(remarks[rule], rule) for rule in graded.rules if rule in remarks))


def _verdict(graded: Graded) -> str:
    """A whole answer in a word or two."""
    if graded.right:
        return "Right."
    return "Not right." if graded.score <= 0 else f"{round(100 * graded.score)} % right."


def _word(credit: float) -> str:
    return "right" if credit >= WHOLE else "partly right" if credit > 0 else "not right"


def _with_text(part: Part, answer: str) -> str:
    """An answer with what its letter stands for."""
    found = matched(part.choices, answer)
    chosen = next((choice for choice in part.choices if found == (choice.label,)), None)
    return f"{chosen.label}, {chosen.text}" if chosen else answer
