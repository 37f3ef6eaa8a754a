"""Random features, machines and cribs of ordinary sizes, each known by a number and the same every time.

Lengths of cutters are those usual in the trade: flutes of solid end mills after DIN 6527 and DIN 844 (from memory),
drills three, five or eight diameters deep. All is invented; no rule of ours is asked.
"""

from collections.abc import Callable
from random import Random
from typing import Any, NamedTuple

from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.model.machine import Machine, make_machine
from advisor.model.material import Material
from advisor.readers.materials import load_materials

KINDS = tuple(FEATURE_KINDS)
# Diameter: flutes of the short and of the long row [mm], after DIN 844 and DIN 6527, from memory.
FLUTES = {
    3: (8, 12),
    4: (11, 19),
    5: (13, 24),
    6: (13, 24),
    8: (19, 38),
    10: (22, 45),
    12: (26, 53),
    16: (32, 63),
    20: (38, 75),
    25: (45, 90),
}
INSERTED = {16: 2, 20: 3, 25: 3, 32: 4, 40: 5, 50: 6}  # diameter: teeth
FACES = {50: 5, 63: 6, 80: 7, 100: 8}


class Asked(NamedTuple):
    """A question: what is to be roughed, out of what, on which machine, with which cutters."""

    seed: int
    feature: FeatureBase
    material: Material
    machine: Machine
    crib: tuple[Cutter, ...]


def random_job(seed: int) -> Asked:
    """A question out of the whole range of what shops do, the awkward included."""
    random = Random(seed)
    feature = random_feature(random, random.choice(KINDS))
    return Asked(seed, feature, random_material(random), random_machine(random), random_crib(random, 1, 8))


def far_job(seed: int) -> Asked:
    """The same question with a feature of any size that a job file may hold, sensible or not."""
    random = Random(seed)
    width, depth = 10 ** random.uniform(-0.3, 3.2), 10 ** random.uniform(-0.5, 2.9)
    kind = random.choice(KINDS)
    return random_job(seed)._replace(feature=random_feature(random, kind, round(width, 1), round(depth, 1)))


def some(random: Random, low: float, high: float, step: float = 0.5) -> float:
    """A length on a grid, small ones as likely as large ones."""
    value = low * (high / low) ** random.random()
    return max(low, round(round(value / step) * step, 3))


def random_material(random: Random) -> Material:
    """One of the materials of our table."""
    return random.choice(load_materials().all)


def random_machine(random: Random) -> Machine:
    """A milling machine between a bench mill and a heavy machining centre."""
    top = random.choice([4000, 6000, 8000, 12000, 18000, 24000])
    base = round(top * random.uniform(0.05, 0.25))
    power = round(2 * 18 ** random.random(), 1)  # 2 to 36 kW
    return make_machine(
        name=f"random-{top}",
        spindle={"speed": [base, 3 * base, top], "power": [round(0.8 * power, 2), power, power]},
        feed_max=random.choice([4000, 8000, 15000, 30000]),
        rapid=random.choice([8000, 20000, 50000]),
        axis_acceleration=random.choice([0.8, 1.5, 4, 10]),
        tool_change=random.choice([2.5, 6, 15, 60]),
        coolant=random.choice([["flood"], ["flood", "air"], ["air"], ["mist", "through"], ["none"]]),
        stiffness=random.choice([8, 20, 25, 40, 60]),
    )


def random_crib(random: Random, least: int, most: int) -> tuple[Cutter, ...]:
    """Some cutters of all bodies, ids from C1 on."""
    kinds = random.choices(tuple(BODIES), weights=(8, 3, 2, 1, 2, 4), k=random.randint(least, most))
    return tuple(BODIES[kind](random, f"C{number}") for number, kind in enumerate(kinds, start=1))


def solid(random: Random, name: str, DC: float | None = None, reach: float = 0) -> Cutter:
    """A solid end mill; its usable length is `reach` at least, by longer flutes or by a neck."""
    DC = DC or random.choice(tuple(FLUTES))
    rows = FLUTES[min(FLUTES, key=lambda other: abs(other - DC))]
    edge = float(random.choice(rows))
    usable = max(edge, random.choice([edge, edge, 3 * DC, 4 * DC]), reach)
    if reach and random.random() < 0.3:
        edge = usable
    necked = usable > edge
    hss = random.random() < 0.15
    return make_cutter(
        id=name,
        body="solid_end_mill",
        DC=DC,
        APMX=edge,
        LU=usable,
        LPR=usable + round(random.uniform(0.1, 0.8) * DC + 1, 1),
        DN=round(0.95 * DC, 2) if necked else None,
        DCONMS=max(DC, 6) if DC < 6 else DC,
        RE=random.choice([0, 0.1, 0.2, 0.5, 1]) if DC > 4 else 0.1,
        ZEFP=random.choice([2, 3, 3, 4, 4, 5, 6]),
        FHA=random.choice([30, 35, 38, 42, 45]),
        RMPX=random.choice([3, 5, 10, 15]),
        substrate="hss" if hss else "carbide",
        holder_diameter=max(DC, 6) + random.choice([10, 16, 24]),
    )


def inserted(random: Random, name: str, DC: int | None = None, reach: float = 0) -> Cutter:
    """A shoulder cutter with inserts."""
    DC = DC or random.choice(tuple(INSERTED))
    usable = max(random.choice([25, 1.5 * DC, 2.5 * DC]), reach)
    return make_cutter(
        id=name,
        body="inserted_end_mill",
        DC=DC,
        APMX=random.choice([8, 9, 11, 15]),
        LU=usable,
        LPR=usable + random.choice([5, 15, 30]),
        DN=DC - 1,
        DCONMS=min(DC, 32),
        RE=random.choice([0.4, 0.8, 1.6]),
        ZEFP=INSERTED[DC],
        RMPX=random.choice([None, 0.5, 1.5, 3, 6]),
        RPMX=random.choice([None, 12000, 25000]),
        dead_centre=round(random.uniform(0.3, 0.7) * DC, 1),
        holder_diameter=min(DC, 32) + random.choice([11, 20]),
    )


def high_feed(random: Random, name: str) -> Cutter:
    """A high-feed mill."""
    DC = random.choice([16, 20, 25, 35])
    usable = random.choice([1.5, 2.5, 4]) * DC
    return make_cutter(
        id=name,
        body="inserted_high_feed_mill",
        DC=DC,
        APMX=random.choice([0.8, 1, 1.5]),
        LU=usable,
        LPR=usable + random.choice([5, 15]),
        DN=DC - 1,
        DCONMS=min(DC, 32),
        RE=random.choice([1.5, 2, 3]),
        KAPR=random.choice([12, 17, 20]),
        ZEFP=random.choice([2, 3, 4]),
        RMPX=random.choice([0.8, 1.5, 3]),
        dead_centre=round(0.45 * DC, 1),
    )


def stacked(random: Random, name: str) -> Cutter:
    """A cutter with rows of inserts up the body."""
    DC = random.choice([32, 40, 50])
    edge = random.choice([1, 1.4]) * DC
    return make_cutter(
        id=name,
        body="inserted_stacked_mill",
        DC=DC,
        APMX=edge,
        LU=edge + 5,
        LPR=edge + random.choice([20, 35]),
        DCONMS=32,
        ZEFP=random.choice([2, 3, 4]),
    )


def face_mill(random: Random, name: str) -> Cutter:
    """A face mill."""
    DC = random.choice(tuple(FACES))
    return make_cutter(
        id=name,
        body="inserted_face_mill",
        DC=DC,
        APMX=random.choice([4, 6, 10]),
        LU=40,
        LPR=random.choice([40, 50]),
        DCONMS=27,
        KAPR=random.choice([45, 90]),
        ZEFP=FACES[DC],
        RMPX=random.choice([None, 1.5]),
    )


def drill(random: Random, name: str, DC: float | None = None, reach: float = 0) -> Cutter:
    """A drill three, five or eight diameters deep, of carbide up to 20 mm."""
    DC = DC or round(some(random, 3, 26), 1)
    deep = max(random.choice([3, 5, 8]) * DC, reach)
    return make_cutter(
        id=name,
        body="drill",
        DC=DC,
        APMX=deep,
        LU=deep,
        LPR=deep + round(0.5 * DC + 2, 1),
        ZEFP=2,
        substrate="hss" if DC > 20 or random.random() < 0.2 else "carbide",
    )


BODIES: dict[str, Callable[[Random, str], Cutter]] = {
    "solid": solid,
    "inserted": inserted,
    "high_feed": high_feed,
    "stacked": stacked,
    "face": face_mill,
    "drill": drill,
}


def random_feature(random: Random, kind: str, width: float | None = None, depth: float | None = None) -> FeatureBase:
    """A feature of a kind, of any size that is milled in shops [mm]."""
    width = width or some(random, 3, 400, random.choice([0.1, 0.5]))
    depth = depth or some(random, 1, 250, random.choice([0.1, 0.5]))
    given: dict[str, Any] = {"id": "F1", "kind": kind, "depth": depth}
    if random.random() < 0.2:
        given["top"] = some(random, 1, 30)
    if kind == "round_hole":
        floor = random.random() < 0.5
        given |= {"diameter": width, "floor": floor} | _below(random, floor)
        if floor and random.random() < 0.3:
            given["flat_floor"] = True
        return FEATURE_KINDS[kind].model_validate(given)
    length = width + some(random, 0.5, 300)
    given |= {"length": length, "width": width}
    if kind in ("closed_pocket", "open_pocket", "slot"):
        floor = random.random() < 0.75
        given |= {"floor": floor} | _below(random, floor)
    if kind == "slot":
        given["open_ends"] = random.choice([0, 0, 1, 2])
    if kind in ("closed_pocket", "open_pocket", "outside_profile") and random.random() < 0.6:
        given["corner_radius"] = min(some(random, 1, 20), width / 2)
    if kind in ("closed_pocket", "open_pocket") and random.random() < 0.1 and width > 20:
        given["island"] = round(width * random.uniform(0.1, 0.6), 1)
    if kind == "open_pocket" and random.random() < 0.6:
        given["open_sides"] = random.choice([1, 2, 3])
        if given["open_sides"] == 2 and random.random() < 0.3:
            given["open_at"] = random.choice(["short_side", "long_side", "corner"])
    if kind == "outside_profile":
        given |= {"stock_side": some(random, 1, 30)} if random.random() < 0.8 else {}
        given |= _below(random, False)
    if kind not in ("planar_face", "round_hole") and random.random() < 0.2:
        given["thinnest_wall"] = some(random, 1, 20)
    return FEATURE_KINDS[kind].model_validate(given)


def _below(random: Random, floor: bool) -> dict[str, Any]:
    return {} if floor or random.random() < 0.4 else {"clearance_below": random.choice([0, 1, 3, 10])}
