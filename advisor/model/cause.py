"""What held a setting of a plan back."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from advisor.mechanics.lengths import HAIR


class HeldBy(StrEnum):
    """The kinds of causes; ``text.causes`` has the words for each."""

    SPINDLE_POWER = "spindle_power"
    SPINDLE_TORQUE = "spindle_torque"
    BENDING = "bending"
    BENDING_AT_SIZE = "bending_at_size"
    BENDING_ON_FACE = "bending_on_face"
    SLENDER = "slender"
    SLENDER_AT_FULL_WIDTH = "slender_at_full_width"
    AXIAL_RATIO = "axial_ratio"
    SHARE_OF_TABLE_WIDTH = "share_of_table_width"
    SHARE_OF_DC = "share_of_dc"
    SHARE_OF_DC_AT_WALL = "share_of_dc_at_wall"
    EQUAL_LEVELS = "equal_levels"
    EQUAL_TURNS = "equal_turns"
    EVEN_PASSES = "even_passes"
    EVEN_PASSES_OF_STOCK = "even_passes_of_stock"
    ENGAGEMENT_ON_LOOPS = "engagement_on_loops"
    ENGAGEMENT_AT_ROUND_WALL = "engagement_at_round_wall"
    AXES_ON_LOOPS = "axes_on_loops"
    AXES_ON_RADIUS = "axes_on_radius"
    DEPTH_AT_FULL_WIDTH = "depth_at_full_width"
    DEPTH_OF_LEVEL = "depth_of_level"
    MACHINE_FEED = "machine_feed"
    SPINDLE_SPEED = "spindle_speed"
    MARKED_SPEED = "marked_speed"
    HELD_FEED = "held_feed"
    CHIP_KEPT = "chip_kept"
    RUBBING_PASS = "rubbing_pass"
    ALLOWANCE_COVERS = "allowance_covers"
    RAMP_OF_CUTTER = "ramp_of_cutter"
    DEEP_SLOT = "deep_slot"
    CHIP_ROOM = "chip_room"
    THIN_WALL = "thin_wall"
    TIGHT_CORNER = "tight_corner"
    THIN_FLOOR = "thin_floor"


class Cause(NamedTuple):
    """A cause with the numbers that its words need, in their order, and the cause that it follows from, if any."""

    by: HeldBy
    numbers: tuple[float, ...] = ()
    since: Cause | None = None


class Held(NamedTuple):
    """A setting that was held back, from what to what and by what. Units are those of the setting."""

    setting: str
    before: float
    after: float
    cause: Cause


class Limited(NamedTuple):
    """The value of a setting, with all that held it back to that."""

    value: float
    held: tuple[Held, ...] = ()


def limited(setting: str, before: float, after: float, cause: Cause) -> Limited:
    """A setting brought from one value to another by a cause; nothing held it back where the two are the same."""
    return Limited(after, (Held(setting, before, after, cause),) if abs(before - after) > HAIR else ())
