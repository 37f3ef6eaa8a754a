"""What must hold of whatever was read and answered, worked out from the files by other means than the readers'."""

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import isfinite
from typing import Any

import yaml

from advisor.choosing.job_advice import Advice
from advisor.choosing.ranking import standing
from advisor.knowledge.schema import RuleBase
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.operations import Plan
from advisor.paths import shared_dir
from advisor.render.markdown import text as markdown_text
from advisor.render.recording import record
from advisor.render.terminal import text as terminal_text
from advisor.text.advice import advice_blocks
from tests.fuzz.strategies import Files

NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?")
FRACTION = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")
UNITS = {"": None, "mm": Fraction(1), "millimetre": Fraction(1), "millimetres": Fraction(1), **dict.fromkeys(
    ("in", "in.", "inch", "inches", '"', "″"), Fraction(254, 10))}  # fmt: skip
NOTHING = ("", "~", "null", "Null", "NULL")
COUNTS = ("count", "open_ends", "open_sides", "ZEFP")
NO_LENGTHS = ("feed_max", "rapid", "axis_acceleration", "tool_change", "stiffness", "KAPR", "FHA", "RMPX", "RPMX",
              "point_angle")  # fmt: skip
MAY_BE_EMPTY = ("stiffness", "axis_acceleration", "top", "units")
LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
BEYOND = 1 + 1e-6  # answers are told with six figures
READ = 1e-7  # mm; lengths are read to seven places
ALIKE = 1.0123e-6  # mm; lengths no further apart are the same
FAR = 2500.0  # mm: no feature is deeper
WHOLE_DEPTH = ("drilling", "plunge_roughing")
LEVEL_BY_LEVEL = ("engagement_limited_clearing", "layered_pocketing", "ramped_slotting")
OVERLOADED = "spindle-overloaded"
LONGEST_WORD = 80  # signs

UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "⌀": "ø", "∅": "ø", "×": "x"})


def folded(word: str) -> str:
    """A word as the table of what people type has it; nothing of one too long to be a word."""
    return "" if len(word) > LONGEST_WORD else re.sub(r"[\s_.:‐‑–-]+", "", word.casefold()).translate(UMLAUTS)


TABLE = yaml.safe_load((shared_dir() / "words.yaml").read_text(encoding="utf-8"))
MEANT = {  # what a word of a file may stand for
    (folded(word), ours)
    for section in ("kinds", "bodies", "substrates", "coatings", "coolants", "purposes", "sides")
    for ours, words in TABLE[section].items()
    for word in (ours, *words)
} | {(folded(word), ours) for asked in TABLE["asked"].values() for word, choices in asked.items() for ours in choices}


class MadeUp(AssertionError):
    """A value or an answer that the files do not bear out."""


def number_of(text: str, units: str, *, length: bool = True) -> float | None:
    """What a number or length written as text comes to [mm for lengths]; nothing where it is none."""
    stripped = text.strip().lstrip("Øø⌀").lstrip() if length else text.strip()
    match = NUMBER.match(stripped)
    fraction = FRACTION.match(stripped) if length else None
    if fraction is not None and fraction.end() >= (match.end() if match else 0):
        whole, over, under = (int(part or 0) for part in fraction.groups())
        value, rest = (whole + Fraction(over, under), stripped[fraction.end() :]) if under else (Fraction(0), "no")
    elif match is not None:
        value, rest = Fraction(match[0]), stripped[match.end() :]
    else:
        return None
    unit = rest.strip().lower()
    if unit not in UNITS or (unit and not length):
        return None
    times = UNITS[unit] or (Fraction(254, 10) if units == "inch" and length else Fraction(1))
    return float(value * times)


def _same(given: str, held: Any, name: str, units: str) -> bool:
    if isinstance(held, bool):
        return given.strip().lower() in (("true", "yes") if held else ("false", "no"))
    if isinstance(held, str):
        return held == given.strip() or held.casefold() == given.strip().casefold() or (folded(given), held) in MEANT
    if isinstance(held, int | float):
        wanted = number_of(given, units, length=name not in (*COUNTS, *NO_LENGTHS, "speed", "power"))
        return wanted is not None and abs(held - wanted) <= 1e-6 * abs(wanted) + READ
    if isinstance(held, tuple):
        return False
    return held is None and given in NOTHING


def _compare(place: str, given: dict[str, Any], held: Any, units: str, shortened: Iterable[str] = ()) -> None:
    """Every field that is given is held as it was given; no field is passed over, none not given is filled unsaid."""
    spelt = {folded(name): name for name in type(held).model_fields}
    for name_given, value in given.items():
        name = spelt.get(folded(name_given), name_given)
        if name in shortened:
            continue
        if name not in type(held).model_fields:
            raise MadeUp(f"{place}.{name} is no field, yet was read")
        got = getattr(held, name)
        if isinstance(value, list) and isinstance(got, tuple):
            if len(value) != len(got) or not all(_same(v, g, name, units) for v, g in zip(value, got, strict=True)):
                raise MadeUp(f"{place}.{name} {value!r} was read as {got!r}")
        elif isinstance(got, tuple) and isinstance(value, str) and got == (value,):
            continue  # one coolant, written without a list
        elif not isinstance(value, str) or not (
            _same(value, got, name, units) or (value in NOTHING and name in MAY_BE_EMPTY)
        ):
            raise MadeUp(f"{place}.{name} {value!r} was read as {got!r}")


def check_read(files: dict[str, bytes], found: Assignment) -> None:
    """Hold an assignment against its files, read by another YAML loader and the plain CSV module. Raises MadeUp."""
    job = yaml.load(files["job.yaml"].decode("utf-8-sig"), LOADER)
    shop = yaml.load(files["shop.yaml"].decode("utf-8-sig"), LOADER)
    units = found.job.units
    _compare("job", job, found.job, units, ("features",))
    parts = [part for given in job["features"] for part in _parts(given, units)]
    if len(parts) != len(found.job.features):
        raise MadeUp("features were lost")
    for given, feature in zip(parts, found.job.features, strict=True):
        _compare("feature", given, feature, units)
    (machine,) = (one for one in shop["machines"] if one["name"].strip() == found.machine.name)
    _compare("machine", machine, found.machine, "mm", ("spindle", "coolant", "stiffness"))
    _compare("spindle", machine["spindle"], found.machine.spindle, "mm")
    _check_crib(files["crib.csv"], found)


def _parts(given: dict[str, str], units: str) -> list[dict[str, str]]:
    """A feature as it stands in a job; of one with stock on walls and floor the walls, down to that, and the floor."""
    missing = {"id", "kind", "depth"} - set(given)
    if missing:
        raise MadeUp(f"a feature without {missing} was read")
    wall, floor, depth, width, length, bore = (
        number_of(given.get(name, ""), units)
        for name in ("stock_wall", "stock_floor", "depth", "width", "length", "diameter")
    )
    if wall is None or wall < ALIKE or floor is None or floor < ALIKE or depth is None:
        return [given]
    opened = given.get("open_at", "")
    one_wall = (folded(given["kind"]), "step") in MEANT or given.get("open_sides") == "3" or opened == "corner"
    between = bore or (length if opened == "long_side" else width) or 0.0
    if wall >= (between if one_wall else between / 2) - ALIKE or floor >= depth - ALIKE:
        return [given]  # nothing is open, and it is cut from the solid
    name = given["id"].strip()
    walls = given | {"id": f"{name}-walls", "depth": f"{depth - floor!r} mm", "stock_floor": "0"}
    walls.pop("allowance_bottom", None)  # above a floor as it was cast the rules decide
    walls.pop("floor_thickness", None)
    return [walls, given | {"id": f"{name}-floor", "stock_wall": "0"}]


def check_plan_read(files: Files, found: Plan, units: str) -> None:
    """Hold a plan against its file: every operation is there, and every number as it stands. Raises MadeUp."""
    if "plan.yaml" in files:
        whole = yaml.load(files["plan.yaml"].decode("utf-8-sig"), LOADER)
        rows, units = whole["operations"], whole.get("units", units)
    else:
        text = _text(files["plan.csv"])
        if re.search(r"units|mm|inch|zoll", text, re.IGNORECASE):
            return  # what says or heads with units
        every = io.StringIO(text, newline=None)  # a form feed or another sign that some take for a line's end ends none
        lines = [line for line in every if re.search(r"[^\s,;]", line) and not line.startswith("#")]
        while len(lines) > 1 and not re.search(r"[,;\t]", lines[0]):
            lines.pop(0)  # a title above the heads
        delimiter = max(",;\t", key=lines[0].count)
        rows = list(csv.DictReader(lines, delimiter=delimiter))
        if any("," in (cell or "") for row in rows for cell in row.values() if isinstance(cell, str)):
            return  # decimal commas
    if len(rows) != len(found.operations):
        raise MadeUp("operations were lost")
    by_line = sorted(found.operations, key=lambda operation: operation.line or 0)
    for given, operation in zip(rows, by_line, strict=True):
        for name, held in operation.row:
            told = given.get(name) if isinstance(given, dict) else None
            if type(held) not in (int, float) or not isinstance(told, str):
                continue
            plain = name in ("levels", "order", "ramp_angle", "spindle_speed")
            wanted = number_of(told, units, length=not plain)
            if wanted is not None and abs(wanted - held) > 1e-6 * abs(wanted) + READ:
                raise MadeUp(f"operation.{name} {told!r} was read as {held!r}")


def _text(data: bytes) -> str:
    """What a table says, by the first encoding that fits."""
    mark = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    codecs = ["utf-16"] if mark else (["utf-16-le", "utf-16-be"] if b"\0" in data else ["utf-8-sig", "cp1252"])
    for codec in codecs:
        try:
            text = data.decode(codec)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text.replace("\r\n", "\n").replace("\r", "\n")
    raise MadeUp("a table that is no text was read")


def _pointed(cell: str) -> str:
    """A number of a table without the signs beside it and between its thousands, and with a decimal point."""
    bare = re.sub(r"^[øØ⌀∅dDrRzZ]\s*(?=[-+\d.,])|(?<=[\d.,])\s*([øØ⌀∅dDrRzZ°]|1?/min|rpm)$", "", cell.strip())
    bare = re.sub(r"(?<=\d)['’ \u00a0](?=\d{3}(\D|$))", "", bare)
    last = max(bare.rfind(","), bare.rfind("."))
    if last < 0 or bare.count(bare[last]) > 1:
        return re.sub(r"[.,]", "", bare) if last >= 0 and re.match(r"[-+]?\d{1,3}([.,]\d{3})+$", bare) else bare
    return bare[:last].replace(".", "").replace(",", "") + "." + bare[last + 1 :] if re.search(r"\d", bare) else bare


def _head(cell: str) -> str:
    """A head of a table as it is looked up: however many blanks stand in it, one is meant."""
    return folded(" ".join(re.sub(r"\[[^\]]*\]", "", cell).split()))  # a unit, or what stands in its place


NEEDED = {"id", "body", "DC", "APMX", "ZEFP"}
ANSWERS = {folded(word): ours for ours, words in TABLE["answers"].items() for word in (ours, *words)}


def _check_crib(data: bytes, found: Assignment) -> None:
    lines = _text(data).split("\n")
    heads = {folded(word): name for name, words in TABLE["columns"]["crib"].items() for word in (name, *words)}
    units, above = "mm", list[str]()
    while lines and (lines[0].startswith("#") or not lines[0].strip(" \t,;")):
        above.append(lines.pop(0))
    rows: list[list[str]] = []
    for delimiter in ",;\t":
        try:
            rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter))
        except csv.Error:
            continue
        start = next(
            (at for at, row in enumerate(rows) if NEEDED.issubset(heads.get(_head(cell)) for cell in row)), None
        )
        if start is not None:
            break
    else:
        raise MadeUp("a crib without its heads was read")
    above += [" ".join(row) for row in rows[:start]]
    for line in above:
        word, _, value = line.lstrip("#").strip(" \t,;").partition(":")
        if word.strip().lower() == "units":
            units = "inch" if UNITS.get(value.strip().lower()) == Fraction(254, 10) else "mm"
    own = [heads.get(_head(cell)) for cell in rows[start]]
    spelt = {_head(cell) for cell in rows[start]}
    names = [
        None if name and folded(name) in spelt and _head(cell) != folded(name) else name
        for cell, name in zip(rows[start], own, strict=True)
    ]
    filled = [row for row in rows[start + 1 :] if any(cell.strip() for cell in row)]
    if len(filled) != len(found.crib):
        raise MadeUp("cutters were lost")
    for row, cutter in zip(filled, found.crib, strict=True):
        given = {name: cell for name, cell in zip(names, row, strict=False) if name and cell.strip().strip("-–—−")}
        for name, cell in given.items():
            if type(getattr(cutter, name)) in (int, float) and number_of(cell, units) is None:
                given[name] = _pointed(cell)
        _compare(
            "cutter", {name: cell if name == "id" else _answer(cell) for name, cell in given.items()}, cutter, units
        )


def _answer(cell: str) -> str:
    return ANSWERS.get(folded(cell), cell)


def check_answer(advice: Advice) -> None:
    """Hold every way that an answer does not forbid against machine, cutter and job. Raises MadeUp."""
    assignment = advice.assignment
    if [answer.region.id for answer in advice.features] != [feature.id for feature in assignment.job.features]:
        raise MadeUp("other features than those of the job")
    for answer in advice.features:
        open_ways = [way for way in answer.candidates if way.grade != "forbidden"]
        if (answer.best is None) != (not open_ways):
            raise MadeUp("a way is kept back, or one is made of nothing")
        if answer.best is not None:
            _check_first(answer.best, open_ways, advice.bench.limits)
        for way in open_ways:
            _check_way(way, assignment, advice.bench.base)


def _overtaking(way: Candidate, limits: Mapping[str, float], good: float) -> float:
    """Under which time a workable way comes before a good one [s]: it must save a share and some seconds, more where
    much is held back, and none does where something thin is beside it.
    """
    if way.facts.get("wall_kind") == "thin" or way.facts.get("floor_kind") == "thin":
        return 0.0
    held = (("rate_kept", "overtaking_rate_least"), ("load_kept", "overtaking_load_least"))
    freely = all(float(way.facts.get(fact, 1.0)) >= limits[least] for fact, least in held)
    share = limits["rating_time_share" if freely else "rating_time_share_held"]
    return min(share * good, good - limits["rating_time_saving_least"])


def _least_against(poor: list[Candidate]) -> list[Candidate]:
    """Of poor ways those that the fewest and lightest rules speak against; of drills then those nearest to size."""

    def ill(way: Candidate) -> tuple[float, ...]:
        weights = [rule.weight for rule in standing(way.fired) if rule.verdict == "against"]
        grave = [weights.count("stop"), weights.count("change")]
        small = float(way.facts.get("left_over", 1.0)) > 0  # a drill that leaves no more than the hole keeps is not
        return (*grave, len(weights) - sum(grave), float(way.facts.get("wall_rest", 0.0)) if small else 0.0)

    least = min(map(ill, poor))
    return [way for way in poor if ill(way) == least]


def _check_first(best: Candidate, open_ways: list[Candidate], limits: Mapping[str, float]) -> None:
    """Hold the advised way against all others, one limit after the other, without putting them in order."""
    good = min((way.counted for way in open_ways if way.grade == "good"), default=None)
    so_quick = good and [
        way for way in open_ways if way.grade == "workable" and way.counted < _overtaking(way, limits, good)
    ]
    first = so_quick or next(
        same for grade in ("good", "workable", "poor") if (same := [way for way in open_ways if way.grade == grade])
    )
    if first[0].grade == "poor":
        first = _least_against(first)
    if all(way is not best for way in first):
        raise MadeUp(f"a {best.grade} way is advised before one that its rating or time puts first")
    most = min(way.counted for way in first) * (1 + limits["time_band"])
    equal = [way for way in first if way.counted <= most]
    if best.counted > most:
        raise MadeUp("a way is advised that takes noticeably longer than another one as good")
    drills = [way for way in equal if way.method == "drilling"]
    if drills and best.method != "drilling":
        raise MadeUp("a mill is advised beside a drill that is as quick")
    alone = [way for way in drills or equal if float(way.facts.get("corner_rest_beyond", 0.0)) <= 0]
    if alone and float(best.facts.get("corner_rest_beyond", 0.0)) > 0:
        raise MadeUp("a way with a second cutter is advised beside one that is as quick without")
    turning = [way for way in alone if float(way.facts.get("corner_ratio", 2.0)) > 1.00001]
    if turning and float(best.facts.get("corner_ratio", 2.0)) <= 1:
        raise MadeUp("a cutter that stops in the corners is advised beside one that is as quick and does not")
    stiffest = min(way.compliance for way in turning or alone or drills or equal)
    if best.compliance > stiffest * (1 + limits["stiffness_tie"]) + 1e-9:
        raise MadeUp("a stiffer cutter is as quick as the advised one")


def _check_way(way: Candidate, assignment: Assignment, rules: RuleBase) -> None:
    plan, cutter, machine = way.plan, way.cutter, assignment.machine
    if plan is None:
        raise MadeUp(f"{way.method}: a way without settings")
    load = plan.load
    fastest = min(machine.spindle.speed[-1], cutter.RPMX or machine.spindle.speed[-1])
    deepest = cutter.LPR if way.method in WHOLE_DEPTH else cutter.APMX
    wall = way.facts.get("thinnest_wall")
    if way.facts.get("wall_kind") == "thin" and isinstance(wall, float) and way.method in LEVEL_BY_LEVEL:
        deepest = min(deepest, rules.limits["thin_wall_level_ratio"] * wall)
    floor, ratio = way.facts.get("under_last"), way.facts.get("floor_level_ratio")
    if isinstance(floor, float) and isinstance(ratio, float) and floor <= rules.limits["floor_stays_firm"]:
        last = plan.axial_depth * plan.levels if "last_depth" not in way.facts else way.facts["last_depth"]
        if way.method in LEVEL_BY_LEVEL and isinstance(last, float) and last > ratio * floor + 1e-6:
            raise MadeUp(f"{way.method}: a last level of {last:g} over a floor that stays {floor:g} thick")
    held = OVERLOADED in {rule.id for rule in rules.rules}  # a shop may switch off what holds the load down
    bounds = {
        "power": (load.power * rules.limits["wear_factor"], load.power_available if held else FAR),
        "torque": (load.torque, load.torque_available if held else FAR),
        "power of the spindle": (load.power_available, max(machine.spindle.power)),
        "spindle_speed": (plan.spindle_speed, fastest),
        "feed_rate": (plan.feed_rate, machine.feed_max),
        "axial_depth": (plan.axial_depth, deepest),
        "radial_width": (plan.radial_width, cutter.DC),
    }
    for name, (value, most) in bounds.items():
        if not value <= most * BEYOND:
            raise MadeUp(f"{way.method}: {name} {value} beyond {most}")
    sizes = (plan.axial_depth, plan.radial_width, plan.levels, plan.feed_per_tooth, plan.spindle_speed, plan.feed_rate)
    if not all(isfinite(size) and size > 0 for size in sizes):
        raise MadeUp(f"{way.method}: {sizes}")
    if not all(isfinite(number) and number >= 0 for number in (way.time, load.force, load.deflection)):
        raise MadeUp(f"{way.method}: time {way.time}, force {load.force}, deflection {load.deflection}")
    unreal = {name: value for name, value in way.facts.items() if not isinstance(value, str) and not isfinite(value)}
    if unreal:
        raise MadeUp(f"{way.method}: facts {unreal}")


def check_written(advice: Advice) -> None:
    """Write an answer as JSON, for terminals and as Markdown, and look it through. Raises MadeUp."""
    assignment = advice.assignment
    told = record(advice).model_dump(mode="json", by_alias=True)
    json.dumps(told, allow_nan=False)
    for feature, answer in zip(told["features"], advice.features, strict=True):
        if (feature["method"], feature["id"]) != (answer.best and answer.best.method, answer.region.id):
            raise MadeUp("another answer is written than given")
    named_items = (*assignment.crib, *assignment.job.features)
    words = (assignment.job.part, assignment.machine.name, *(item.id for item in named_items))
    named = any(re.search("nan|inf", word) for word in words)  # what is called so is no number
    blocks = tuple(advice_blocks(advice))
    for text in (terminal_text(blocks, 80), terminal_text(blocks, 30, signs=False), markdown_text(blocks)):
        if any(not (sign.isprintable() or sign in "\n\u00a0\u202f\u2009") for sign in text):
            raise MadeUp("a sign that can drive a terminal")
        if not named and re.search(r"\b(nan|inf)\b", text):
            raise MadeUp("a number that is none is shown")
