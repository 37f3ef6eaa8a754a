"""Features in the ordinary range with a cutter that fits, as a machinist would say it; no rule of ours is asked.

Source of what fits: common practice, no source. A solid end mill fits where it goes in with stock left on both walls
and room to move, reaches the bottom with a little to spare, stands out five diameters at most, and the holder stays
clear of the stock.
"""

from random import Random

from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FeatureBase
from advisor.model.machine import Machine
from advisor.model.material import Material
from tests.jobs.random_jobs import (
    FACES,
    FLUTES,
    INSERTED,
    KINDS,
    Asked,
    drill,
    inserted,
    random_crib,
    random_feature,
    random_machine,
    random_material,
    solid,
)

STOCK = 0.5  # mm left on a wall
OVER = 2.5  # mm of reach beyond the depth: past the bottom and a little
SPARE = 3.0  # mm between holder and stock
OUT = 5.0  # diameters out of the holder
SIDE_OPEN = ("step", "outside_profile", "open_pocket")
TURN = 1.0  # Nm a millimetre that the spindle has for a cutter of 16 mm or more
TURN_DRILL = 0.1  # Nm a square millimetre that it has for a drill: some 10 Nm at 10 mm, 60 Nm at 25 mm
WIDE = 16  # mm
SHARE_INSERTED = 0.6  # of the width of a solid cutter that has room


def ordinary_job(seed: int) -> Asked | None:
    """A question with a cutter that fits, among others; nothing where the numbers drawn leave none."""
    random = Random(seed)
    kind = random.choice(KINDS)
    feature = random_feature(random, kind, width=_width(random), depth=random.choice([3, 5, 8, 12, 20, 30, 45]))
    material, machine = random_material(random), random_machine(random)
    fits = fitting(random, feature, material, machine)
    if fits is None:
        return None
    crib = [*random_crib(random, 0, 6), fits]
    random.shuffle(crib)
    return Asked(seed, feature, material, machine, tuple(crib))


def _width(random: Random) -> float:
    return random.choice([8, 10, 12, 14.5, 18, 22, 26, 32, 40, 55, 80, 120])


def fitting(random: Random, feature: FeatureBase, material: Material, machine: Machine) -> Cutter | None:
    """A cutter that fits, or none."""
    if feature.kind == "planar_face":
        return _for_a_face(random, feature, material, machine)
    if feature.kind == "round_hole" and random.random() < 0.5:
        return _drill_for(random, feature, material, machine)
    deep = feature.depth + feature.top
    widest = _widest(random, feature)
    able = [DC for DC in FLUTES if widest >= DC and deep + OVER + SPARE + 1 <= OUT * DC]
    if not able:
        return None
    DC = random.choice(able)
    if DC >= WIDE and torque(machine) < TURN * DC:
        return None
    if DC in INSERTED and material.group != "H" and random.random() < 0.3:
        return _shoulder_cutter(random, feature, DC, deep, widest)
    cutter = solid(random, "FITS", DC, deep + OVER)
    if material.group == "H" and cutter.substrate == "hss":
        cutter = cutter.model_copy(update={"substrate": "carbide"})
    standing_out = max(cutter.LPR, deep + OVER + SPARE)
    return cutter.model_copy(update={"LPR": standing_out}) if standing_out <= OUT * DC else None


def _shoulder_cutter(random: Random, feature: FeatureBase, DC: int, deep: float, widest: float) -> Cutter | None:
    """A cutter with inserts; into the solid it wants more room, and ramps at a degree or more."""
    cutter = inserted(random, "FITS", DC, deep + OVER)
    if not deep + OVER + SPARE <= cutter.LPR <= OUT * DC:
        return None
    if feature.kind in SIDE_OPEN:
        return cutter
    if feature.kind != "closed_pocket" or SHARE_INSERTED * widest < DC:
        return None
    return cutter.model_copy(update={"RMPX": random.choice([1.5, 3, 6])})


def torque(machine: Machine) -> float:
    """The torque of a spindle up to its base speed [Nm]."""
    return 9549 * machine.spindle.power[0] / machine.spindle.speed[0]


def _widest(random: Random, feature: FeatureBase) -> float:
    """The widest end mill that has room: half a pocket, three quarters of a slot or a bore."""
    match feature.kind:
        case "closed_pocket" | "open_pocket":
            width, island = feature.width, getattr(feature, "island", None)  # type: ignore[attr-defined]
            narrow = (width - island) / 2 if island else width
            return narrow / 2 - STOCK
        case "slot":
            return min(0.85 * feature.width, feature.width - 2 * STOCK - 0.5)  # type: ignore[attr-defined]
        case "round_hole":
            return 0.8 * feature.diameter - 2 * STOCK  # type: ignore[attr-defined]
        case _:
            return max(FLUTES)


def _for_a_face(random: Random, feature: FeatureBase, material: Material, machine: Machine) -> Cutter | None:
    """A face mill or a shoulder cutter for a face of 8 mm at most; a solid one where it is hard or the machine weak."""
    if feature.depth > 8:
        return None
    DC = random.choice([16, 20, 25, 32, *FACES])
    if material.group == "H" or torque(machine) < TURN * DC:
        cutter = solid(random, "FITS", random.choice([8, 10, 12]), feature.depth + OVER)
        return cutter.model_copy(update={"substrate": "carbide"})
    if DC in INSERTED:
        return inserted(random, "FITS", DC)
    return make_cutter(id="FITS", body="inserted_face_mill", DC=DC, APMX=6, LU=40, LPR=50, DCONMS=27, ZEFP=FACES[DC])


def _drill_for(random: Random, feature: FeatureBase, material: Material, machine: Machine) -> Cutter | None:
    """A drill that leaves 0.5 to 1 mm on the side, long enough for its point, where that has room beneath."""
    if getattr(feature, "flat_floor", None):
        return None
    diameter = round(feature.diameter - 2 * random.choice([STOCK, 0.75, 1.0]), 1)  # type: ignore[attr-defined]
    deep = feature.depth + feature.top
    reach = deep + 0.4 * diameter + OVER
    beneath = getattr(feature, "clearance_below", None) or 0.0
    if not feature.floor and beneath < 0.4 * diameter + OVER:  # type: ignore[attr-defined]
        return None  # no room for its point
    if material.group in ("M", "S") and not {"flood", "through"} & set(machine.coolant):
        return None  # nobody drills these dry
    if diameter < 3 or reach > 8 * diameter or torque(machine) < TURN_DRILL * diameter**2:
        return None
    cutter = drill(random, "FITS", diameter, reach)
    hard = {"TMC1ISO": "H"} if material.group == "H" else {}  # an ordinary drill breaks there
    named = hard | ({"substrate": "carbide"} if material.group in ("S", "H") else {})
    return cutter.model_copy(update={"LPR": max(cutter.LPR, reach + SPARE), **named})
