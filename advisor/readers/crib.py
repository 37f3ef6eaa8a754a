"""The crib: a table of cutters with the symbols of ISO 13399, or common words for them, as heads."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from advisor.files.checking import raise_if_any
from advisor.files.problems import MOST_PROBLEMS, BadInput, Misfit, Problem, misfit, shown
from advisor.files.reading import read_data
from advisor.files.unit_scales import showing
from advisor.files.units import Units, number_or_text
from advisor.knowledge.assumptions import load_assumptions
from advisor.knowledge.trade_words import folded, meanings, trade_words
from advisor.model.body import BODIES
from advisor.model.cutter import Cutter, CutterRow, complete_cutter
from advisor.model.fields import LONGEST_WORD
from advisor.readers.cells import BARE, Holds
from advisor.readers.drawing_marks import drill_size
from advisor.readers.grids import Kind
from advisor.readers.tables import LARGEST_FILE, Entry, Table, read_table

MOST_CUTTERS = 5_000
_SIZE = re.compile(r"(?:MF?|UN[CF]|G|#|[øØ⌀∅])?\d|UN[CF]$|H\d", re.ASCII | re.IGNORECASE)  # of a thread or a hole
_BETWEEN = re.compile(r"[\s\-]+")
NEEDED = ("id", "body", "DC", "APMX", "ZEFP")
HOLDS: Mapping[str, Holds] = {
    "id": "text", "body": "word", "DC": "diameter", "APMX": "length", "ZEFP": "count", "LU": "length", "LPR": "length",
    "DN": "diameter", "DCONMS": "diameter", "RE": "radius", "KAPR": "angle", "FHA": "angle", "RMPX": "angle",
    "RPMX": "speed", "substrate": "word", "end_cutting": "answer", "dead_centre": "diameter",
    "holder_diameter": "diameter", "point_angle": "angle", "TMC1ISO": "text", "COATING": "word",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class CribFile:
    """The cutters of a crib in the order of its lines, what was passed over, and the units that it is written in."""

    cutters: tuple[Cutter, ...]
    notes: tuple[str, ...]
    units: Units = "mm"


def _named(given: Mapping[str, Any], line: int) -> str:
    return str(given.get("id", f"row of line {line}"))


KIND = Kind("crib", "cutter", NEEDED, HOLDS, MOST_CUTTERS, _named)


def read_crib(path: Path, around: Units = "mm") -> CribFile:
    """Return the cutters of a CSV file or a workbook. ``around`` is inch where shop and job both are in inches.

    Raises BadInput with everything that is wrong with it, or alone with its units, where they are not sure.
    """
    problems: list[Problem] = []
    table = _in_its_units(read_table(str(path), read_data(path, LARGEST_FILE), KIND, "mm", problems), around)
    cutters: dict[str, tuple[int, Cutter]] = {}
    others: list[str] = []
    for entry in table.entries:
        if len(problems) > MOST_PROBLEMS:
            break
        if _other_tool(str(entry.given.get("body", ""))):
            told = f"{shown(entry.name or '')} is a {shown(str(entry.given['body']))}, which roughs nothing here"
            others.append(f"{table.name}:{entry.line}: {told}, and was passed over.")
            continue
        cutter = _cutter(table, entry, problems) if entry.name else None
        if cutter is not None and cutter.id in cutters:
            wanted = f"another id (line {cutters[cutter.id][0]} has it already)"
            problems.append(Problem(table.name, entry.line, "id", f"{shown(cutter.id)} twice", wanted))
        elif cutter is not None:
            cutters[cutter.id] = (entry.line, cutter)
    raise_if_any(problems)
    return CribFile(tuple(cutter for _, cutter in cutters.values()), (*table.notes, *others), table.units)


def _in_its_units(table: Table, around: Units) -> Table:
    """A crib in its own units: where it names none, in mm, or in inches in a shop of inches if its sizes are such.

    Raises BadInput where its sizes speak for the others.
    """
    if "units" in table.said:
        return table
    bare = [text for entry in table.entries if BARE.fullmatch(text := str(entry.given.get("DC", "")))]
    most = load_assumptions().value("bounds", "inch_diameter_asked")
    small = [text for text in bare if isinstance(number := number_or_text(text), str) or 0 < number < most]
    seems: Units = "inch" if 2 * len(small) > len(bare) else "mm"
    if not bare or seems == around == "mm":
        return table
    if seems == around:
        note = f"{table.name}: it names no units, and is read in inches, as shop and job are."
        return replace(table, units="inch", notes=(*table.notes, note))
    found = f"no units, and diameters such as {shown(bare[0] if seems == 'mm' else small[0])}"
    inches, mm = ("'# units: inch'", "'# units: mm'")[:: 1 if seems == "inch" else -1]
    wanted = f"a first line {inches}, or {mm}, to say which they are"
    raise BadInput([Problem(table.name, None, "units", found, wanted)])


def _other_tool(body: str) -> bool:
    """Whether a word, with a size before or behind it or not, is a tool that roughs nothing here: ``tap M10``."""
    words = [word for word in body.split() if not _SIZE.match(word)]
    return folded(" ".join(words)) in trade_words().other_tools


def _with_substrate(given: Mapping[str, Any]) -> dict[str, Any]:
    """A row with what its body says of the material read: ``HSS end mill`` is a solid one of HSS. A word that may mean
    a cutter from one piece or with inserts means the former there.
    """
    body = given.get("body")
    if not isinstance(body, str) or len(body) > LONGEST_WORD or meanings("bodies", body):
        return dict(given)
    words = [word for word in _BETWEEN.split(body) if word]
    for count in range(min(2, len(words) - 1), 0, -1):
        for at in (0, len(words) - count):
            substrate = meanings("substrates", " ".join(words[at : at + count]))
            found = meanings("bodies", " ".join(words[:at] + words[at + count :]))
            solid = tuple(one for one in found if BODIES[one].solid) if len(found) > 1 else found
            if substrate and solid:
                return {"substrate": substrate[0], **given, "body": solid[0]}
    return dict(given)


def _with_drill_size(given: Mapping[str, Any]) -> dict[str, Any]:
    """A row with the number or letter of a drill read: ``#7`` is 0.201 in."""
    typed = given.get("DC")
    drill = any(BODIES[body].drill for body in meanings("bodies", str(given.get("body", ""))[:LONGEST_WORD]))
    size = drill_size(typed) if drill and isinstance(typed, str) else None
    return dict(given) if size is None else {**given, "DC": f"{size:g} in"}


def _cutter(table: Table, entry: Entry, problems: list[Problem]) -> Cutter | None:
    try:
        with showing(table.units):
            if folded(str(entry.given.get("body", ""))) in trade_words().needs_radius and "RE" not in entry.given:
                wanted = f"its corner radius: {shown(str(entry.given['body']))} has one, and none is assumed"
                raise misfit(wanted, found="nothing", field="RE")
            row = CutterRow.model_validate(
                _with_drill_size(_with_substrate(entry.given)), context={"units": table.units}
            )
            if not entry.unsure:
                return complete_cutter(row)
    except (ValidationError, Misfit) as error:
        problems.extend(table.faults(entry, error, CutterRow))
    return None
