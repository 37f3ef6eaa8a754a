"""Cutting data of drills: speed and chip of high-speed steel, of solid carbide, of exchangeable tips, of inserts."""

from __future__ import annotations

from advisor.mechanics.chip import chip_thickness
from advisor.mechanics.drilling import drill_feed
from advisor.model.cutter import Cutter
from advisor.situation.bench import Bench


def has_inserts(cutter: Cutter) -> bool:
    """Whether a drill is one with inserts: one of carbide with one effective tooth, since an inner and an outer insert
    cut one chip together.
    """
    return cutter.kind.drill and cutter.substrate != "hss" and cutter.ZEFP == 1


def drill_speed(cutter: Cutter, bench: Bench) -> float | None:
    """The cutting speed of a drill [m/min]: of its class, times how fast the material is milled beside its class; with
    inserts a share of that of inserts, and nothing where the tables have none.
    """
    material = bench.material
    if has_inserts(cutter):
        share = bench.limits["drill_insert_speed_share"]
        return None if material.v_c_inserted is None else share * material.v_c_inserted
    at = bench.data.drill_speed[0 if cutter.substrate == "hss" else 1]
    return at * material.v_c_solid / (sum(bench.data.v_c_solid) / 2)


def feed_of_revolution(cutter: Cutter, bench: Bench) -> float | None:
    """The feed of a drill in one revolution [mm]: that of the tables for its diameter, as far as it grows with it; the
    chip of inserts, whatever the diameter, for a drill with inserts, and nothing where the tables have none.
    """
    if has_inserts(cutter):
        return bench.material.h_insert
    limits, hss = bench.limits, cutter.substrate == "hss"
    wide = cutter.DC if hss else min(cutter.DC, limits["drill_tip_diameter"])
    at = bench.data.drill_feed[0 if hss else 1]
    return drill_feed(at, wide, limits["drill_feed_diameter"], limits["drill_feed_exponent"])


def drill_chip(cutter: Cutter, bench: Bench) -> float | None:
    """The chip thickness of a drill [mm], from its feed in one revolution; nothing where the tables have none."""
    feed = feed_of_revolution(cutter, bench)
    return None if feed is None else chip_thickness(feed / cutter.ZEFP, cutter.KAPR, 90)
