"""Small jobs, each with a way that one rule alone makes what it is."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from advisor.choosing.advice import advise
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.situation.bench import Bench, bench_of
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, inserted, job, solid

STAINLESS, TITANIUM, SUPERALLOY, HARD = "X5CrNi18-10", "Ti-6Al-4V", "UNS N07718", "X38CrMoV5-1 hardened"
VERY_HARD = "X153CrMoV12 hardened"  # 58 to 60 HRC
PRE_HARDENED = "X5CrNiCuNb16-4 aged"
IRON = "EN-GJL-250"
POCKET: dict[str, Any] = {"kind": "closed_pocket", "length": 90, "width": 60, "depth": 30, "floor": True}
OPEN: dict[str, Any] = {"kind": "open_pocket", "length": 200, "width": 140, "depth": 30, "floor": True}
STEP: dict[str, Any] = {"kind": "step", "length": 200, "width": 80, "depth": 10}
WALL: dict[str, Any] = {
    "kind": "outside_profile",
    "length": 240,
    "width": 120,
    "depth": 60,
    "stock_side": 10,
    "clearance_below": 10,
}
SLOT: dict[str, Any] = {"kind": "slot", "length": 150, "width": 14, "depth": 14, "floor": True, "open_ends": 0}
SHORT_POCKET = POCKET | {"length": 13, "width": 13, "depth": 10}
SHALLOW, DEEP, THROUGH = POCKET | {"depth": 8}, POCKET | {"depth": 65}, POCKET | {"floor": False, "clearance_below": 20}
WINDOW = THROUGH | {"length": 120, "width": 100, "depth": 20, "island": 30}
LIMP = STEP | {"width": 8, "depth": 30, "allowance_side": 0.1}
NO_CIRCLE = ({"kind": "round_hole", "diameter": 13.5, "depth": 14, "floor": True}, "hole-too-narrow-to-circle")
WEAK = EVERYDAY | {"spindle": {"speed": [500, 8000], "power": [0.5, 6]}}
BLOWN = EVERYDAY | {"coolant": ["air"]}
SLUGGISH = EVERYDAY | {"axis_acceleration": 0.05}
STACKED = make_cutter(id="S50", body="inserted_stacked_mill", DC=50, APMX=70, ZEFP=4, LU=76, LPR=105, DN=47)
HIGH_FEED = make_cutter(
    id="HF25", body="inserted_high_feed_mill", DC=25, APMX=1.5, LU=50, LPR=60, DN=24, RMPX=4, ZEFP=3, KAPR=15
)
LIMBER = make_cutter(
    id="HF20", body="inserted_high_feed_mill", DC=20, APMX=1, LU=200, LPR=210, DN=16, RMPX=2, ZEFP=3, KAPR=15
)
CLEARING, LAYERS, RAMPED = "engagement_limited_clearing", "layered_pocketing", "ramped_slotting"
DRILLING, BORING = "drilling", "helical_boring"


def spindle(*points: tuple[float, float]) -> dict[str, Any]:
    """Return the everyday machine with another spindle: speeds [1/min] and powers [kW]."""
    speed, power = zip(*points, strict=True)
    return EVERYDAY | {"spindle": {"speed": list(speed), "power": list(power)}}


def hole(diameter: float, depth: float, **more: Any) -> dict[str, Any]:
    """Return a round hole with a floor, not a flat one."""
    return {"kind": "round_hole", "diameter": diameter, "depth": depth, "floor": True, "flat_floor": False} | more


def through(diameter: float, depth: float, clearance: float) -> dict[str, Any]:
    """Return a round hole that goes through, with so much room beneath."""
    return {
        "kind": "round_hole",
        "diameter": diameter,
        "depth": depth,
        "floor": False,
        "clearance_below": clearance,
    }


def short_drill(DC: float, APMX: float, **more: Any) -> Cutter:
    """Return a drill shorter than usual."""
    return make_cutter(**{"id": f"D{DC:g}", "body": "drill", "DC": DC, "APMX": APMX, "ZEFP": 2} | more)


HSS = short_drill(12, 60, substrate="hss")
INDEXABLE = short_drill(20, 40, TMC1ISO="H", ZEFP=1)


class Job(NamedTuple):
    """A small job, and the way of it that is looked at: the best of a method, by one entry if that is said."""

    method: str
    feature: dict[str, Any]
    crib: Sequence[Cutter]
    material: str = ALUMINIUM
    machine: dict[str, Any] = EVERYDAY
    entry: str | None = None


def way(given: Job) -> tuple[Candidate, Bench]:
    """Return the way that a job is about, and the bench it is worked out on."""
    assignment = job(given.feature, given.crib, given.material, given.machine)
    bench = bench_of(assignment)
    found = advise(assignment, bench).features[0].candidates
    return next(each for each in found if each.method == given.method and given.entry in (None, each.entry)), bench


SPEAKS_FOR = {
    "short-flutes-in-layers": Job(LAYERS, OPEN, [solid(16, 12, LU=34, LPR=45, DN=15)]),
    "face-with-a-wider-cutter": Job("face_milling", STEP | {"depth": 15}, [inserted(25, LU=30)], STEEL, STRONG),
    "stacked-inserts-for-a-tall-wall": Job(CLEARING, WALL, [STACKED], TITANIUM, STRONG),
    "high-feed-inserts-in-hardened-steel": Job(LAYERS, STEP | {"depth": 15}, [HIGH_FEED], HARD, STRONG),
}
SPEAKS_AGAINST = {
    "helix-takes-far-too-long": Job(
        BORING, hole(22, 60), [solid(16, 63, ZEFP=4, substrate="hss")], STAINLESS, spindle((2000, 1.5), (8000, 2.2))
    ),
    "helix-of-very-many-turns": Job(
        BORING, hole(12, 60, flat_floor=True), [solid(10, 22, LU=64, LPR=70, DN=9.4)], PRE_HARDENED, STRONG
    ),
    "insert-drill-in-tough-material-without-coolant-through": Job(
        DRILLING, hole(20, 30), [short_drill(20, 60, ZEFP=1)], STAINLESS, STRONG | {"coolant": ["flood", "air"]}
    ),
    "slanting-edge-on-a-narrow-strip": Job(LAYERS, STEP | {"width": 1.5, "depth": 12}, [HIGH_FEED], STEEL, STRONG),
    "insert-drill-without-coolant-through": Job(
        DRILLING, hole(20, 50), [short_drill(20, 60, ZEFP=1)], STEEL, STRONG | {"coolant": ["flood", "air"]}
    ),
    "loops-out-of-a-narrow-hole": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=4), drill(12.5)], STAINLESS, entry="predrilled_hole"
    ),
    "drill-short-of-feed-where-it-hardens": Job(
        DRILLING, hole(16, 30, purpose="clearance"), [drill(16)], STAINLESS, spindle((2000, 4.1), (8000, 5))
    ),
    "insert-drill-short-of-feed": Job(
        DRILLING, hole(20, 30), [short_drill(20, 60, ZEFP=1)], STEEL, spindle((300, 2.6), (6000, 2.6))
    ),
    "narrow-bore-is-burnished": Job(
        LAYERS, hole(8, 6), [solid(6, 13, ZEFP=4), drill(7)], STAINLESS, entry="predrilled_hole"
    ),
    "aluminium-drilled-deep-without-liquid": Job(
        DRILLING, hole(12, 40), [drill(12)], ALUMINIUM, EVERYDAY | {"coolant": ["air"]}
    ),
    "wide-cut-in-aluminium-without-coolant": Job(
        RAMPED, SLOT | {"width": 12.5}, [solid(12, 26)], ALUMINIUM, EVERYDAY | {"coolant": ["none"]}
    ),
    "steel-drilled-deep-without-liquid": Job(
        DRILLING, hole(12, 40), [drill(12)], STEEL, EVERYDAY | {"coolant": ["air"]}
    ),
    "radius-fills-the-wall": Job(CLEARING, STEP | {"width": 10, "depth": 3}, [solid(20, 45, ZEFP=5, RE=3)], TITANIUM),
    "hard-material-wide-layers": Job(LAYERS, OPEN | {"depth": 10}, [solid(16, 32)], TITANIUM),
    "hard-steel-in-thin-layers": Job(
        LAYERS, OPEN | {"depth": 1.5}, [solid(10, 22, ZEFP=6, RE=1, TMC1ISO="H")], VERY_HARD
    ),
    "many-levels-in-layers": Job(LAYERS, POCKET, [solid(12, 36, ZEFP=4)], STEEL),
    "many-levels-beside-a-thin-wall": Job(
        LAYERS,
        POCKET | {"width": 40, "depth": 24, "thinnest_wall": 2.2},
        [solid(12, 36, ZEFP=5)],
        STEEL,
        EVERYDAY | {"spindle": {"speed": [1200, 6000, 12000], "power": [1.2, 1.45, 1.45]}},
    ),
    "side-cut-nearly-bends": Job(
        "plunge_roughing", STEP | {"width": 8, "depth": 60}, [solid(8, 20, LU=64, LPR=72, DN=7.5)], STEEL
    ),
    "hard-material-at-full-width": Job(RAMPED, SLOT | {"width": 18.5}, [solid(12, 26, ZEFP=4)], TITANIUM),
    "too-many-teeth-for-short-chips": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=5)], "CW614N"),
    "too-narrow-for-the-region": Job(CLEARING, POCKET | {"length": 300, "width": 200}, [solid(12, 32)]),
    "floor-bends-too-far": Job(
        LAYERS, SHALLOW | {"floor_thickness": 0.8, "allowance_bottom": 0.1}, [solid(12, 32)], STEEL
    ),
    "drill-ground-for-another-group": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=4), short_drill(13, 65, TMC1ISO="N")], STEEL, entry="predrilled_hole"
    ),
    "high-speed-steel-drill-in-nickel": Job(DRILLING, hole(12, 20), [HSS], "UNS N06625"),
    "high-speed-steel-in-pre-hardened-steel": Job(DRILLING, hole(12, 20), [HSS], PRE_HARDENED),
    "high-speed-steel-hole-in-pre-hardened-steel": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=4), HSS], PRE_HARDENED, entry="predrilled_hole"
    ),
    "high-speed-steel-hole-in-nickel": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=4), HSS], "UNS N06625", entry="predrilled_hole"
    ),
    "solid-cutter-in-a-step": Job("face_milling", STEP, [solid(20, 38, ZEFP=4)], STEEL, STRONG),
    "too-many-levels-for-engagement": Job(CLEARING, OPEN | {"depth": 40}, [solid(12, 8, LU=42, LPR=50, DN=11)]),
    "stacked-inserts-in-the-wrong-material": Job(CLEARING, WALL, [STACKED], SUPERALLOY, STRONG),
    "stacked-inserts-off-their-ground": Job(CLEARING, OPEN, [STACKED], STEEL, STRONG),
    "stacked-inserts-want-torque": Job(CLEARING, WALL, [STACKED], ALUMINIUM, spindle((4000, 15), (12000, 15))),
    "many-levels-with-inserts": Job(LAYERS, STEP | {"depth": 120}, [inserted(25, LU=130, LPR=140)], STEEL, STRONG),
    "pocket-is-no-slot": Job(
        RAMPED, POCKET | {"length": 40, "width": 15, "depth": 6}, [solid(12, 26)], entry="zigzag_ramp"
    ),
    "bore-too-narrow": Job(BORING, hole(14, 20), [solid(12, 26)]),
    "drill-leaves-much": Job(DRILLING, hole(15, 20), [drill(12)]),
    "drill-leaves-much-in-a-wide-hole": Job(DRILLING, hole(40, 20), [drill(26)], machine=STRONG),
    "high-feed-steps-on-a-face": Job(
        "face_milling", {"kind": "planar_face", "length": 200, "width": 50, "depth": 3}, [HIGH_FEED], STAINLESS, STRONG
    ),
    "tap-hole-drilled-narrow": Job(DRILLING, hole(12.2, 20, purpose="thread"), [drill(12)]),
    "stainless-drilled-without-flood": Job(DRILLING, hole(12, 20), [drill(12)], STAINLESS, BLOWN),
    "high-speed-steel-drills-without-coolant": Job(DRILLING, hole(12, 20), [HSS], STEEL, BLOWN),
    "hole-drilled-without-flood-in-stainless": Job(
        CLEARING, POCKET | {"depth": 30}, [solid(12, 36, ZEFP=4), drill(13)], STAINLESS, BLOWN, "predrilled_hole"
    ),
    "skin-in-a-hole-not-milled-again": Job(BORING, through(12, 20, 1) | {"purpose": "thread"}, [solid(8, 30)]),
    "drill-leaves-no-allowance": Job(DRILLING, hole(12.2, 20), [drill(12)]),
    "cutter-too-limp": Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STAINLESS),
    "many-teeth-along-a-slot": Job(RAMPED, SLOT, [solid(12, 26, ZEFP=6)], STEEL, entry="zigzag_ramp"),
    "face-mill-too-limber": Job(
        "face_milling",
        {"kind": "planar_face", "length": 200, "width": 40, "depth": 3},
        [LIMBER],
        STEEL,
        STRONG,
    ),
    "too-many-teeth-at-full-width": Job(LAYERS, SLOT, [solid(12, 26, ZEFP=5)], STEEL),
    "deep-slot-packs-chips": Job(
        RAMPED, SLOT | {"depth": 61}, [solid(12, 12, LU=64, LPR=66, DN=11.5)], STEEL, STRONG, "zigzag_ramp"
    ),
    "inserted-cutter-too-small": Job(LAYERS, STEP, [inserted(12)], STEEL, STRONG),
    "edge-rubs": Job(LAYERS, STEP | {"width": 0.06, "depth": 1}, [solid(3, 8)], STEEL),
    "too-many-teeth-for-wide-layers": Job(LAYERS, OPEN | {"depth": 6}, [solid(16, 26, ZEFP=6)], STEEL),
    "high-feed-edge-in-soft-material": Job(LAYERS, STEP, [HIGH_FEED]),
    "too-long-to-plunge": Job("plunge_roughing", STEP | {"depth": 42}, [solid(3, 44)]),
    "helix-has-room": Job(CLEARING, POCKET, [solid(12, 32)], entry="zigzag_ramp"),
    "no-flood-for-titanium-and-nickel": Job(
        CLEARING, POCKET, [solid(12, 32)], TITANIUM, EVERYDAY | {"coolant": ["air"]}, "helical_ramp"
    ),
    "cutter-ramps-badly": Job(CLEARING, POCKET, [solid(12, 32, RMPX=0.5)], entry="helical_ramp"),
    "slot-too-narrow-to-loop": Job(CLEARING, SLOT, [solid(12, 26)]),
    "island-too-close-to-pass-evenly": Job(
        CLEARING, POCKET | {"length": 200, "width": 60, "island": 32}, [solid(12, 36)]
    ),
    "axes-too-slow-to-loop": Job(CLEARING, SLOT | {"width": 17}, [solid(12, 26)], machine=SLUGGISH),
    "hole-more-point-than-diameter": Job(
        LAYERS, POCKET | {"depth": 4}, [solid(12, 32), drill(13)], entry="predrilled_hole"
    ),
    "foot-is-much-of-the-wall": Job(LAYERS, STEP | {"depth": 4}, [HIGH_FEED], STEEL, STRONG),
    "whole-width-beside-a-thin-wall": Job(
        RAMPED,
        SLOT | {"width": 36, "thinnest_wall": 1.5, "allowance_side": 2},
        [solid(32, 40, ZEFP=3)],
        entry="zigzag_ramp",
    ),
    "hole-short-of-feed": Job(
        LAYERS, POCKET, [solid(16, 38, ZEFP=4), drill(19.7)], STEEL, spindle((2000, 6), (8000, 8)), "predrilled_hole"
    ),
    "insert-drill-of-the-way-in-short-of-feed": Job(
        LAYERS,
        POCKET,
        [solid(16, 38, ZEFP=4), short_drill(19.7, 60, ZEFP=1)],
        STEEL,
        spindle((300, 3), (8000, 3)) | {"coolant": ["flood", "through"]},
        "predrilled_hole",
    ),
    "insert-drill-of-the-way-in-without-coolant-through": Job(
        CLEARING,
        POCKET | {"depth": 50},
        [solid(16, 60, ZEFP=4), short_drill(19.7, 80, ZEFP=1)],
        STEEL,
        STRONG | {"coolant": ["flood", "air"]},
        "predrilled_hole",
    ),
    "drill-leaves-a-cone": Job(DRILLING, hole(13.5, 30, flat_floor=True), [drill(12)]),
    "slot-cut-to-size": Job(RAMPED, SLOT | {"width": 12.1}, [solid(12, 26)], entry="zigzag_ramp"),
    "too-many-teeth-for-aluminium": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4)]),
    "ground-for-another-group": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4, TMC1ISO="H")], STEEL),
    "polished-edge-in-another-group": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4, COATING="polished")], STEEL),
    "coating-for-soft-material": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4, COATING="dlc")], STEEL),
    "plunge-is-last": Job(LAYERS, POCKET, [solid(12, 32)], entry="axial_plunge"),
    "drill-short-of-feed": Job(
        DRILLING, hole(19.7, 30, purpose="clearance"), [drill(19.7)], STEEL, spindle((2000, 6), (8000, 8))
    ),
    "small-edge-angle-over-a-thin-floor": Job(
        LAYERS, POCKET | {"depth": 20, "floor_thickness": 1.5}, [HIGH_FEED], STEEL, STRONG
    ),
    "hard-push-on-a-thin-wall": Job(LAYERS, STEP | {"thinnest_wall": 1.0, "depth": 20}, [solid(20, 38, ZEFP=5)], STEEL),
    "inserts-beside-a-very-thin-wall": Job(LAYERS, STEP | {"thinnest_wall": 1.5}, [inserted(16)]),
    "slope-on-a-wall-cut-to-size": Job(LAYERS, STEP | {"depth": 30, "allowance_side": 0}, [HIGH_FEED], STEEL, STRONG),
    "fillet-that-another-cutter-would-not-leave": Job(
        CLEARING,
        WALL | {"clearance_below": 1.6},
        [STACKED.model_copy(update={"RE": 3.0}), inserted(40, LU=76, LPR=105)],
        TITANIUM,
        STRONG,
    ),
    "insert-drill-runs-dry": Job(DRILLING, hole(20, 20), [short_drill(20, 40, ZEFP=1)], STEEL, BLOWN),
    "deep-pocket-in-aluminium-without-coolant": Job(
        CLEARING, POCKET, [solid(12, 36)], ALUMINIUM, EVERYDAY | {"coolant": ["none"]}, "helical_ramp"
    ),
    "pass-inside-the-skin": Job(
        CLEARING, STEP | {"width": 30, "depth": 10, "stock_wall": 2.5, "stock_floor": 0}, [solid(4, 14, ZEFP=4)], IRON
    ),
    "drill-wanders-in-an-opening": Job(
        DRILLING,
        through(20, 30, 20) | {"purpose": "mill", "allowance_side": 0.5, "stock_wall": 4},
        [short_drill(19, 95, substrate="hss")],
        IRON,
    ),
    "plate-too-thin-for-the-drill": Job(DRILLING, through(13.5, 1.5, 10), [drill(12)], STEEL),
}
FORBIDS = {
    "insert-drill-jams-in-tough-material": Job(
        DRILLING, hole(20, 50), [short_drill(20, 60, ZEFP=1)], STAINLESS, STRONG | {"coolant": ["flood", "air"]}
    ),
    "insert-drill-of-the-way-in-runs-dry": Job(
        LAYERS,
        SHALLOW,
        [solid(20, 40, ZEFP=4), short_drill(22, 60, ZEFP=1)],
        STEEL,
        STRONG | {"coolant": ["air"]},
        "predrilled_hole",
    ),
    "short-edges-at-full-depth": Job(CLEARING, STEP, [inserted(25, APMX=9)], STEEL),
    "no-ramp-beside-one-wall": Job(RAMPED, OPEN | {"open_sides": 3}, [solid(12, 32)]),
    "drill-inserts-no-data-for-hard": Job(DRILLING, hole(20, 20), [INDEXABLE], VERY_HARD),
    "drill-breaks-in-hardened-steel": Job(DRILLING, hole(12, 20), [drill(12)], VERY_HARD),
    "hole-breaks-a-drill-in-hardened-steel": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=6, TMC1ISO="H"), drill(13)], VERY_HARD, entry="predrilled_hole"
    ),
    "cut-too-narrow-to-be-one": Job(
        CLEARING,
        {"kind": "slot", "length": 10, "width": 0.9, "depth": 0.6, "floor": True, "open_ends": 1},
        [solid(0.5, 1.2, ZEFP=6, RE=0.02, DCONMS=3, LPR=10)],
        HARD,
        entry="side_entry",
    ),
    "too-long-for-side-cutting": Job(CLEARING, STEP, [solid(6, 14, LPR=65)]),
    "no-drill-for-the-bore": Job(BORING, hole(40, 20), [solid(12, 26)], entry="predrilled_hole"),
    "plunge-into-hard-material": Job(LAYERS, POCKET, [solid(12, 32, ZEFP=6)], HARD, entry="axial_plunge"),
    "high-speed-steel-drill-in-aged-nickel": Job(DRILLING, hole(12, 20), [HSS], SUPERALLOY),
    "high-speed-steel-hole-in-aged-nickel": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=4), HSS], SUPERALLOY, entry="predrilled_hole"
    ),
    "bore-leaves-a-core": Job(BORING, hole(40, 20), [solid(12, 26)], entry="helical_ramp"),
    "deeper-than-the-flutes": Job(DRILLING, hole(13.5, 30), [short_drill(12, 25, LU=60, LPR=70)]),
    "spindle-overloaded": Job(DRILLING, hole(2, 6), [drill(2)], STAINLESS, spindle((2000, 0.01), (8000, 0.01))),
    "drill-rubs-at-so-little-feed": Job(DRILLING, hole(20, 30), [drill(19.7)], STEEL, spindle((2000, 3), (8000, 4))),
    "hole-drilled-with-a-rub": Job(
        LAYERS, POCKET, [solid(16, 38, ZEFP=4), drill(19.7)], STEEL, spindle((2000, 3), (8000, 4)), "predrilled_hole"
    ),
    "shoulder-needs-a-square-edge": Job("face_milling", STEP, [inserted(25, KAPR=45)], STEEL, STRONG),
    "soft-edge-in-hardened-steel": Job(CLEARING, STEP, [solid(12, 32, TMC1ISO="N")], HARD),
    "edge-breaks-in-hardened-steel": Job(CLEARING, STEP, [solid(12, 32, TMC1ISO="P M K")], "100Cr6 hardened"),
    "high-feed-inserts-too-hard": Job(LAYERS, STEP, [HIGH_FEED], "100Cr6 hardened"),
    "high-speed-steel-in-hard-material": Job(CLEARING, STEP, [solid(12, 32, substrate="hss")], HARD),
    "cutter-does-not-fit": Job(CLEARING, OPEN | {"width": 18, "depth": 20}, [solid(20, 40)]),
    "cutter-cannot-ramp": Job(LAYERS, SHALLOW, [inserted(20, LU=50, RMPX=None)], STEEL, entry="helical_ramp"),
    "no-length-to-ramp": Job(CLEARING, POCKET | {"length": 20, "width": 20}, [solid(12, 32)], entry="zigzag_ramp"),
    "slot-too-short-to-ramp": Job(RAMPED, SHORT_POCKET, [solid(12, 26)], entry="zigzag_ramp"),
    "drill-point-hits-what-lies-beneath": Job(DRILLING, through(13.5, 20, 2), [drill(12)]),
    "drill-point-has-little-room": Job(DRILLING, through(13.5, 20, 2.8), [drill(12)]),
    "drill-point-comes-through-the-floor": Job(DRILLING, hole(13.5, 20, floor_thickness=4), [drill(12)]),
    "drill-leaves-nothing-to-finish": Job(DRILLING, hole(12, 20, purpose="ream"), [drill(12)]),
    "drill-holder-hits": Job(DRILLING, hole(13.5, 48), [short_drill(12, 51, LPR=51)]),
    "holder-of-the-drill-hits": Job(
        CLEARING, POCKET, [solid(12, 32), short_drill(13, 30, LPR=30)], entry="predrilled_hole"
    ),
    "hole-no-deeper-than-its-point": Job(
        LAYERS, POCKET | {"depth": 2.5}, [solid(12, 32), drill(13)], entry="predrilled_hole"
    ),
    "hole-over-a-thin-floor": Job(
        CLEARING, POCKET | {"floor_thickness": 1.5}, [solid(12, 32), drill(13)], entry="predrilled_hole"
    ),
    "hole-overloads-the-spindle": Job(
        LAYERS,
        POCKET | {"depth": 5},
        [solid(2, 6), drill(2.2)],
        STAINLESS,
        spindle((2000, 0.01), (8000, 0.01)),
        "predrilled_hole",
    ),
    "no-drill-for-the-hole": Job(CLEARING, POCKET, [solid(12, 32)], entry="predrilled_hole"),
    "drill-too-short-for-the-hole": Job(
        CLEARING, POCKET | {"top": 8}, [solid(12, 38), short_drill(13, 33, LPR=60)], entry="predrilled_hole"
    ),
    "hole-too-narrow": Job(
        RAMPED, POCKET | {"width": 14, "length": 40, "depth": 10}, [solid(12, 32), drill(14)], entry="predrilled_hole"
    ),
    "helix-leaves-a-core": Job(LAYERS, SHALLOW, [inserted(20, LU=50, dead_centre=18.5)], STEEL, entry="helical_ramp"),
    "bore-leaves-a-core-under-the-cutter": Job(
        BORING, hole(28, 10), [inserted(20, LU=50)], STEEL, entry="helical_ramp"
    ),
    "hole-leaves-a-core": Job(BORING, hole(40, 20), [solid(12, 26), drill(18)], entry="predrilled_hole"),
    "high-speed-steel-hole-in-hard-material": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=6), HSS], HARD, entry="predrilled_hole"
    ),
    "dead-centre-meets-the-cone": Job(
        LAYERS, SHALLOW, [inserted(20, LU=50, RMPX=None), drill(22)], STEEL, entry="predrilled_hole"
    ),
    "plunge-onto-a-thin-floor": Job(
        "plunge_roughing", OPEN | {"depth": 40, "floor_thickness": 1}, [solid(8, 20, LU=60, LPR=70, DN=7)], STEEL
    ),
    "plunge-into-a-thin-floor": Job(
        LAYERS, SHALLOW | {"floor_thickness": 1}, [solid(12, 32)], STEEL, entry="axial_plunge"
    ),
    "first-plunge-jams-the-chips": Job(
        "plunge_roughing",
        POCKET | {"depth": 70},
        [solid(20, 75, LU=80, LPR=100, substrate="hss")],
        STEEL,
        entry="axial_plunge",
    ),
    "no-end-cutting": Job(LAYERS, SHALLOW, [inserted(20, LU=50)], STEEL, entry="axial_plunge"),
    "side-cut-holds": Job("plunge_roughing", STEP, [solid(12, 32)], STEEL),
    "round-hole-hardly-wider": Job(LAYERS, hole(14, 20), [solid(12, 26)]),
    "bore-all-but-full": Job(BORING, hole(13.1, 20, allowance_side=0.1), [solid(12, 26)]),
    "hole-is-the-round-hole": Job(
        LAYERS, hole(14, 20, allowance_side=0.4), [solid(11, 26), drill(13)], entry="predrilled_hole"
    ),
    "tap-hole-drilled-too-narrow": Job(DRILLING, hole(14, 20, purpose="thread"), [drill(12)]),
    "ream-hole-drilled-far-too-narrow": Job(DRILLING, hole(12, 20, purpose="ream"), [drill(10.2)]),
    "drill-wider-than-the-hole": Job(DRILLING, hole(12, 20, purpose="thread"), [drill(13)]),
    "drill-wider-than-the-finished-hole": Job(DRILLING, hole(12, 20, purpose="ream"), [drill(13)]),
    "stainless-drilled-deep-without-coolant": Job(DRILLING, hole(12, 40), [drill(12)], STAINLESS, BLOWN),
    "hole-drilled-dry-in-stainless": Job(
        CLEARING, POCKET | {"depth": 45}, [solid(12, 48, ZEFP=4), drill(13)], STAINLESS, BLOWN, "predrilled_hole"
    ),
    "hole-drilled-dry-with-high-speed-steel": Job(
        CLEARING, POCKET | {"depth": 52}, [solid(11, 55, ZEFP=4), HSS], STEEL, BLOWN, "predrilled_hole"
    ),
    "drill-makes-a-pilot-hole": Job(DRILLING, hole(30, 30), [drill(12)]),
    "slot-too-wide-to-ramp": Job(RAMPED, SLOT | {"width": 26}, [solid(12, 26)]),
    "inserts-no-data-for-hard": Job(LAYERS, STEP, [inserted(25)], HARD),
    "helix-leaves-nothing-to-clear": Job(CLEARING, hole(20, 20), [solid(12, 26)], entry="helical_ramp"),
}

HURTS = {
    "part-comes-loose": Job(CLEARING, WALL | {"depth": 20, "stock_side": None}, [solid(12, 32)]),
    "part-comes-loose-under-a-heavy-cut": Job(CLEARING, WALL | {"stock_side": None}, [STACKED], STEEL, STRONG),
    "skin-too-weak-for-this-cut": Job(
        CLEARING, WALL | {"stock_side": None, "clearance_below": 0}, [STACKED], STEEL, STRONG
    ),
    "part-falls-in-two": Job(
        CLEARING,
        {
            "kind": "slot",
            "length": 150,
            "width": 24,
            "depth": 20,
            "floor": False,
            "open_ends": 2,
            "clearance_below": 10,
        },
        [solid(12, 32)],
    ),
    "small-middle-comes-loose": Job(CLEARING, WINDOW | {"island": 15}, [solid(10, 32)]),
    "marked-speed": Job(LAYERS, STEP, [inserted(25)], STEEL, STRONG),
    "middle-comes-loose": Job(CLEARING, WINDOW, [solid(12, 32)]),
    "drill-shank-beside-higher-stock": Job(DRILLING, hole(13.5, 30, top=25), [short_drill(12, 50, LPR=70, DCONMS=14)]),
    "insert-drill-pushes-out-a-disc": Job(
        DRILLING, through(25, 20, 10), [short_drill(24, 60, LPR=80, ZEFP=1)], STEEL, STRONG
    ),
    "drill-breaks-through": Job(DRILLING, through(13.5, 20, 3.5), [drill(12)]),
    "drill-pushes-and-turns-the-part": Job(DRILLING, hole(13.5, 20), [drill(12)], STEEL),
    "drill-for-the-way-in-pushes-down": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=4), drill(13)], STEEL, entry="predrilled_hole"
    ),
    "collar-of-the-shank": Job(CLEARING, WALL | {"depth": 75}, [solid(20, 40, LU=45, LPR=88, DCONMS=18, DN=18)]),
}
SPOILS = {
    "reaming-in-hardened-steel": Job(
        BORING, hole(20, 20, purpose="ream"), [solid(12, 26, ZEFP=6, TMC1ISO="H")], VERY_HARD
    ),
    "shank-close-to-the-wall": Job(CLEARING, POCKET, [solid(12, 20, LU=40, LPR=45)], STEEL),
    "another-group-does-in-brass": Job(CLEARING, OPEN, [solid(12, 32, TMC1ISO="P M K")], "CW614N"),
    "foot-of-the-wall-left": Job(LAYERS, STEP | {"depth": 30}, [HIGH_FEED], STEEL, STRONG),
    "little-room-beneath": Job(CLEARING, THROUGH | {"clearance_below": 1.9}, [solid(12, 36)]),
    "deep-hole-packs-chips": Job(DRILLING, hole(12, 60), [short_drill(12, 80)], STEEL),
    "deep-way-in-packs-chips": Job(
        CLEARING, POCKET | {"depth": 60}, [solid(12, 62), short_drill(13, 90)], STEEL, entry="predrilled_hole"
    ),
    "hole-is-drilled-before-hardening": Job(
        DRILLING, hole(12, 20, purpose="clearance"), [short_drill(12, 70, TMC1ISO="H")], "X153CrMoV12 hardened"
    ),
    "high-speed-steel-drill-in-titanium": Job(DRILLING, hole(12, 20), [HSS], TITANIUM),
    "little-reach-left": Job(CLEARING, POCKET, [solid(12, 29.6, LU=30)], STEEL),
    "built-up-edge-dry": Job(CLEARING, POCKET, [solid(12, 32)], machine=EVERYDAY | {"coolant": ["air"]}),
    "dead-centre-over-the-cone": Job(
        LAYERS, POCKET | {"depth": 20}, [inserted(20, LU=50, dead_centre=8), drill(22)], STEEL, entry="predrilled_hole"
    ),
    "few-teeth-in-hardened-steel": Job(CLEARING, STEP, [solid(12, 32, ZEFP=4)], HARD),
    "aluminium-in-the-coating": Job(CLEARING, OPEN, [solid(12, 32, COATING="altin")]),
    "deep-slot-in-thin-levels": Job(
        RAMPED, SLOT | {"depth": 38}, [solid(12, 12, ZEFP=4, LU=40, LPR=44, DN=11.5)], STEEL, entry="zigzag_ramp"
    ),
    "loops-are-a-close-call": Job(CLEARING, SLOT | {"width": 17}, [solid(12, 26)]),
    "cutter-held-back": Job(CLEARING, DEEP, [solid(12, 66, ZEFP=4)], STEEL),
    "cap-under-the-hole": Job(
        CLEARING,
        THROUGH | {"clearance_below": 2},
        [solid(12, 36, ZEFP=4), drill(13)],
        STEEL,
        entry="predrilled_hole",
    ),
    "hole-past-the-bottom": Job(CLEARING, THROUGH, [solid(12, 36, ZEFP=4), drill(13)], STEEL, entry="predrilled_hole"),
    "way-in-takes-much-in-hard-steel": Job(
        CLEARING, POCKET | {"length": 50, "width": 30}, [solid(12, 32, ZEFP=6)], HARD
    ),
    "cutter-held-back-at-size": Job(CLEARING, DEEP | {"allowance_side": 0}, [solid(12, 66, ZEFP=4)], STEEL),
    "cutter-stays-out-of-the-corner": Job(CLEARING, POCKET | {"corner_radius": 6.2}, [solid(12, 32)]),
}
ROUND_A_HOLE = Job(BORING, hole(30, 20), [solid(16, 26), drill(18)], entry="predrilled_hole")
TO_BE_CHANGED = {
    "high-speed-steel-drills-deep-without-coolant": Job(DRILLING, hole(12, 50), [HSS], STEEL, BLOWN),
    "drill-leaves-a-cut-more-to-bore": Job(DRILLING, hole(28, 40, purpose="bore"), [drill(25)], STEEL, STRONG),
    "cutter-bends-at-size": Job(CLEARING, LIMP | {"allowance_side": 0}, [solid(6, 32, LU=34, LPR=41)], STAINLESS),
    "too-long-for-wide-cuts": Job(LAYERS, STEP, [solid(6, 14, LPR=65)]),
    "wide-layers-beside-a-thin-wall": Job(LAYERS, POCKET | {"depth": 28, "thinnest_wall": 1.8}, [solid(16, 38)]),
}
# Of 38 mm the cutter opens the top 2 mm alone, in one level; the rest stays for another process.
TOP_OF_A_DEEP_SLOT = SPOILS["deep-slot-in-thin-levels"]._replace(feature=SLOT | {"depth": 38, "allowance_bottom": 36})
INSERTS_IN_HARD = Job(LAYERS, STEP, [inserted(25, TMC1ISO="P M K")], HARD, STRONG)
TOLD_ONCE = {  # the rule that stands, what else fires there and is left out
    ("inserts-chip-in-hardened-steel", "ground-for-another-group"): INSERTS_IN_HARD,
    ("inserts-chip-in-hardened-steel", "inserts-no-data-for-hard"): INSERTS_IN_HARD,
    ("cutter-bends-at-size", "cutter-too-limp"): TO_BE_CHANGED["cutter-bends-at-size"],
    ("drill-leaves-a-cut-more-to-bore", "drill-leaves-much"): TO_BE_CHANGED["drill-leaves-a-cut-more-to-bore"],
    ("drill-leaves-a-cut-more-to-bore", "drill-leaves-much-in-a-wide-hole"): TO_BE_CHANGED[
        "drill-leaves-a-cut-more-to-bore"
    ]._replace(feature=hole(31.5, 40, purpose="bore"), crib=[drill(29)]),
    ("bore-all-but-full", "bore-too-narrow"): FORBIDS["bore-all-but-full"],
    ("drill-rubs-at-so-little-feed", "drill-short-of-feed"): FORBIDS["drill-rubs-at-so-little-feed"],
    ("spindle-overloaded", "drill-short-of-feed"): FORBIDS["spindle-overloaded"],
    ("spindle-overloaded", "drill-rubs-at-so-little-feed"): FORBIDS["spindle-overloaded"]._replace(
        feature=hole(1.5, 4.5), crib=[drill(1.5)]
    ),
    ("hole-drilled-with-a-rub", "hole-short-of-feed"): FORBIDS["hole-drilled-with-a-rub"],
    ("hole-overloads-the-spindle", "hole-short-of-feed"): FORBIDS["hole-overloads-the-spindle"],
    ("hole-overloads-the-spindle", "hole-drilled-with-a-rub"): FORBIDS["hole-overloads-the-spindle"]._replace(
        crib=[solid(1.5, 6), drill(1.65)]
    ),
    ("soft-edge-in-hardened-steel", "ground-for-another-group"): FORBIDS["soft-edge-in-hardened-steel"],
    ("edge-breaks-in-hardened-steel", "ground-for-another-group"): FORBIDS["edge-breaks-in-hardened-steel"],
    ("plunge-into-hard-material", "plunge-is-last"): FORBIDS["plunge-into-hard-material"],
    ("drill-leaves-nothing-to-finish", "drill-leaves-no-allowance"): FORBIDS["drill-leaves-nothing-to-finish"],
    ("ream-hole-drilled-far-too-narrow", "drill-leaves-much"): FORBIDS["ream-hole-drilled-far-too-narrow"],
    ("ream-hole-drilled-far-too-narrow", "drill-leaves-much-in-a-wide-hole"): FORBIDS[
        "ream-hole-drilled-far-too-narrow"
    ]._replace(feature=hole(40, 20, purpose="ream"), crib=[drill(26)], machine=STRONG),
    ("tap-hole-drilled-too-narrow", "tap-hole-drilled-narrow"): FORBIDS["tap-hole-drilled-too-narrow"],
    ("tap-hole-drilled-too-narrow", "drill-leaves-much-in-a-wide-hole"): FORBIDS[
        "tap-hole-drilled-too-narrow"
    ]._replace(feature=hole(40, 20, purpose="thread"), crib=[drill(26)], machine=STRONG),
    ("stainless-drilled-deep-without-coolant", "stainless-drilled-without-flood"): FORBIDS[
        "stainless-drilled-deep-without-coolant"
    ],
    ("hole-drilled-dry-in-stainless", "hole-drilled-without-flood-in-stainless"): FORBIDS[
        "hole-drilled-dry-in-stainless"
    ],
    ("high-speed-steel-drills-deep-without-coolant", "high-speed-steel-drills-without-coolant"): TO_BE_CHANGED[
        "high-speed-steel-drills-deep-without-coolant"
    ],
    ("high-speed-steel-drill-in-aged-nickel", "high-speed-steel-drill-in-nickel"): FORBIDS[
        "high-speed-steel-drill-in-aged-nickel"
    ],
    ("high-speed-steel-hole-in-aged-nickel", "high-speed-steel-hole-in-nickel"): FORBIDS[
        "high-speed-steel-hole-in-aged-nickel"
    ],
    ("round-the-drilled-hole", "down-the-drilled-hole"): ROUND_A_HOLE,
    ("round-the-drilled-hole", "hole-spares-the-cutter"): ROUND_A_HOLE._replace(material=TITANIUM),
    ("helix-below-the-hole", "down-the-drilled-hole"): SPOILS["dead-centre-over-the-cone"]._replace(
        machine=EVERYDAY | {"tool_change": 3600}  # so that the hole saves no time
    ),
    ("helix-below-the-hole", "hole-saves-time"): SPOILS["dead-centre-over-the-cone"],
    ("dead-centre-over-the-cone", "no-end-teeth-in-the-hole"): SPOILS["dead-centre-over-the-cone"],
    ("deep-slot-in-thin-levels", "chips-packed"): SPOILS["deep-slot-in-thin-levels"],
    ("deep-slot-in-thin-levels", "chips-packed-in-one-go"): TOP_OF_A_DEEP_SLOT,
    ("deep-slot-in-thin-levels", "chips-taken-out-on-the-way"): TOP_OF_A_DEEP_SLOT._replace(material="AZ91"),
    ("rest-on-walls-round-an-island", "slot-rest-on-walls"): Job(
        RAMPED,
        POCKET | {"length": 80, "width": 60, "depth": 12, "island": 30, "island_length": 50},
        [solid(12, 26)],
    ),
    ("cutter-held-back-at-size", "cutter-held-back"): SPOILS["cutter-held-back-at-size"],
    ("plunged-beside-the-material", "in-from-the-open-end"): Job(
        "plunge_roughing", SLOT | {"open_ends": 2, "depth": 40}, [solid(12, 42)], STEEL
    ),
    ("thin-wall-in-layers", "many-levels-beside-a-thin-wall"): Job(
        LAYERS, POCKET | {"thinnest_wall": 2.2, "depth": 33}, [solid(16, 36)], STEEL
    ),
}
