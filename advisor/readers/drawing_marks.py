"""What a drawing writes for a diameter or a width, read as a number: a thread, a tolerance beside it."""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from advisor.files.problems import Fault, listed, shown
from advisor.files.units import to_mm
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.trade_words import meanings
from advisor.mechanics.lengths import difference
from advisor.model.fields import yes_no_or_same
from advisor.paths import shared_dir

THREAD, FINISHED = "thread", ("ream", "bore", "mill", "clearance")
_LONGEST = 40
_NUMBER = r"\d+(?:[.,]\d+)?"
_METRIC = re.compile(
    rf"MF?\s*(?P<size>{_NUMBER})(?:\s*[x×*]\s*(?P<pitch>{_NUMBER}))?"
    r"(?-i:\s*[-–]?\s*\d[GH](?:\d[GH])?)?(?:\s*[-–]?\s*LH)?",
    re.IGNORECASE | re.ASCII,
)
_UNIFIED = re.compile(
    r"(?P<size>#?\s*(?:\d+[ -]\d+/\d+|\d+/\d+|\d+|\d*\.\d+))\s*-\s*(?P<threads>\d+(?:\.\d+)?)"
    r"\s*-?\s*(?P<series>UN[CF])?(?:\s*-?\s*[123]B)?(?:\s*[-–]?\s*LH)?",
    re.IGNORECASE | re.ASCII,
)
_DRILL = re.compile(
    r"(?:(?:#|(?i:no)\.?)\s*(?P<number>\d{1,2})|(?:(?i:letter)\s*)?(?P<letter>[A-Z]))(?:\s*(?i:drill))?", re.ASCII
)
_SAME = 0.0006  # inch: .312 is 5/16
_OTHER_THREAD = re.compile(
    r"(?:UN[CFSJR]?|UNEF|NPTF?|BSP[PT]?|BSW|BSF|G|R[pc]|Tr|Pg)\s*\d.*|.*\b(?:UN[CFSJR]?|UNEF|NPTF?|BSP[PT]?|BSW|BSF)\b.*"
    r"|#\s*\d+\s*-\s*\d+"
)
_TOLERANCED = re.compile(
    r"(?P<size>[øØ⌀∅]?\s*[\d.,/ -]+?(?:\s*(?:mm|in))?)\s*(?P<letters>[A-Za-z]{1,2})(?P<grade>\d{1,2})"
)
_RADIUS = re.compile(rf"R\s*(?P<size>{_NUMBER})", re.IGNORECASE | re.ASCII)
_COUNTED = re.compile(r"\d+\s*[xX×]\s*\d.*")  # 6X13 may be six holes of 13


class Marked(NamedTuple):
    """The fields of a hole with its marks read, what is wrong with these, and what was made of them."""

    fields: dict[str, Any]
    faults: tuple[Fault, ...] = ()
    note: str = ""


def marks_read(fields: dict[str, Any]) -> Marked:
    """The fields of a round hole, with a thread or a tolerance in its diameter read; as they are where there is none.

    A metric thread gives the tapping size [mm], and the purpose. A tolerance is left out beside a purpose, since
    roughing leaves stock for it; without one it is asked how the hole is finished.
    """
    typed = fields.get("diameter")
    text = typed.strip() if isinstance(typed, str) and len(typed) <= _LONGEST else ""
    if metric := _METRIC.fullmatch(text):
        return _threaded(fields, text, metric)
    if (unified := _UNIFIED.fullmatch(text)) and (found := _of_unified(unified)):
        return _inch_threaded(fields, text, found)
    if _UNIFIED.fullmatch(text):
        wanted = "a unified thread of the table (UNC or UNF), or the tapping size as a length with purpose: thread"
        return Marked(fields, (Fault(wanted, shown(text), "diameter"),))
    if size := drill_size(text):
        note = f"{fields.get('id', 'a hole')}: {text} is read as the drill of {size:g} in"
        return Marked(_with_mark(fields, text, diameter=f"{size:g} in"), (), note)
    if _OTHER_THREAD.fullmatch(text):
        return Marked(fields, (Fault("the tapping size as a length, with purpose: thread", shown(text), "diameter"),))
    if radius := _RADIUS.fullmatch(text):
        twice = f"{2 * _length(radius['size']):g}"
        return Marked(fields, (Fault("a diameter: R stands before a radius", shown(text), "diameter", twice),))
    if _COUNTED.fullmatch(text):
        wanted = "the diameter of one hole; how many there are is its count, and a space stands before a tolerance"
        return Marked(fields, (Fault(wanted, shown(text), "diameter"),))
    toleranced = _TOLERANCED.fullmatch(text)
    if toleranced and _of_holes(toleranced["letters"], int(toleranced["grade"])):
        return _toleranced(fields, text, toleranced)
    return Marked(fields)


def width_read(fields: dict[str, Any]) -> Marked:
    """The fields of a slot or pocket, with a tolerance beside its width left out: ``10 P9`` of a keyway."""
    typed = fields.get("width")
    text = typed.strip() if isinstance(typed, str) and len(typed) <= _LONGEST else ""
    found = _TOLERANCED.fullmatch(text)
    if not found or not _of_holes(found["letters"], int(found["grade"])):
        return Marked(fields)
    grade, size = f"{found['letters']}{found['grade']}", found["size"].strip()
    if not found["letters"].isupper():
        wanted = "the tolerance of a width between walls in capitals: small letters are for shafts"
        return Marked(fields, (Fault(wanted, shown(text), "width", f"{size} {grade.upper()}"),))
    note = f"{fields.get('id', 'a slot')}: {text} is read as {size}; {grade} is left to finishing"
    return Marked(_with_mark(fields, text, width=size), (), note)


def _with_mark(fields: dict[str, Any], text: str, **read: str) -> dict[str, Any]:
    """The fields with what was read of a mark, and the mark itself, unless the job gives another to show."""
    return {"marked": text, **fields, **read}


def _threaded(fields: dict[str, Any], text: str, metric: re.Match[str]) -> Marked:
    own = _coarse(_length(metric["size"]))
    pitch = _length(metric["pitch"]) if metric["pitch"] else None
    faults = [*_pitch_faults(text, own, pitch), *_purpose_faults(fields, text), *_floor_faults(fields, text)]
    if faults or own is None:
        return Marked(fields, tuple(faults))
    is_coarse = pitch is None or pitch == own["pitch"]
    less = difference(_length(metric["size"]), own["pitch"] if pitch is None else pitch)
    size = own.get("size", less) if is_coarse else less
    told = f"coarse pitch {own['pitch']:g} mm" if is_coarse else f"pitch {pitch:g} mm"
    note = f"{fields.get('id', 'a hole')}: {text} has {told}; tapping size {size:g} mm and purpose thread assumed"
    return Marked(_with_mark(fields, text, diameter=f"{size:g} mm", purpose=THREAD), (), note)


def _of_unified(found: re.Match[str]) -> tuple[str, Mapping[str, float]] | None:
    """The series of a unified thread, and its row there; nothing where no table has it. A number before many threads is
    that of a screw, before few it is inches: 1-64 and 1-8.
    """
    typed, threads = found["size"].replace(" ", "-").lstrip("#-"), float(found["threads"])
    for name, row in _table()["unified"].items():
        same = abs(float(typed) - row["diameter"]) < _SAME if "." in typed else typed == name.lstrip("#")
        for series in ("UNC", "UNF"):
            own = row.get(series)
            if same and own and own["threads"] == threads and (found["series"] or series).upper() == series:
                return series, own
    return None


def _inch_threaded(fields: dict[str, Any], text: str, found: tuple[str, Mapping[str, float]]) -> Marked:
    if faults := (*_purpose_faults(fields, text), *_floor_faults(fields, text)):
        return Marked(fields, faults)
    series, own = found
    told = f"{text} has {own['threads']:g} threads per inch ({series})"
    note = f"{fields.get('id', 'a hole')}: {told}; tapping size {own['size']:g} in and purpose thread assumed"
    return Marked(_with_mark(fields, text, diameter=f"{own['size']:g} in", purpose=THREAD), (), note)


def drill_size(text: str) -> float | None:
    """The diameter [inch] of a number or letter drill, such as ``#7`` or ``F``; nothing where a text is none."""
    found = _DRILL.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if found is None:
        return None
    drills = _table()["drills"]
    size: float | None = (
        drills["number"].get(str(int(found["number"]))) if found["number"] else drills["letter"].get(found["letter"])
    )
    return size


def is_drill_size(diameter: float) -> bool:
    """Whether a diameter [mm] is that of a drill in inches: a number, a letter, or whole sixty-fourths."""
    drills, part = _table()["drills"], to_mm(1 / 64, "inch")
    named = (to_mm(size, "inch") for kind in ("number", "letter") for size in drills[kind].values())
    return any(abs(size - diameter) < _SAME for size in (*named, part * round(diameter / part)))


def _pitch_faults(text: str, own: Mapping[str, float] | None, pitch: float | None) -> Iterator[Fault]:
    """What is unsure of a thread: its diameter, or its pitch beside that."""
    if own is None:
        wanted = "a metric thread of the table, or the tapping size as a length with purpose: thread"
        yield Fault(wanted, shown(text), "diameter")
    elif pitch is not None and pitch != own["pitch"] and not (pitch in _table()["fine"] and pitch < own["pitch"]):
        wanted = f"the coarse pitch {own['pitch']:g} or a finer one of the standard, or the tapping size as a length"
        yield Fault(wanted, shown(text), "diameter")


def _purpose_faults(fields: dict[str, Any], text: str) -> Iterator[Fault]:
    purpose = fields.get("purpose")
    if purpose is not None and not (isinstance(purpose, str) and THREAD in meanings("purposes", purpose)):
        yield Fault(f"thread, since the diameter is {text}; or the diameter as a length", shown(purpose), "purpose")


def _floor_faults(fields: dict[str, Any], text: str) -> Iterator[Fault]:
    """A hole with a flat floor is the seat of a screw, or the like, and no hole for a tap."""
    if yes_no_or_same(fields.get("flat_floor")) is True:
        yield Fault("the diameter as a length: a hole with a flat floor is no tapping hole", shown(text), "diameter")


def _toleranced(fields: dict[str, Any], text: str, found: re.Match[str]) -> Marked:
    grade = f"{found['letters']}{found['grade']}"
    if not found["letters"].isupper():
        wanted = "the tolerance of a hole in capitals: small letters are for shafts"
        return Marked(fields, (Fault(wanted, shown(text), "diameter", f"{found['size'].strip()} {grade.upper()}"),))
    if fields.get("purpose") is None:
        wanted = f"purpose: {listed(FINISHED)}, since {grade} does not say how the hole is finished"
        return Marked(fields, (Fault(wanted, "nothing", "purpose"),))
    note = f"{fields.get('id', 'a hole')}: {text} is read as {found['size'].strip()}; {grade} is left to finishing"
    return Marked(_with_mark(fields, text, diameter=found["size"].strip()), (), note)


def _length(text: str) -> float:
    return float(text.replace(",", "."))


def _coarse(diameter: float) -> Mapping[str, float] | None:
    found: Mapping[str, float] | None = _table()["coarse"].get(f"{diameter:g}")
    return found


def _of_holes(letters: str, grade: int) -> bool:
    """Whether ISO 286 has a tolerance of these letters and this grade for a hole that is finished."""
    tolerances = _table()["tolerances"]
    return letters.upper() in tolerances["zones"] and tolerances["grades"][0] <= grade <= tolerances["grades"][1]


@cache
def _table() -> dict[str, Any]:
    """The table of threads, `threads.yaml`. Raises BadInput if it is damaged."""
    found: dict[str, Any] = read_yaml(shared_dir() / "threads.yaml").value
    return found
