"""How features, cutters, times and settings are told in a few words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from advisor.files.problems import printable
from advisor.files.unit_scales import scale_of
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import GAP, apart, given, quantity
from advisor.methods.drills import has_inserts
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cause import Held
from advisor.model.cutter import Cutter
from advisor.model.region import Region
from advisor.situation.pairings import ways
from advisor.text.causes import cause_text
from advisor.text.names import spaced

# Settings whose name in a report is not that of the measure they are told with.
MEASURE_OF = {
    "allowance_side": "side_allowance",
    "allowance_bottom": "bottom_allowance",
    "feed_per_tooth_on_the_way_in": "feed_per_tooth",
    "spindle_speed_of_the_drill": "hole_speed",
    "feed_per_revolution_of_the_drill": "hole_feed_per_revolution",
}
PARTS = {"cut": "in the cut", "entry": "entry", "travel": "moves between cuts", "change": "tool changes"}  # of a time
MINUTE = 60
EDGES = {"hss": "HSS"}  # how an edge that is not of carbide is written before its body
LONG_TIME = 120
OPENED = {"short_side": "open at a short side", "long_side": "open at a long side", "corner": "open at a corner"}
OPENED_BOTH = {"short_side": "open at both short sides", "long_side": "open at both long sides"}


def no_way(region: Region) -> str:
    """That there is no way for a feature; for one that goes through, also where the room beneath was not given."""
    told = "Not possible with this crib: every method with every cutter is forbidden here."
    if region.floor or region.clearance_below is not None:
        return told
    return f"{told} The clearance below the part (clearance_below) was not given, and is counted as none."


def millimetres(value: float, typed: str | None = None) -> str:
    """A length that was worked out, with its unit; ``typed`` says which way one that is typed is rounded."""
    return quantity(value, "mm", typed=typed)


def seconds(value: float) -> str:
    """A time in seconds; a long one in minutes too."""
    told = quantity(value, "s")
    return f"{told} ({quantity(value / MINUTE, 'min')})" if value >= LONG_TIME else told


def size(region: Region) -> str:
    """The feature's kind and sizes: ``closed pocket 96 × 60 mm, 29 mm deep``."""
    kind = f"{alike(region)}{spaced(region.kind)}"
    sizes = f"⌀{given(region.width)}" if region.round else f"{given(region.length, bare=True)} × {given(region.width)}"
    through = "" if region.floor else ", through" if region.kind != "outside_profile" else ""
    corners = f", corners R{given(region.corner_radius, bare=True)}" if region.corner_radius else ""
    told = f"{_opened(region)}{corners}{_island(region)}{_rough(region)}"
    return f"{kind} {sizes}, {given(region.depth)} deep{through}{told}{marked(region)}"


def marked(region: Region) -> str:
    """What the drawing writes for the size, behind it, if that is known."""
    return "" if region.marked is None else f" ({printable(region.marked)})"


def _rough(region: Region) -> str:
    """What is cut of a casting, forging or pre-machined feature."""
    if region.rough == "walls":
        return f", {given(region.strip or 0.0)} of stock on the walls"
    if region.rough == "floor":
        return f", the stock on the floor, from {given(region.top)} down"
    return "" if region.rough is None else f", with an opening of {given(region.opening or 0.0)}, cut as from the solid"


def alike(region: Region) -> str:
    """How many of a feature there are, before what it is, as drawings have it: ``6× ``; nothing for a single one."""
    return f"{region.copies}× " if region.copies > 1 else ""


def _island(region: Region) -> str:
    """The island of a pocket: one size where it may be round, else both sides, along the pocket and across."""
    if region.island is None:
        return ""
    along = "" if region.island_length is None else f"{given(region.island_length, bare=True)} × "
    return f", island {along}{given(region.island)}"


def _opened(region: Region) -> str:
    """Which sides of an open pocket are open, where that was said."""
    if region.open_at is None:
        return ""
    both = OPENED_BOTH if region.open_sides == 2 else {}
    return f", {both.get(region.open_at, OPENED[region.open_at])}"


def cutter_text(cutter: Cutter) -> str:
    """The cutter's id, body and main sizes."""
    return f"{printable(cutter.id)}, {cutter_kind(cutter)}"


def cutter_kind(cutter: Cutter) -> str:
    """The cutter's body and main sizes."""
    teeth = "1 tooth" if cutter.ZEFP == 1 else f"{cutter.ZEFP} teeth"
    edge = "" if cutter.substrate == "carbide" else f"{EDGES.get(cutter.substrate, cutter.substrate)} "
    if cutter.kind.drill:
        inserts = " with inserts" if has_inserts(cutter) else ""
        return f"{edge}{spaced(cutter.body)}{inserts}, DC {given(cutter.DC)}"
    return f"{edge}{spaced(cutter.body)}, DC {given(cutter.DC)}, {teeth}"


def entry_text(entry: str | None, drill: Cutter | None) -> str:
    """The way in, with its drill."""
    if entry is None:
        return ""
    return f"{spaced(entry)} with drill {printable(drill.id)}, DC {given(drill.DC)}" if drill else spaced(entry)


def way_text(candidate: Candidate) -> str:
    """A candidate in a few words: method, cutter, way in."""
    parts = [ways()[candidate.method].title, printable(candidate.cutter.id)]
    if candidate.entry and not METHODS[candidate.method].by_drill:
        parts.append(spaced(candidate.entry) + (f" ({printable(candidate.drill.id)})" if candidate.drill else ""))
    return ", ".join(parts)


def ways_text(candidates: Sequence[Candidate]) -> str:
    """Candidates with one cutter in a few words: their methods and the cutter."""
    if len(candidates) == 1:
        return way_text(candidates[0])
    *most, last = (ways()[candidate.method].title for candidate in candidates)
    return f"{', '.join(most)} and {last}, {printable(candidates[0].cutter.id)}"


def held_text(held: Held, base: RuleBase, names: Mapping[str, str] = MappingProxyType({})) -> str:
    """One setting that was held back, from what to what and by what; by one of these names, if it has one."""
    name = MEASURE_OF.get(held.setting, held.setting)
    unit = base.measures[name].unit if name in base.measures else ""
    before, after = apart(held.before, held.after, unit, base.measures[name].typed if name in base.measures else None)
    shown = scale_of(unit).unit
    if shown and before.endswith(shown) and after.endswith(shown):
        before = before[: -len(shown)].rstrip(GAP)
    return f"{names.get(held.setting) or spaced(held.setting)} {before} → {after}: {cause_text(held.cause, after)}"


def held_back(candidate: Candidate) -> Sequence[Held]:
    """All that was held back for a candidate: in the cut, then on the way in."""
    cut = candidate.plan.held if candidate.plan else ()
    return [*cut, *(candidate.way_in.held if candidate.way_in else ())]
