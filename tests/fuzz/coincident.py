"""Jobs and plans whose sizes coincide, exactly or all but: a slot as wide as its cutter and twice the allowance, a
pocket as deep as the edge is long, a corner as round as the cutter, levels that divide without a rest. Each is known by
a number.
"""

from collections.abc import Callable
from functools import cache
from random import Random
from typing import Any, NamedTuple

from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.model.job import Job
from advisor.model.machine import Machine
from advisor.model.operations import Operation, OperationRow, Plan
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.readers.materials import load_materials
from advisor.readers.shop import read_shop
from tests.fuzz.strategies import ENTRIES, METHODS

KINDS = tuple(FEATURE_KINDS)
ALLOWANCES = (0.0, 0.05, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 1.0)
RATIOS = (0.1, 0.35, 0.4, 0.5, 0.6, 0.65, 0.75, 1.0, 1.05, 1.15, 1.2, 1.25, 1.3, 1.35, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9,
          2.0, 2.4, 3.0, 5.0)  # fmt: skip
PARTS = (1 / 16, 1 / 10, 1 / 8, 1 / 5, 1 / 4, 1 / 3, 2 / 5, 1 / 2, 3 / 5, 3 / 4, 1, 2, 3, 4, 5, 7, 10)
SCALES = (1.0, 1.0, 1.0, 25.4 / 25, 1.0371, 0.7, 1 / 3, 0.99983)
NUDGES = (0.0, 0.0, 1e-12, -1e-12, 1e-9, -1e-9, 1e-4, -1e-4)
COLUMNS = ("axial_depth", "radial_width", "allowance_side", "allowance_bottom", "overcut", "levels")


class Made(NamedTuple):
    """A job known by a number: its sizes before any nudge [mm], and whether the readers see them."""

    seed: int
    kind: str
    sizes: dict[str, float]
    words: dict[str, Any]
    machine: Machine
    material: str
    crib: tuple[Cutter, ...]
    read: bool
    nudges: dict[str, float]


@cache
def _demo() -> tuple[tuple[Machine, ...], tuple[Cutter, ...], tuple[str, ...]]:
    shop = read_shop(shared_dir() / "shop.yaml", [])
    assert shop is not None
    crib = read_crib(shop.crib)
    return shop.machines, crib.cutters, tuple(material.name for material in load_materials().all)


def _scaled(cutter: Cutter, scale: float) -> Cutter:
    """The cutter with all its lengths times a factor, so that they lie off any grid."""
    if scale == 1.0:
        return cutter
    given = cutter.model_dump(exclude={"assumed"}, exclude_none=True)
    for name in ("DC", "APMX", "LU", "LPR", "DN", "DCONMS", "RE", "dead_centre", "holder_diameter"):
        if name in given:
            given[name] *= scale
    return make_cutter(**given)


def made(seed: int) -> Made:
    """The job of a number."""
    chance = Random(seed)
    machines, demo, materials = _demo()
    scale = chance.choice(SCALES)
    crib = tuple(_scaled(cutter, scale) for cutter in chance.sample(demo, chance.choice((1, 2, 3))))
    first, kind = crib[0], chance.choice(KINDS)
    if kind == "round_hole" and chance.random() < 0.3:
        crib = (*crib, _scaled(chance.choice([one for one in demo if one.body == "drill"]), scale))
    sizes = _sizes(chance, kind, first)
    words: dict[str, Any] = {}
    if "floor" in FEATURE_KINDS[kind].model_fields:
        words["floor"] = chance.random() < 0.6
    if kind == "slot":
        words["open_ends"] = chance.randint(0, 2)
    if kind == "open_pocket":
        words["open_sides"] = chance.choice((1, 2, 3))
        if words["open_sides"] < 3 and chance.random() < 0.3:
            words["open_at"] = chance.choice(("short_side", "long_side"))
    if kind == "round_hole":
        words["purpose"] = chance.choice((None, "clearance", "thread", "ream", "bore", "mill"))
        words["flat_floor"] = words["floor"] and chance.random() < 0.3
    if not words.get("floor", True):
        sizes.pop("floor_thickness", None)
        sizes.pop("allowance_bottom", None)
    elif kind != "outside_profile":
        sizes.pop("clearance_below", None)
    nudged = chance.sample(sorted(sizes), min(len(sizes), chance.choice((0, 1, 1, 1, 2, 6))))
    nudges = {name: chance.choice(NUDGES) for name in nudged}
    machine, material = chance.choice(machines), chance.choice(materials)
    return Made(seed, kind, sizes, words, machine, material, crib, chance.random() < 0.5, nudges)


def _sizes(chance: Random, kind: str, cutter: Cutter) -> dict[str, float]:
    """Sizes of a feature, each at a coincidence with the cutter or with another size."""
    DC, side = cutter.DC, chance.choice(ALLOWANCES)
    pick = chance.choice
    widths: tuple[Callable[[], float], ...] = (
        lambda: DC + 2 * side,
        lambda: DC * pick(RATIOS),
        lambda: DC * pick(RATIOS) + 2 * side,
        lambda: DC + cutter.dead_centre + 2 * side,
        lambda: 2 * (DC - cutter.RE) + 2 * side,
        lambda: DC + 2 * pick(ALLOWANCES),
        lambda: DC * pick(PARTS) + side,
    )
    depths: tuple[Callable[[], float], ...] = (
        lambda: cutter.APMX * pick(PARTS),
        lambda: cutter.APMX,
        lambda: cutter.LU,
        lambda: cutter.LPR,
        lambda: DC * pick(RATIOS),
        lambda: DC * pick(PARTS),
        lambda: pick((0.1, 0.2, 0.25, 0.3, 0.5, 1.5)) * pick((1, 3, 7, 10)),
    )
    width = max(pick(widths)(), 0.05 * DC)
    found = {"depth": max(pick(depths)(), 0.02)}
    bottom = pick(ALLOWANCES)
    if chance.random() < 0.4:
        found["depth"] += bottom
    if chance.random() < 0.15:
        found["top"] = pick((cutter.LU - found["depth"], cutter.LPR - found["depth"], DC, side))
    if kind == "round_hole":
        found["diameter"] = width
    else:
        found["width"] = width
        found["length"] = max(width, pick((width, 2 * width, DC * pick(RATIOS), DC * pick(RATIOS) + 2 * side, 60.0)))
    optional: dict[str, Callable[[], float]] = {
        "allowance_side": lambda: pick((side, side, pick(ALLOWANCES), width / 2, width / 2 - 1e-4)),
        "allowance_bottom": lambda: pick((bottom, bottom, found["depth"] / 2, found["depth"] * 0.9999)),
        "corner_radius": lambda: pick((DC / 2, DC / 2 + side, 0.6 * DC, 0.6 * DC + side, width / 2, side, 0.0)),
        "island": lambda: width - 2 * pick((DC, DC + 2 * side, DC * pick(RATIOS), side, 2 * side)),
        "stock_side": lambda: pick((side, DC * pick(PARTS) + side, DC, DC * pick(RATIOS), 0.1 * DC + side)),
        "thinnest_wall": lambda: pick((found["depth"] / 8, found["depth"] / 10, 1.5, found["depth"])),
        "tallest_wall": lambda: pick((found["depth"], 12.0)),
        "floor_thickness": lambda: pick((1.0, DC, width / 10, 0.3 * DC)),
        "clearance_below": lambda: pick((1.0, 1.5, cutter.RE + 0.5, 0.3 * DC, 0.0, 2.0, cutter.RE + 1.0)),
    }
    for name, make in optional.items():
        if name in FEATURE_KINDS[kind].model_fields and chance.random() < 0.45:
            found[name] = make()
    return {name: value for name, value in found.items() if value >= 0 and (name != "island" or value > 0.02)}


def feature_of(job: Made, nudges: dict[str, float], read: bool) -> FeatureBase:
    """The feature with its sizes nudged; unless ``read`` every bit of them stays. Raises ValueError."""
    sizes = {name: value * (1 + nudges.get(name, 0.0)) for name, value in job.sizes.items()}
    model = FEATURE_KINDS[job.kind]
    words = {name: value for name, value in job.words.items() if value is not None}
    feature = model.model_validate({"id": "F1", "kind": job.kind, **sizes, **words})
    return feature if read else feature.model_copy(update=sizes)


def assignment_of(job: Made, feature: FeatureBase) -> Assignment:
    """The whole assignment of one feature."""
    told = Job(part="Coincidence", material=job.material, features=(feature,))  # type: ignore[arg-type]
    return Assignment(job=told, material=load_materials()[job.material], machine=job.machine, crib=job.crib)


def plan_of(job: Made, chance: Random) -> Plan:
    """A plan of one operation whose numbers coincide with those of cutter and feature."""
    cutter, sizes = chance.choice(job.crib), job.sizes
    depth, width = sizes["depth"], sizes.get("width", sizes.get("diameter", 1.0))
    side, bottom = sizes.get("allowance_side", 0.5), sizes.get("allowance_bottom", 0.0)
    some: dict[str, tuple[float, ...]] = {
        "axial_depth": (depth, depth - bottom, cutter.APMX, depth / 2, depth / 3, cutter.DC, depth / 7),
        "radial_width": (cutter.DC, width, cutter.DC / 2, width / 2, width - cutter.DC, width - cutter.DC - 2 * side),
        "allowance_side": (side, 0.0, (width - cutter.DC) / 2, width / 2),
        "allowance_bottom": (bottom, 0.0, depth, depth / 2),
        "overcut": (0.0, 1.0, sizes.get("clearance_below", 1.0)),
    }
    row: dict[str, Any] = {"feature": "F1", "cutter": cutter.id}
    for name, values in some.items():
        if chance.random() < 0.5 and (value := chance.choice(values)) > 0.001:
            row[name] = value * (1 + chance.choice(NUDGES))
    if chance.random() < 0.3:
        row["levels"] = chance.choice((1, 2, 3, 7))
    if chance.random() < 0.7:
        row["method"] = chance.choice(METHODS)
    if chance.random() < 0.3:
        row["entry"] = chance.choice(ENTRIES)
    told = OperationRow.model_validate(row)
    if not job.read:
        told = told.model_copy(update={name: row[name] for name in COLUMNS if name in row})
    return Plan("coincidence", None, (Operation(1, told, "plan.yaml", 1),))
