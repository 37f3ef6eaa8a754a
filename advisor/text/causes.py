"""The words for what held a setting back."""

from collections.abc import Mapping
from string import Formatter
from typing import Any

from advisor.knowledge.wording import quantity
from advisor.model.cause import Cause, HeldBy

UNITS = ("mm", "1/min")
# The numbers of a cause by their place, each with a unit or a format; {since} is the cause that it follows from.
WORDS: Mapping[HeldBy, str] = {
    HeldBy.SPINDLE_POWER: "spindle power at {0:1/min}",
    HeldBy.SPINDLE_TORQUE: "spindle torque at {0:1/min}",
    HeldBy.BENDING: "deflection against the side allowance",
    HeldBy.BENDING_AT_SIZE: "deflection against the tolerance of a finished wall",
    HeldBy.BENDING_ON_FACE: "deflection of at most {0:mm}, to avoid steps on the face",
    HeldBy.SLENDER: "cutter bends like a plain bar {0:.2g} DC long",
    HeldBy.SLENDER_AT_FULL_WIDTH: "{since}, at full width",
    HeldBy.AXIAL_RATIO: "axial depth of {0:.2g} DC",
    HeldBy.SHARE_OF_TABLE_WIDTH: "{since}: only {0:.0%} of the table's width",
    HeldBy.SHARE_OF_DC: "at most {0:.0%} of DC for this cutter at this depth",
    HeldBy.SHARE_OF_DC_AT_WALL: "at most {0:.0%} of DC beside a wall {1:.3g} times as high as thick",
    HeldBy.EQUAL_LEVELS: "{0:.0f} equal levels",
    HeldBy.EQUAL_TURNS: "{0:.0f} equal turns",
    HeldBy.EVEN_PASSES: "{0:.0f} even passes",
    HeldBy.EVEN_PASSES_OF_STOCK: "{0:pass} over {1:mm} of stock",
    HeldBy.ENGAGEMENT_ON_LOOPS: "engagement {0:.0f}° on loops of {1:mm} radius",
    HeldBy.ENGAGEMENT_AT_ROUND_WALL: "engagement {0:.0f}° inside the round wall",
    HeldBy.AXES_ON_LOOPS: "axis acceleration on loops of {0:mm} radius",
    HeldBy.AXES_ON_RADIUS: "axis acceleration on {0:mm} radius",
    HeldBy.DEPTH_AT_FULL_WIDTH: "depth at full width",
    HeldBy.DEPTH_OF_LEVEL: "depth of a level",
    HeldBy.MACHINE_FEED: "maximum feed of the machine",
    HeldBy.SPINDLE_SPEED: "maximum spindle speed",
    HeldBy.MARKED_SPEED: "maximum speed marked on the cutter",
    HeldBy.HELD_FEED: "follows the reduced feed",
    HeldBy.CHIP_KEPT: "{since}, to keep the chip thickness",
    HeldBy.RUBBING_PASS: "a pass of less than {0:mm} along the wall would rub",
    HeldBy.ALLOWANCE_COVERS: "the allowance must be {0:g} times the deflection",
    HeldBy.RAMP_OF_CUTTER: "maximum ramp angle of the cutter",
    HeldBy.DEEP_SLOT: "a slot {0:.2g} DC deep is cut in thin levels",
    HeldBy.CHIP_ROOM: "{0:.0f} teeth leave no room for more chips",
    HeldBy.THIN_WALL: "at most {0:g} times the thin wall's thickness",
    HeldBy.TIGHT_CORNER: "less than {0:g} DC in corners hardly rounder than the cutter",
    HeldBy.THIN_FLOOR: "the last level over the thin floor at most {0:mm}",
}
COUNTED = (HeldBy.EQUAL_LEVELS, HeldBy.EQUAL_TURNS, HeldBy.EVEN_PASSES)  # how the work is divided for another cause


class _Figures(Formatter):
    """Writes numbers with their unit where the format names one."""

    def format_field(self, value: Any, format_spec: str) -> str:
        """A number with its unit, a count of passes, or a number in a format of Python's."""
        if format_spec in UNITS:
            return quantity(value, format_spec)
        if format_spec == "pass":
            return f"{value:.0f} even pass{'es' if value > 1 else ''}"
        return str(super().format_field(value, format_spec))


def cause_text(cause: Cause, told_already: str = "") -> str:
    """What held a setting back, in a few words; without a speed that was ``told_already``."""
    since = cause_text(cause.since, told_already) if cause.since else ""
    told = _Figures().format(WORDS[cause.by], *cause.numbers, since=since)
    if told_already:
        told = told.removesuffix(f" at {told_already}")
    return f"{since}: {told}" if since and cause.by in COUNTED else told
