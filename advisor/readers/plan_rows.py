"""The operations of a plan as rows, whoever wrote them: checked one by one, and put in the order of work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice
from typing import Any, NamedTuple

from advisor.files.checking import faults
from advisor.files.ids import Ids
from advisor.files.problems import MOST_PROBLEMS, BadInput, Fault, Misfit, Problem, shown
from advisor.files.unit_scales import showing
from advisor.files.units import Units
from advisor.knowledge.trade_words import Section, meanings
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter
from advisor.model.operations import Operation, OperationRow
from advisor.readers.ways import Parts, parts_with_methods, ways


@dataclass(frozen=True)
class Known:
    """What a plan can name: features of the job with their kinds, and cutters of the crib, by their ids. A cutter that
    is known by its id alone gives no diameter. ``parts`` are the ids of the walls and the floor that a feature with
    stock on both is answered as, by its own, each with the methods that can be meant for it.
    """

    features: Mapping[str, str] = field(default_factory=dict)
    cutters: Mapping[str, Cutter | None] = field(default_factory=dict)
    parts: Parts = field(default_factory=dict)

    @cached_property
    def feature_ids(self) -> Ids:
        """The ids of the features, which find one however it is typed."""
        return Ids([*self.features, *self.parts])

    @cached_property
    def cutter_ids(self) -> Ids:
        """Those of the cutters."""
        return Ids(self.cutters)


NOTHING = Known()


def known_of(assignment: Assignment) -> Known:
    """What a plan for an assignment can name."""
    return Known(
        {feature.id: feature.kind for feature in assignment.job.features},
        {cutter.id: cutter for cutter in assignment.crib},
        parts_with_methods(assignment.job),
    )


class Settled(NamedTuple):
    """What an operation says, in ids and words as they are meant, and its cutter where that is known; ``notes`` tell
    what was taken, since nothing else can be meant.
    """

    given: Mapping[str, Any]
    cutter: Cutter | None
    notes: tuple[str, ...] = ()

    def context(self, units: Units) -> dict[str, Any]:
        """What the check of its fields has to know."""
        return {"units": units, "cutter": self.cutter}


def settled(given: Mapping[str, Any], known: Known) -> Settled:
    """An operation with ids as job and crib spell them, and with those words taken that can be meant one way only by
    cutter, feature and method beside them. All else stays as it was typed, to be checked.

    Raises:
        Misfit: an id that may be one of several; the fault has its field.
    """
    found, wrong = dict(given), list[Fault]()
    all_ids = {"feature": known.feature_ids, "cutter": known.cutter_ids, "entry_cutter": known.cutter_ids}
    for name, ids in all_ids.items():
        typed = found.get(name)
        try:
            if isinstance(typed, str):
                found[name] = ids.meant(typed) or typed
            elif isinstance(typed, list | tuple):
                found[name] = [(ids.meant(one) or one) if isinstance(one, str) else one for one in typed]
        except Misfit as error:
            wrong += [Fault(fault.wanted, fault.found, name, fault.nearest) for fault in error.faults]
    if wrong:
        raise Misfit(*wrong)
    cutter = known.cutters.get(found["cutter"]) if isinstance(found.get("cutter"), str) else None
    notes = _put_in_parts(found, known)
    if (method := _only_one(found, "method", _methods(found, cutter, known))) is not None:
        notes.append(f"{shown(found['method'])} is taken as {method}: cutter and feature allow nothing else")
        found["method"] = method
    if (entry := _only_one(found, "entry", _entries(found))) is not None:
        notes.append(f"{shown(found['entry'])} is taken as {entry}: the method allows nothing else")
        found["entry"] = entry
    return Settled(found, cutter, tuple(notes))


def _put_in_parts(given: dict[str, Any], known: Known) -> list[str]:
    """Put walls and floor for each feature that is answered in two, or the one of them that the method can be meant
    for; what was taken for it where that is one.
    """
    typed, notes = given.get("feature"), list[str]()
    named = [typed] if isinstance(typed, str) else typed if isinstance(typed, list | tuple) else []
    if not any(isinstance(name, str) and name in known.parts for name in named):
        return notes
    method = given.get("method")
    asked = {*meanings("methods", method)} if isinstance(method, str) else set()
    every: list[Any] = []
    for name in named:
        parts = known.parts.get(name, {}) if isinstance(name, str) else {}
        fitting = [part for part, methods in parts.items() if not asked or asked & methods]
        every += fitting or parts or [name]
        if 0 < len(fitting) < len(parts):
            other = next(part for part in parts if part not in fitting)
            notes.append(f"{shown(name)} is taken as {fitting[0]}: {shown(method)} cannot be meant for {other}")
    given["feature"] = every
    return notes


def _only_one(given: Mapping[str, Any], field: str, possible: Iterable[str]) -> str | None:
    """The one meaning of a word with several that is left among those possible."""
    typed = given.get(field)
    section: Section = "methods" if field == "method" else "entries"
    found = meanings(section, typed) if isinstance(typed, str) else ()
    allowed = set(possible)
    left = [word for word in found if word in allowed]
    return left[0] if len(found) > 1 and len(left) == 1 else None


def _methods(given: Mapping[str, Any], cutter: Cutter | None, known: Known) -> Iterator[str]:
    """The methods that the table of ways lists for cutter and features; all where neither is known."""
    names = given.get("feature")
    typed = [names] if isinstance(names, str) else names if isinstance(names, list | tuple) else []
    kinds = {known.features[name] for name in typed if isinstance(name, str) and name in known.features}
    for way in ways().values():
        if kinds <= way.every_kind and (cutter is None or cutter.body in way.bodies | way.borne):
            yield way.method


def _entries(given: Mapping[str, Any]) -> Iterator[str]:
    """The ways in that the table of ways lists for the method; none where it is not known."""
    typed = given.get("method")
    for method in meanings("methods", typed) if isinstance(typed, str) else ():
        yield from ways()[method].every_entry


def in_order(rows: list[tuple[OperationRow, int | None]], name: str, problems: list[Problem]) -> tuple[Operation, ...]:
    """The operations in the order of work: by ``order`` where that is said, else as they stand.

    Two operations with one place, or a place for some of them only, are a problem.
    """
    seen: set[int] = set()
    for row, line in rows if any(row.order is not None for row, _ in rows) else ():
        if row.order is None:
            problems.append(Problem(name, line, "order", "nothing", "an order for every operation, or for none"))
        elif row.order in seen:
            problems.append(Problem(name, line, "order", f"{row.order} a second time", "each place once"))
        else:
            seen.add(row.order)
    ordered = sorted(rows, key=lambda pair: pair[0].order or 0)
    return tuple(Operation(place + 1, row, name, line) for place, (row, line) in enumerate(ordered))


def noted_row(given: Mapping[str, Any], units: Units, place: str, known: Known, notes: list[str]) -> OperationRow:
    """The operation of what is given, settled and checked; notes are added, with the place before them.

    Raises:
        Misfit: an id that may be one of several; the fault has its field.
        ValidationError: anything else that is wrong with it.
    """
    found = settled(given, known)
    notes += [f"{place}: {note}." for note in found.notes]
    with showing(units):
        return OperationRow.model_validate(found.given, context=found.context(units))


def row_of(
    given: Mapping[str, Any],
    units: Units,
    place: tuple[str, int | None, str],
    problems: list[Problem],
    known: Known,
    notes: list[str],
) -> OperationRow | None:
    """The operation of what a cell or a word said; ``place`` is file, line and name of it. Problems and notes are
    added.
    """
    from pydantic import ValidationError

    file, line, name = place
    try:
        return noted_row(given, units, f"{file}: {name}", known, notes)
    except (ValidationError, Misfit) as error:
        for steps, fault in islice(faults(error, OperationRow), MOST_PROBLEMS + 1):
            field = ".".join([name, *map(str, steps)])
            problems.append(Problem(file, line, field, fault.found or "nothing", fault.wanted, fault.nearest))
        return None


def refuse(name: str, line: int | None, field: str, found: object, wanted: str, nearest: str | None = None) -> BadInput:
    """A plan that cannot be read, to be raised."""
    return BadInput([Problem(name, line, field, found if isinstance(found, str) else shown(found), wanted, nearest)])
