"""Cutters that a shop could buy: those of the table of standard sizes, as long as a feature wants and no longer."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any as Anything

from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.assumptions import assumed
from advisor.mechanics.entry import drill_point
from advisor.mechanics.lengths import exceeds, pieces, reaches, steps
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FeatureBase
from advisor.model.region import regions_of
from advisor.paths import shared_dir
from advisor.readers.drawing_marks import is_drill_size
from advisor.situation.bench import Bench
from advisor.situation.facts import cutter_in, feature_facts


@cache
def sizes() -> dict[str, Anything]:
    """The table of sizes that a shop could buy."""
    table: dict[str, Anything] = read_yaml(shared_dir() / "standard_sizes.yaml").value
    return table


def drill_sizes() -> dict[str, Anything]:
    """The part of that table about drills."""
    drills: dict[str, Anything] = sizes()["drill"]
    return drills


def on_offer(feature: FeatureBase, bench: Bench) -> Iterator[Cutter]:
    """Cutters of standard sizes, long enough for the feature."""
    table, group = sizes(), bench.material.group
    deep = feature.depth + feature.top + bench.limits["overcut_least"] + table["spare_length"]
    reach = pieces(deep, table["length_step"]) * table["length_step"]
    solid = table["solid_end_mill"]
    for DC in (DC for DC in solid["diameters"] if _exists(reach, DC, solid["reach_most"])):
        for edge in sorted({min(reach, flutes * DC) for flutes in solid["flutes"]}):
            yield make_cutter(
                id=f"solid-{DC}-{edge:g}",
                body="solid_end_mill",
                DC=DC,
                APMX=edge,
                LU=max(reach, edge),
                LPR=_projection(reach, DC),
                DCONMS=DC,
                DN=solid["neck_share"] * DC if edge < reach else None,
                RE=solid["corner_radius_share"] * DC,
                KAPR=solid["edge_angle"],
                FHA=solid["helix"],
                ZEFP=solid["teeth"][group],
                RMPX=solid["ramp_angle"],
                substrate="carbide",
                end_cutting=True,
            )
    inserted = table["inserted_end_mill"]
    for DC in (DC for DC in inserted["diameters"] if _exists(reach, DC, inserted["reach_most"])):
        yield make_cutter(
            id=f"inserted-{DC}",
            body="inserted_end_mill",
            DC=DC,
            APMX=inserted["edge"],
            LU=max(reach, inserted["edge"]),
            LPR=_projection(reach, DC),
            DCONMS=DC,
            KAPR=inserted["edge_angle"],
            ZEFP=inserted["teeth"][str(DC)],
            RMPX=inserted["ramp_angle"],
            RPMX=inserted["marked_speed"],
            dead_centre=inserted["dead_centre_share"] * DC,
            substrate="carbide",
            end_cutting=False,
        )
    drill = drill_to_size(feature, bench)
    if drill is not None:
        yield drill


def drill_to_size(feature: FeatureBase, bench: Bench) -> Cutter | None:
    """The drill on offer that makes a round hole for its purpose; nothing for other features, or if there is none."""
    diameter = getattr(feature, "diameter", None)
    width = _drill_width(feature, diameter, bench) if diameter else 0.0
    deep = feature.depth + feature.top + bench.limits["overcut_least"] + sizes()["spare_length"]
    return _long_enough(width, deep, bench.material.group) if width > 0 else None


def _long_enough(width: float, deep: float, group: str) -> Cutter | None:
    """A drill for a group of materials that reaches so deep at full diameter [mm], with a diameter of flute more for
    the chips where such a long one is on offer, else with its point.
    """
    point = drill_point(width, assumed("cutter", "point_angle_carbide_drill"))
    return drill_of(width, deep + width, group) or drill_of(width, deep + point, group)


def _drill_width(feature: FeatureBase, diameter: float, bench: Bench) -> float:
    """The widest drill on offer that leaves what the settings rules keep for the purpose of a hole [mm].

    A hole without a purpose is a clearance hole for a drill of its size, as long as there are such drills in solid
    carbide; a wider one is finished by milling.
    """
    if exceeds(diameter, drill_sizes()["inserted_most"]) or diameter < assumed("bounds", "cutting_diameter_least"):
        return 0.0
    region = regions_of(feature)[0]
    if region.purpose is None and _has_inserts(diameter):
        region = region._replace(purpose="mill")
    found = cutter_in(region, _drill(diameter, diameter), feature_facts(region, bench), bench)
    if found.side <= 0 and is_drill_size(diameter):
        return diameter
    step = drill_sizes()["step" if found.facts["hole_purpose"] == "mill" else "fine_step"]
    return float(round(max(0, steps(diameter - 2 * found.side, step)) * step, 6))


def suiting_drill(cutter: Cutter, feature: FeatureBase, bench: Bench) -> Cutter | None:
    """The narrowest drill on offer whose hole suits a cutter, long enough for the feature; nothing if there is none."""
    limits, step = bench.limits, drill_sizes()["step"]
    diameter = pieces(limits["loop_hole_ratio_least"] * cutter.DC, step) * step
    if exceeds(diameter, limits["hole_ratio_most"] * cutter.DC):
        return None
    return drill_of(diameter, feature.depth + feature.top + diameter, bench.material.group)


def drill_of(diameter: float, reach: float, group: str) -> Cutter | None:
    """A carbide drill of a diameter, ground for a group of ISO 513 and long enough to reach; nothing where none is on
    offer.
    """
    table, drills = sizes(), drill_sizes()
    length = pieces(reach, table["length_step"]) * table["length_step"]
    most = drills["inserted_reach" if _has_inserts(diameter) else "flutes"]
    if exceeds(diameter, drills["inserted_most"]) or not _exists(length, diameter, most):
        return None
    return _drill(diameter, length, group)


def _drill(diameter: float, length: float, group: str | None = None) -> Cutter:
    """A carbide drill of a diameter and a usable length [mm], whether it is on offer or not."""
    return make_cutter(
        id=f"drill-{diameter:g}",
        body="drill",
        DC=diameter,
        APMX=length,
        LU=length,
        LPR=_projection(length, diameter),
        ZEFP=drill_sizes()["inserted_teeth" if _has_inserts(diameter) else "teeth"],
        substrate="carbide",
        TMC1ISO=group,
    )


def _has_inserts(diameter: float) -> bool:
    """Whether a carbide drill is too wide to be on offer in solid carbide."""
    return exceeds(diameter, drill_sizes()["solid_most"])


def _exists(reach: float, DC: float, most: float) -> bool:
    """Whether there is a cutter that reaches so far, ``most`` diameters at most, and a crib may hold it."""
    narrowest, widest = assumed("bounds", "cutting_diameter_least"), assumed("bounds", "cutting_diameter_most")
    there = narrowest <= DC <= widest and reaches(most * DC, reach)
    return there and _projection(reach, DC) <= assumed("bounds", "cutter_length_most")


def _projection(reach: float, DC: float) -> float:
    table = sizes()
    return float(reach + table["projection_beyond"] + table["projection_share"] * DC)
