"""How features, cutters, times and settings are told in a few words."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.inputs.cutter import Cutter
from advisor.inputs.problems import printable
from advisor.reasoning.candidates import Candidate
from advisor.reasoning.plan import Held
from advisor.reasoning.region import Region
from advisor.reasoning.ways import ways
from advisor.rulebase.schema import RuleBase
from advisor.rulebase.wording import apart, quantity

# Settings whose name in a report is not that of the measure they are told with.
MEASURE_OF = {"allowance_side": "side_allowance", "allowance_bottom": "bottom_allowance"}
MINUTE = 60
LONG_TIME = 120
VERDICTS = {
    "for": "speaks for", "against": "speaks against", "forbids": "forbids", "cautions": "cautions", "concludes": "concludes", "finds": "finds",
}  # fmt: skip


def spaced(name: str) -> str:
    """An identifier as words: ``closed_pocket`` is a closed pocket, an ``inserted_high_feed_mill`` an inserted high-feed mill."""
    return name.replace("high_feed", "high-feed").replace("_", " ")


def millimetres(value: float) -> str:
    """A length with its unit."""
    return quantity(value, "mm")


def seconds(value: float) -> str:
    """A time in seconds; a long one in minutes too."""
    told = quantity(value, "s")
    return f"{told} ({quantity(value / MINUTE, 'min')})" if value >= LONG_TIME else told


def size(region: Region) -> str:
    """The feature's kind and sizes: ``closed pocket 96 × 60 mm, 29 mm deep``."""
    kind = spaced(region.kind)
    if region.round:
        sizes = f"⌀{quantity(region.width, 'mm')}"
    else:
        sizes = f"{quantity(region.length, '')} × {millimetres(region.width)}"
    through = "" if region.floor else ", through" if region.kind != "outside_profile" else ""
    corners = f", corners R{quantity(region.corner_radius, '')}" if region.corner_radius else ""
    return f"{kind} {sizes}, {millimetres(region.depth)} deep{through}{corners}"


def cutter_text(cutter: Cutter) -> str:
    """The cutter's id, body and main sizes."""
    teeth = "1 tooth" if cutter.ZEFP == 1 else f"{cutter.ZEFP} teeth"
    edge = "" if cutter.substrate == "carbide" else f" of {cutter.substrate}"
    if cutter.body == "drill":
        return f"{printable(cutter.id)}, drill{edge}, DC {millimetres(cutter.DC)}"
    return f"{printable(cutter.id)}, {spaced(cutter.body)}{edge}, DC {millimetres(cutter.DC)}, {teeth}"


def entry_text(entry: str | None, drill: Cutter | None) -> str:
    """The way in, with its drill."""
    if entry is None:
        return ""
    return f"{spaced(entry)}, drilled with {cutter_text(drill)}" if drill else spaced(entry)


def way_text(candidate: Candidate) -> str:
    """A candidate in a few words: method, cutter, way in."""
    parts = [ways()[candidate.method].title, printable(candidate.cutter.id)]
    if candidate.entry and candidate.method != "drilling":
        parts.append(spaced(candidate.entry) + (f" ({printable(candidate.drill.id)})" if candidate.drill else ""))
    return ", ".join(parts)


def held_text(held: Held, base: RuleBase) -> str:
    """One setting that was held back, from what to what and by what."""
    name = MEASURE_OF.get(held.setting, held.setting)
    unit = base.measures[name].unit if name in base.measures else ""
    before, after = apart(held.before, held.after, unit)
    if unit and before.endswith(unit) and after.endswith(unit):
        before = before[: -len(unit)].rstrip("\u00a0")
    return f"{spaced(held.setting)} {before} → {after}: {held.cause}"


def held_back(candidate: Candidate) -> Sequence[Held]:
    """All that was held back for a candidate: in the cut, then on the way in."""
    cut = candidate.plan.held if candidate.plan else []
    return [*cut, *(candidate.way_in.held if candidate.way_in else ())]


def time_parts(candidate: Candidate) -> dict[str, float]:
    """The estimated time in parts [s]: ``cut``, ``entry``, ``travel``, ``change``; they sum to the whole.

    The rest in the corners counts as cutting, its change of tools as a change. A ramp that is quicker than the level passes it
    replaces shortens the cut.
    """
    facts = candidate.facts

    def part(name: str) -> float:
        return float(facts.get(name, 0.0))

    rest, change, entry = part("corner_rest_time"), part("tool_change"), part("entry_time")
    rest_change = min(rest, change)
    return {
        "cut": part("cut_time") + rest - rest_change + min(0.0, entry), "entry": max(0.0, entry), "travel": part("travel_time"),
        "change": change + part("entry_change") + rest_change,
    }  # fmt: skip
