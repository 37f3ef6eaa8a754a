"""The measures that an answer is told by."""

from __future__ import annotations

from collections.abc import Mapping

# The measures that the settings, loads and times of an answer are told by; what they rest on follows by itself.
ASKED_FOR = (
    "axial_depth",
    "levels",
    "depth_to_cut",
    "radial_width",
    "table_radial_share",
    "engagement",
    "side_allowance",
    "bottom_allowance",
    "overcut",
    "spindle_speed",
    "wanted_speed",
    "feed_per_tooth",
    "chip",
    "feed_rate",
    "opening_feed",
    "ramp_angle",
    "entry_angle",
    "table_ramp_angle",
    "power",
    "power_available",
    "torque",
    "torque_available",
    "force",
    "deflection",
    "total_time",
)


def asked_for(facts: Mapping[str, object]) -> tuple[str, ...]:
    """The measures that an answer is told by, less the ramp angle of the table where nothing is ramped."""
    ramps = "ramp_angle" in facts or "entry_angle" in facts
    return tuple(name for name in ASKED_FOR if ramps or name != "table_ramp_angle")
