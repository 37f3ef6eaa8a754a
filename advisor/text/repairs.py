"""What would open a way or better it, in words."""

from __future__ import annotations

from advisor.knowledge.wording import DOWN, UP, looks_equal, quantity, stepped, with_article
from advisor.methods.drills import has_inserts
from advisor.model.answer import LengthChange, Repair
from advisor.model.cutter import Cutter
from advisor.situation.pairings import ways


def repair_text(repair: Repair) -> str:
    """A change with the way that it gives, and the time of today beside it where there is a way today.

    One that takes longer is told for its grade, and the time of the way now as what that costs.
    """
    best, now = repair.then, repair.now
    beside = ""
    if now is not None and looks_equal(now.time, best.time, "s"):
        beside = " as now"
    elif now is not None and best.time > now.time:
        beside = f"; the {now.grade} way now takes {quantity(now.time, 's')}"
    elif now is not None:
        beside = f" instead of {quantity(now.time, 's')}"
    way = f"{ways()[best.method].title}, {best.grade}, {quantity(best.time, 's')}"
    return f"With {_change_text(repair)}: {way}{beside}."


def _change_text(repair: Repair) -> str:
    *most, last = [_length_text(change) for change in repair.lengths] or [""]
    lengths = f"{', '.join(most)}{' and ' if most else ''}{last}"
    cutter = to_buy(repair.cutter) if repair.cutter else ""
    return ", and ".join(part for part in (lengths, cutter) if part)


def _length_text(change: LengthChange) -> str:
    """A change of a length, told to the last figure: only that very value has been run.

    Nothing is said of values beyond. A wider bore may leave a core, and a thinner face may be cut in fewer levels.
    """
    towards = DOWN if change.before is not None and change.after < change.before else UP
    after = stepped(change.after, "mm", towards)
    before = "none" if change.before is None else stepped(change.before, "mm", towards)
    if change.name == "clearance_below":
        given = "where no clearance was given" if change.before is None else f"instead of {before}"
        return f"{after} free below {given}"
    return f"a {change.name} of {after} instead of {before}"


def to_buy(cutter: Cutter) -> str:
    """A cutter of the standard sizes, in words."""
    wide = with_article(quantity(cutter.DC, "mm"))
    if cutter.kind.drill:
        made = "drill with carbide inserts" if has_inserts(cutter) else "carbide drill"
        return f"{wide} {made} for group {cutter.TMC1ISO}, usable {quantity(cutter.LU, 'mm')} deep"
    if not cutter.kind.solid:
        return f"{wide} inserted end mill, usable {quantity(cutter.LU, 'mm')} deep"
    flute = f"{quantity(cutter.APMX, 'mm')} of flute"
    neck = f" and a neck usable {quantity(cutter.LU, 'mm')} deep" if cutter.LU > cutter.APMX else ""
    return f"{wide} solid carbide end mill with {cutter.ZEFP} teeth, {flute}{neck}"
