"""What was proved of a rule base, as a table, and each finding with a job that shows it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from advisor.files.problems import printable
from advisor.knowledge.conditions import yes
from advisor.knowledge.wording import MOST_FIGURES, counted, in_words, number
from advisor.proof.context import Finding, Left, Tally
from advisor.proof.jobs import SmallJob, write_files
from advisor.proof.prove import Proof
from advisor.text.blocks import Block, Heading, Item, Items, Para, Table

HEADS = ("", "to show", "proved", "queries", "found", "open", "s")


def proof_blocks(proof: Proof, written: Path | None = None) -> Iterator[Block]:
    """The table of what is proved, what is left open, and every finding; its job in short, or where its files are."""
    yield Heading("Proved", 2)
    yield Table(HEADS, tuple(_row(tally) for tally in proof.tallies))
    jobs, solver, plain = (
        sum(getattr(tally, name) for tally in proof.tallies) for name in ("by_job", "by_solver", "plain")
    )
    yield Para(
        f"Shown by jobs {jobs}, by the solver {solver}, by the rules' own words {plain}; "
        f"{counted(str(proof.jobs), 'job')} made by chance, {proof.seconds:.1f} s in all. "
        f"{counted(str(len(proof.findings)), 'finding')}, {len(proof.left)} left open."
    )
    if proof.left:
        yield Heading("Left open")
        yield Items(tuple(Item(_left_text(one)) for one in proof.left))
    for place, found in enumerate(proof.findings, 1):
        yield Heading(f"Finding {place}: {', '.join(found.names)}")
        yield Items((_finding(found, None if written is None else written / folder_of(place, found)),))


def _row(tally: Tally) -> tuple[str, ...]:
    counts = (tally.asked, tally.proved, tally.queries, len(tally.findings), len(tally.left))
    return (tally.title, *map(str, counts), f"{tally.seconds:.1f}")


def _left_text(left: Left) -> str:
    names = " and ".join(left.names)
    if left.undecided:
        return f"{names}: undecided; the solver found no answer in its time, and none of {left.tries} jobs shows it."
    return f"{names}: possible by the facts; no job found in {left.tries} tries."


def _finding(found: Finding, folder: Path | None) -> Item:
    text = printable(found.text)
    if found.job is None:
        return Item(text, after=("No small job shows it by itself.",))
    seen = "seen" if found.confirmed else "not seen again"
    if folder is not None:
        return Item(text, after=(f"Run {printable(str(folder))}/job.yaml: {found.shows} ({seen}).",))
    how = printable(f"Run this job: {found.shows} ({seen}); --witness DIR writes it as files.")
    return Item(text, after=(how, *_in_short(found.job)))


def _in_short(job: SmallJob) -> Iterator[str]:
    """A job in a few lines: the feature, the cutters, the machine, and what somebody planned."""
    yield f"{printable(job.material)}; {_told(job.feature)}"
    yield from (_told(cutter) for cutter in job.cutters)
    yield _told(job.machine)
    yield from (f"planned: {_told(one)}" for one in job.plan)


def _told(entry: Mapping[str, Any]) -> str:
    return ", ".join(f"{in_words(name)} {value_text(value)}" for name, value in entry.items() if value is not None)


def value_text(value: object) -> str:
    """A value of a job's files as a person would say it: yes or no, numbers in figures, a list with its last by and."""
    if isinstance(value, bool):
        return yes(value)
    if isinstance(value, int | float):
        return number(value, MOST_FIGURES)
    if isinstance(value, Mapping):
        return _told(value)
    if isinstance(value, list | tuple):
        *most, last = map(value_text, value)
        return f"{', '.join(most)} and {last}" if most else last
    return printable(in_words(str(value)))


def folder_of(place: int, found: Finding) -> str:
    """The folder that a finding's job is written to."""
    return f"{place:02d}-{found.obligation}-{found.names[0]}"


def write_witnesses(proof: Proof, folder: Path) -> int:
    """Write the job of every finding into a folder of its own; how many there were."""
    count = 0
    for place, found in enumerate(proof.findings, 1):
        if found.job is not None:
            write_files(found.job, folder / folder_of(place, found), found.names)
            count += 1
    return count
