"""Setting up as told: the kinds of machine to choose from, what was taken and written, and what to do next."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from advisor.files.problems import printable
from advisor.files.unit_scales import OURS, converted, showing
from advisor.files.units import Units
from advisor.model.setup import MachineKind, SetupFields
from advisor.readers.setup import Question
from advisor.text.blocks import Block, Heading, Pairs, section

_CONVERTED = {"feed": "mm/min", "rapid": "mm/min", "power": "kW"}
_FIGURES = {"mm/min": 4, "kW": 3}


def kind_lines(kinds: Mapping[str, MachineKind]) -> Iterator[str]:
    """A line for each kind of machine, with its word in front."""
    wide = max(map(len, kinds))
    for word, kind in kinds.items():
        yield f"  {word:{wide}}  {kind.title}"


def prompt(question: Question, units: Units, offered: str) -> str:
    """A question with the unit of a plain number, and what Enter alone answers."""
    unit = question.mm if units == OURS else question.inch
    return f"{question.ask}{f', {unit}' if unit else ''} [{offered}]"


def typed_value(name: str, whole: SetupFields) -> str:
    """A value of a field as it can be typed, in the units of the shop."""
    value, units = getattr(whole, name), whole.units or OURS
    if name == "coolant":
        return ", ".join(value)
    if name == "default":
        return "yes" if value else "no"
    if (unit := _CONVERTED.get(name)) and units != OURS:
        with showing(units):
            return f"{converted(value, unit):.{_FIGURES[unit]}g}"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def told_value(name: str, whole: SetupFields, questions: Mapping[str, Question]) -> str:
    """A value of a field with its unit."""
    question = questions[name]
    unit = question.mm if (whole.units or OURS) == OURS else question.inch
    return printable(f"{typed_value(name, whole)} {unit}".strip())


def written_blocks(files: Sequence[Path], taken: Sequence[tuple[str, str]], default: bool) -> Iterator[Block]:
    """What was written and taken, and how to go on.

    Args:
        files: what was written: shop, crib, job.
        taken: what nobody said, by the names of the options: with its value.
        default: whether the shop is now the default one.
    """
    shop, crib, job = (printable(str(path)) for path in files)
    yield Heading("Your shop and its first job", 1)
    yield from section("Written", (shop, crib, job))
    if taken:
        yield Heading("Usual values, since nothing was given")
        yield Pairs(tuple(taken))
    steps = [
        f"Enter what your machine's plate says in {shop}.",
        f"List your cutters in {crib}; roughing crib checks them.",
        f"Enter the features of your drawing in {job}.",
        "Every line of the files has a remark that explains it.",
    ]
    if default:
        steps.append("Jobs that name no shop now use this one; roughing where shows where it is.")
    yield from section("Make it yours", steps)


def first_command(job: Path) -> str:
    """What to type for the first advice, on a line that can be copied whole."""
    return f"  Try it now\n    roughing advise {printable(shlex.quote(str(job)))}\n"
