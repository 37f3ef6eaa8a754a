"""Small jobs, each with a way that one rule alone makes what it is."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from small_jobs import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, inserted, job, solid

from advisor.inputs import Cutter, make_cutter
from advisor.reasoning.advice import advise
from advisor.reasoning.bench import Bench, bench_of
from advisor.reasoning.candidates import Candidate

STAINLESS, TITANIUM, SUPERALLOY, HARD = "X5CrNi18-10", "Ti-6Al-4V", "UNS N07718", "X38CrMoV5-1 hardened"
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
SLUGGISH = EVERYDAY | {"axis_acceleration": 0.05}
STACKED = make_cutter(id="S50", body="inserted_stacked_mill", DC=50, APMX=70, ZEFP=4, LU=76, LPR=105, DN=47)
HIGH_FEED = make_cutter(
    id="HF25", body="inserted_high_feed_mill", DC=25, APMX=1.5, LU=50, LPR=60, DN=24, RMPX=4, ZEFP=3, KAPR=15
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
    return make_cutter(id=f"D{DC:g}", body="drill", DC=DC, APMX=APMX, ZEFP=2, **more)


HSS = short_drill(12, 60, substrate="hss")


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
    "solid-cutter-in-a-step": Job("face_milling", STEP, [solid(20, 38, ZEFP=4)], STEEL, STRONG),
    "too-many-levels-for-engagement": Job(CLEARING, OPEN | {"depth": 40}, [solid(12, 8, LU=42, LPR=50, DN=11)]),
    "stacked-inserts-in-the-wrong-material": Job(CLEARING, WALL, [STACKED], SUPERALLOY, STRONG),
    "stacked-inserts-off-their-ground": Job(CLEARING, OPEN, [STACKED], STEEL, STRONG),
    "stacked-inserts-want-torque": Job(CLEARING, WALL, [STACKED], ALUMINIUM, spindle((4000, 15), (12000, 15))),
    "many-levels-with-inserts": Job(LAYERS, STEP | {"depth": 120}, [inserted(25, LU=130, LPR=140)], STEEL, STRONG),
    "bore-too-narrow": Job(BORING, hole(14, 20), [solid(12, 26)]),
    "drill-leaves-much": Job(DRILLING, hole(15, 20), [drill(12)]),
    "skin-in-a-hole-not-milled-again": Job(BORING, through(12, 20, 1) | {"purpose": "thread"}, [solid(8, 30)]),
    "drill-leaves-no-allowance": Job(DRILLING, hole(12.2, 20), [drill(12)]),
    "cutter-too-limp": Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STAINLESS),
    "too-many-teeth-at-full-width": Job(RAMPED, SLOT, [solid(12, 26, ZEFP=5)], STEEL, entry="zigzag_ramp"),
    "deep-slot-packs-chips": Job(RAMPED, SLOT | {"depth": 38}, [solid(12, 40)], STEEL, entry="zigzag_ramp"),
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
}
FORBIDS = {
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
    "drill-too-short": Job(DRILLING, hole(13.5, 30, top=25), [short_drill(12, 50, LPR=70)]),
    "cutter-cannot-ramp": Job(LAYERS, SHALLOW, [inserted(20, LU=50, RMPX=None)], STEEL, entry="helical_ramp"),
    "no-length-to-ramp": Job(CLEARING, POCKET | {"length": 20, "width": 20}, [solid(12, 32)], entry="zigzag_ramp"),
    "slot-too-short-to-ramp": Job(RAMPED, SHORT_POCKET, [solid(12, 26)], entry="zigzag_ramp"),
    "drill-point-hits-what-lies-beneath": Job(DRILLING, through(13.5, 20, 2), [drill(12)]),
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
        CLEARING, POCKET | {"floor_thickness": 2}, [solid(12, 32), drill(13)], entry="predrilled_hole"
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
    "no-end-cutting": Job(LAYERS, SHALLOW, [inserted(20, LU=50)], STEEL, entry="axial_plunge"),
}

HURTS = {
    "middle-comes-loose": Job(CLEARING, WINDOW, [solid(12, 32)]),
    "drill-breaks-through": Job(DRILLING, through(13.5, 20, 3.5), [drill(12)]),
    "drill-pushes-and-turns-the-part": Job(DRILLING, hole(13.5, 20), [drill(12)], STEEL),
    "drill-for-the-way-in-pushes-down": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=4), drill(13)], STEEL, entry="predrilled_hole"
    ),
    "collar-of-the-shank": Job(CLEARING, WALL | {"depth": 75}, [solid(20, 40, LU=45, LPR=88, DCONMS=18, DN=18)]),
}
SPOILS = {
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
}
TO_BE_CHANGED = {
    "high-speed-steel-drill-in-nickel": Job(DRILLING, hole(12, 20), [HSS], "UNS N06625"),
    "high-speed-steel-drill-in-aged-nickel": Job(DRILLING, hole(12, 20), [HSS], SUPERALLOY),
    "high-speed-steel-hole-in-nickel": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=4), HSS], "UNS N06625", entry="predrilled_hole"
    ),
    "high-speed-steel-hole-in-aged-nickel": Job(
        CLEARING, POCKET, [solid(11, 32, ZEFP=4), HSS], SUPERALLOY, entry="predrilled_hole"
    ),
    "drill-ground-for-another-group": Job(
        CLEARING, POCKET, [solid(12, 32, ZEFP=4), short_drill(13, 65, TMC1ISO="N")], STEEL, entry="predrilled_hole"
    ),
    "no-drill-for-the-bore": Job(BORING, hole(40, 20), [solid(12, 26)], entry="predrilled_hole"),
    "side-cut-holds": Job("plunge_roughing", STEP, [solid(12, 32)], STEEL),
    "slot-too-narrow-to-loop": Job(CLEARING, SLOT, [solid(12, 26)]),
    "axes-too-slow-to-loop": Job(CLEARING, SLOT | {"width": 17}, [solid(12, 26)], machine=SLUGGISH),
    "hard-material-wide-layers": Job(LAYERS, OPEN, [solid(16, 32)], TITANIUM),
    "hard-material-at-full-width": Job(RAMPED, SLOT | {"width": 20}, [solid(12, 26, ZEFP=6)], TITANIUM),
    "hole-more-point-than-diameter": Job(
        LAYERS, POCKET | {"depth": 4}, [solid(12, 32), drill(13)], entry="predrilled_hole"
    ),
    "cutter-bends-at-size": Job(CLEARING, LIMP | {"allowance_side": 0}, [solid(6, 32, LU=34, LPR=41)], STAINLESS),
    "foot-is-much-of-the-wall": Job(LAYERS, STEP | {"depth": 4}, [HIGH_FEED], STEEL, STRONG),
    "whole-width-beside-a-thin-wall": Job(
        RAMPED, SLOT | {"width": 36, "thinnest_wall": 1.5}, [solid(32, 40, ZEFP=3)], entry="zigzag_ramp"
    ),
    "drill-short-of-feed": Job(DRILLING, hole(20, 30), [drill(19.7)], STEEL, spindle((2000, 6), (8000, 8))),
    "hole-short-of-feed": Job(
        LAYERS, POCKET, [solid(16, 38, ZEFP=4), drill(19.7)], STEEL, spindle((2000, 6), (8000, 8)), "predrilled_hole"
    ),
    "round-hole-hardly-wider": Job(LAYERS, hole(14, 20), [solid(12, 26)]),
    "bore-all-but-full": Job(BORING, hole(13.1, 20, allowance_side=0.1), [solid(12, 26)]),
    "hole-is-the-round-hole": Job(
        LAYERS, hole(14, 20, allowance_side=0.4), [solid(11, 26), drill(13)], entry="predrilled_hole"
    ),
    "drill-makes-a-pilot-hole": Job(DRILLING, hole(30, 30), [drill(12)]),
    "drill-leaves-a-cone": Job(DRILLING, hole(13.5, 30, flat_floor=True), [drill(12)]),
    "slot-cut-to-size": Job(RAMPED, SLOT | {"width": 12.1}, [solid(12, 26)], entry="zigzag_ramp"),
    "slot-too-wide-to-ramp": Job(RAMPED, SLOT | {"width": 26}, [solid(12, 26)]),
    "too-many-teeth-for-aluminium": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4)]),
    "too-many-teeth-for-short-chips": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=5)], "CW614N"),
    "ground-for-another-group": Job(CLEARING, OPEN, [solid(12, 32, ZEFP=4, TMC1ISO="H")], STEEL),
    "inserts-no-data-for-hard": Job(LAYERS, STEP, [inserted(25)], HARD),
    "too-long-for-wide-cuts": Job(LAYERS, STEP, [solid(6, 14, LPR=65)]),
    "plunge-is-last": Job(LAYERS, POCKET, [solid(12, 32)], entry="axial_plunge"),
}
