"""What the review finds in plans that no shipped plan shows: an advised way with one setting that somebody changed."""

from typing import Any, NamedTuple

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.knowledge.shipped import rule_base
from advisor.model.cutter import make_cutter
from advisor.review.verdict import Review, review
from tests.jobs.judged import (
    BORING,
    CLEARING,
    DRILLING,
    FORBIDS,
    HIGH_FEED,
    HSS,
    LAYERS,
    LIMP,
    OPEN,
    POCKET,
    RAMPED,
    SHALLOW,
    SLOT,
    STAINLESS,
    STEP,
    THROUGH,
    TITANIUM,
    WINDOW,
    Job,
    hole,
    short_drill,
    spindle,
    through,
    way,
)
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, STRONG, drill, inserted, job, solid
from tests.review.planning import changed, plan_of, row

E12, E12HSS, E6LONG = solid(12, 36, ZEFP=4), solid(12, 32, ZEFP=4, substrate="hss"), solid(6, 32, LU=34, LPR=41)


FLAT = solid(12, 2, LU=40, LPR=50, DN=11, KAPR=15, ZEFP=4)
A50 = make_cutter(id="A50", body="inserted_face_mill", DC=50, APMX=6, ZEFP=5, LU=40, LPR=50)
FACE = {"kind": "planar_face", "length": 300, "width": 200, "depth": 2.5}
BORE: dict[str, Any] = {"kind": "round_hole", "diameter": 18, "depth": 5, "floor": True, "flat_floor": True}


class Told(NamedTuple):
    """How heavy a finding is, and a job whose advised way has it once some settings are changed."""

    weight: str
    job: Job
    changed: dict[str, Any]
    leaves_out: frozenset[str] = frozenset()


LEAVES_OUT = {
    "no-stock-left-on-the-walls": {"little-stock-on-the-walls"},
    "hole-milled-to-size-before-its-finish": {"no-stock-left-on-the-walls", "little-stock-on-the-walls"},
    "reamer-gets-too-much": {"much-stock-on-the-walls"},
    "boring-has-roughing-to-do": {"much-stock-on-the-walls"},
    "drill-leaves-much-to-bore": {"drill-leaves-much"},
    "cut-to-size-where-an-allowance-is-asked": {"slot-cut-to-size"},
    "no-stock-left-on-the-floor": {"little-stock-on-the-floor"},
    "cuts-into-the-floor": {"no-stock-left-on-the-floor"},
    "cuts-into-what-lies-beneath": {"little-clearance-beneath"},
    "drill-goes-too-far-for-the-room": {"drill-point-hits-what-lies-beneath"},
    "drill-goes-near-what-lies-beneath": {"drill-point-has-little-room"},
    "bends-into-the-finished-wall": {"bends-into-the-allowance", "bends-part-of-the-allowance", "cutter-too-limp"},
    "bends-into-the-allowance": {"bends-part-of-the-allowance", "cutter-too-limp"},
    "ramp-breaks-the-cutter": {"steeper-than-the-material-bears"},
    "no-side-to-come-in-from": {"way-in-not-meant"},
    "hole-narrower-than-the-cutter": {"no-drill-for-the-hole"},
    "less-on-the-walls-than-asked": {"little-stock-on-the-walls"},
    "less-on-the-floor-than-asked": {"little-stock-on-the-floor"},
    "deep-light-level-beside-the-wall": {"level-too-deep-for-the-wall"},
    "level-a-little-deep-for-the-wall": {"level-too-deep-for-the-wall"},
    "last-level-thick-over-a-stiff-floor": {"last-level-too-thick-over-a-thin-floor"},
    "bends-so-far-that-it-breaks": {
        "bends-into-the-finished-wall",
        "bends-a-little-into-the-wall",
        "bends-into-the-allowance",
        "bends-part-of-the-allowance",
        "cutter-too-limp",
    },
    "titanium-fast-without-flood": {"superalloy-without-flood", "speed-burns-the-edge", "speed-costs-most-of-the-life"},
    "titanium-wide-and-slow": {"hard-material-wide-layers"},
    "high-feed-level-above-the-table": {"deeper-than-layers-bear"},
    "deep-wide-cut-breaks-in-hard-metal": {"wider-than-the-material-bears"},
    "overload-in-the-plan": {"wider-than-the-material-bears", "deeper-than-layers-break", "deeper-than-layers-bear"},
    "deeper-than-layers-break": {"deeper-than-layers-bear"},
    "spindle-stalls": {"spindle-short-of-power", "spindle-overloaded"},
    "spindle-short-of-power": {"spindle-overloaded"},
    "drill-stalls-the-spindle": {"spindle-stalls", "drill-short-of-power"},
    "drill-short-of-power": {"spindle-short-of-power", "spindle-overloaded"},
    "drill-stalls-for-want-of-torque": {"drill-stalls-the-spindle", "drill-short-of-torque"},
    "drill-short-of-torque": {"drill-short-of-power", "spindle-short-of-power"},
    "chip-breaks-the-edge": {"chip-too-thick"},
    "level-more-than-needed": {"levels-uneven"},
    "feed-far-below-the-table": {"edge-rubs", "thin-chips-forgotten", "slower-than-advised"},
    "speed-softens-high-speed-steel": {"speed-burns-the-edge"},
    "speed-burns-off-the-edge": {"speed-burns-the-edge"},
    "bends-part-of-the-allowance": {"cutter-too-limp"},
    "air-on-titanium": {"superalloy-without-flood"},
    "chip-breaks-the-flat-edge": {"chip-thick-for-the-flat-edge"},
    "drill-point-spoils-the-floor": {"drill-leaves-a-cone"},
    "floor-bends-through-its-allowance": {"floor-bends-too-far"},
    "level-just-too-shallow": {"levels-uneven", "level-more-than-needed"},
    "speed-wears-the-edge-in-abrasive-metal": {"speed-wears-the-edge-in-soft-metal"},
    "speed-looks-like-a-cutting-speed": {"speed-far-below-the-table"},
    "inserts-far-below-their-speed": {"speed-far-below-the-table"},
    "wall-bends-away": {"level-too-deep-for-the-wall", "thin-wall-cut-free-in-one-level"},
    "thin-wall-cut-free-in-one-level": {"level-too-deep-for-the-wall"},
    "last-level-tears-the-floor": {
        "last-level-too-thick-over-a-thin-floor",
        "floor-bends-through-its-allowance",
        "floor-bends-too-far",
    },
    "reamer-finds-far-too-much": {"drill-leaves-much"},
    "cone-stops-the-reamer": {"drill-does-not-come-through"},
    "tap-breaks-in-the-narrow-hole": {"tap-hole-drilled-too-narrow"},
    "tap-runs-into-the-bottom": {"drilled-too-shallow"},
    "drill-fed-too-little": {"drill-rubs-at-so-little-feed", "drill-fed-little"},
    "drill-fed-little": {"drill-short-of-feed"},
    "spindle-too-weak-for-the-drill": {"spindle-overloaded"},
    "stainless-drilled-deep-and-dry": {"stainless-drilled-dry"},
    "stainless-way-in-drilled-deep-and-dry": {"stainless-way-in-drilled-dry"},
    "high-speed-steel-drills-deep-and-dry": {"high-speed-steel-runs-dry"},
    "steel-drilled-deep-with-nothing": {"steel-drilled-deep-and-dry"},
    "hole-narrower-than-the-core": {"no-drill-for-the-bore"},
}

REAMED = through(20, 25, 10) | {"purpose": "ream"}
BORED = Job(BORING, REAMED, [E12], STAINLESS)
BORED_DEEP, BORED_DEEPER = (  # the cutter stands out 5.5 and 6.3 diameters
    Job(BORING, REAMED | {"depth": reach - 10}, [solid(12, reach - 5, ZEFP=4, LU=reach, LPR=reach + 6)], STAINLESS)
    for reach in (60, 70)
)
FED_MORE = {"feed_per_tooth": 0.08, "feed_rate": None}
TO_SIZE = Job(RAMPED, SLOT | {"width": 12, "depth": 5, "allowance_side": 0.3}, [solid(12, 26)])

DRILLED = Job(CLEARING, POCKET, [E12, drill(13)], STAINLESS, entry="predrilled_hole")
DRILLED_DEEP = DRILLED._replace(feature=POCKET | {"depth": 45}, crib=[solid(12, 48, ZEFP=4), drill(13)])

FOUND = {
    "no-stock-left-on-the-walls": Told(
        "change", Job(CLEARING, SHALLOW, [E12]), {"allowance_side": 0.0, "radial_width": 0.3}
    ),
    "hole-milled-to-size-before-its-finish": Told("stop", BORED, {"allowance_side": 0.0}),
    "reamer-gets-too-much": Told("change", BORED, {"allowance_side": 0.5}),
    "boring-has-roughing-to-do": Told(
        "change",
        Job(LAYERS, through(50, 20, 10) | {"purpose": "bore"}, [solid(20, 40, ZEFP=4)], STEEL),
        {"allowance_side": 5.0},
    ),
    "drill-leaves-much-to-bore": Told(
        "consider", Job(DRILLING, hole(32.25, 40, purpose="bore"), [drill(28.2)], STEEL, STRONG), {}
    ),
    "insert-drill-in-tough-material-cooled-from-outside": Told(
        "consider",
        Job(
            DRILLING,
            hole(20, 30),
            [short_drill(20, 60, ZEFP=1)],
            STAINLESS,
            STRONG | {"coolant": ["flood", "through"]},
        ),
        {"coolant": "flood"},
    ),
    "insert-drill-planned-to-jam-in-tough-material": Told(
        "stop",
        Job(
            DRILLING, hole(20, 50), [short_drill(20, 60, ZEFP=1)], STAINLESS, STRONG | {"coolant": ["flood", "through"]}
        ),
        {"coolant": "flood"},
        frozenset({"insert-drill-planned-without-coolant-through"}),
    ),
    "cut-to-size-where-an-allowance-is-asked": Told("stop", TO_SIZE, {}),
    "much-stock-on-the-walls": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_side": 1.2}),
    "wall-allowance-not-wanted": Told(
        "change", Job(CLEARING, POCKET | {"allowance_side": 0}, [E12]), {"allowance_side": 0.3}
    ),
    "no-stock-left-on-the-floor": Told("change", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 0.0}),
    "little-stock-on-the-floor": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 0.2}),
    "less-on-the-walls-than-asked": Told(
        "consider", Job(CLEARING, POCKET | {"allowance_side": 0.8}, [E12]), {"allowance_side": 0.3}
    ),
    "less-on-the-floor-than-asked": Told(
        "consider", Job(CLEARING, POCKET | {"allowance_bottom": 0.8}, [E12]), {"allowance_bottom": 0.3}
    ),
    "titanium-wide-and-slow": Told(
        "consider",
        Job(LAYERS, OPEN | {"depth": 10}, [solid(16, 32)], TITANIUM),
        {"axial_depth": 4.0, "levels": None, "radial_width": 8.0, "spindle_speed": 895.0, "feed_rate": None},
    ),
    "high-feed-level-above-the-table": Told(
        "consider",
        Job(LAYERS, STEP | {"depth": 15}, [HIGH_FEED], STAINLESS, STRONG),
        {"axial_depth": 1.2, "levels": None, "feed_per_tooth": 0.5, "feed_rate": None},
    ),
    "deep-light-level-beside-the-wall": Told(
        "consider",
        Job(CLEARING, POCKET | {"width": 40, "depth": 20, "thinnest_wall": 2}, [E12]),
        {"axial_depth": 19.0, "levels": None, "radial_width": 1.0, "feed_rate": None, "feed_per_tooth": 0.08},
    ),
    "hole-hardly-wider-than-the-cutter": Told(
        "consider",
        Job(CLEARING, POCKET, [E12, drill(12.1)]),
        {"entry": "predrilled_hole", "entry_cutter": "D12.1", "ramp_angle": None},
    ),
    "much-stock-on-the-floor": Told("consider", Job(CLEARING, POCKET, [E12]), {"allowance_bottom": 1.2}),
    "corner-radius-stays-at-the-bottom": Told(
        "change", Job(CLEARING, THROUGH, [solid(12, 36, RE=2)]), {"overcut": 1.0}
    ),
    "cuts-into-the-floor": Told("stop", Job(CLEARING, POCKET, [E12]), {"overcut": 0.5, "allowance_bottom": None}),
    "drill-goes-too-far-for-the-room": Told(
        "stop", Job(DRILLING, through(12, 20, 3), [drill(12)]), {"overcut": 1.0, "axial_depth": None}
    ),
    "drill-goes-near-what-lies-beneath": Told(
        "change", Job(DRILLING, through(12, 20, 3), [drill(12)]), {"overcut": 0.6, "axial_depth": None}
    ),
    "drill-does-not-come-through": Told(
        "change", Job(DRILLING, through(12, 20, 6), [drill(12)]), {"overcut": 0.0, "axial_depth": None}
    ),
    "drill-hardly-comes-through": Told(
        "consider", Job(DRILLING, through(12, 20, 6), [drill(12)]), {"axial_depth": 22.25}
    ),
    "cone-stops-the-reamer": Told(
        "stop",
        Job(DRILLING, through(12.25, 20, 6) | {"purpose": "ream"}, [drill(12)]),
        {"axial_depth": 21.5, "overcut": None},
    ),
    "tap-breaks-in-the-narrow-hole": Told("stop", Job(DRILLING, hole(14, 20, purpose="thread"), [drill(12)]), {}),
    "tap-runs-into-the-bottom": Told(
        "stop", Job(DRILLING, hole(12, 20, purpose="thread"), [drill(12)]), {"axial_depth": 15.0}
    ),
    "drill-fed-too-little": Told(
        "stop", Job(DRILLING, hole(12, 20), [drill(12)], STEEL), {"feed_per_tooth": 0.02, "feed_rate": None}
    ),
    "drill-fed-little": Told(
        "change", Job(DRILLING, hole(12, 20), [drill(12)], STEEL), {"feed_per_tooth": 0.035, "feed_rate": None}
    ),
    "spindle-too-weak-for-the-drill": Told(
        "stop",
        Job(DRILLING, hole(2, 6), [drill(2)], STAINLESS, spindle((2000, 0.01), (8000, 0.01))),
        {"feed_per_tooth": None, "feed_rate": None, "spindle_speed": None},
    ),
    "stainless-way-in-drilled-dry": Told("change", DRILLED, {"coolant": "none"}),
    "stainless-way-in-drilled-deep-and-dry": Told("stop", DRILLED_DEEP, {"coolant": "air"}),
    "stainless-way-in-drilled-deep-in-mist": Told("change", DRILLED_DEEP, {"coolant": "mist"}),
    "stainless-drilled-dry": Told("change", Job(DRILLING, hole(12, 20), [drill(12)], STAINLESS), {"coolant": "none"}),
    "stainless-drilled-deep-and-dry": Told(
        "stop", Job(DRILLING, hole(12, 40), [drill(12)], STAINLESS), {"coolant": "air"}
    ),
    "stainless-drilled-deep-in-mist": Told(
        "change", Job(DRILLING, hole(12, 40), [drill(12)], STAINLESS), {"coolant": "mist"}
    ),
    "high-speed-steel-runs-dry": Told("change", Job(DRILLING, hole(12, 20), [HSS], STEEL), {"coolant": "none"}),
    "high-speed-steel-drills-deep-and-dry": Told(
        "stop", Job(DRILLING, hole(12, 50), [HSS], STEEL), {"coolant": "none"}
    ),
    "steel-drilled-deep-and-dry": Told("consider", Job(DRILLING, hole(12, 40), [drill(12)], STEEL), {"coolant": "air"}),
    "steel-drilled-deep-with-nothing": Told(
        "change", Job(DRILLING, hole(12, 40), [drill(12)], STEEL), {"coolant": "none"}
    ),
    "cuts-into-what-lies-beneath": Told(
        "stop", Job(CLEARING, THROUGH | {"clearance_below": 2}, [E12]), {"overcut": 2.5}
    ),
    "little-clearance-beneath": Told(
        "change", Job(CLEARING, THROUGH | {"clearance_below": 2}, [E12]), {"overcut": 1.8}
    ),
    "bends-into-the-finished-wall": Told(
        "stop", Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STEEL), {"radial_width": 1.2}
    ),
    "bends-into-the-allowance": Told("change", Job(CLEARING, LIMP, [solid(6, 32, LU=34, LPR=41)], STAINLESS), {}),
    "ramp-breaks-the-cutter": Told(
        "stop", Job(CLEARING, POCKET, [E12], STEEL, entry="helical_ramp"), {"ramp_angle": 8.0}
    ),
    "steeper-than-the-material-bears": Told(
        "change", Job(CLEARING, POCKET, [E12], STEEL, entry="helical_ramp"), {"ramp_angle": 4.5}
    ),
    "no-side-to-come-in-from": Told("stop", Job(CLEARING, POCKET, [E12]), {"entry": "side_entry", "ramp_angle": None}),
    "way-in-not-meant": Told("change", Job(CLEARING, OPEN, [E12]), {"entry": "axial_plunge", "ramp_angle": None}),
    "body-not-meant": Told("stop", Job(CLEARING, POCKET, [E12, drill(11)]), {"cutter": "D11"}),
    "feature-not-meant": Told("change", Job(CLEARING, STEP, [E12]), {"method": "ramped_slotting"}),
    "hole-narrower-than-the-cutter": Told(
        "stop",
        Job(CLEARING, POCKET, [E12, drill(10)]),
        {"entry": "predrilled_hole", "entry_cutter": "D10", "ramp_angle": None},
    ),
    "hole-wider-than-need-be": Told(
        "consider",
        Job(CLEARING, POCKET, [E12, drill(20)]),
        {"entry": "predrilled_hole", "entry_cutter": "D20", "ramp_angle": None},
    ),
    "levels-do-not-reach": Told("change", Job(CLEARING, POCKET, [E12]), {"axial_depth": 10.0, "levels": 2}),
    "overload-in-the-plan": Told("stop", Job(CLEARING, POCKET, [E12], STEEL), {"radial_width": 6.0}),
    "wider-than-the-material-bears": Told(
        "change", Job(CLEARING, POCKET | {"depth": 15}, [E12], STEEL), {"radial_width": 4.0}
    ),
    "deeper-than-layers-break": Told("stop", Job(LAYERS, POCKET, [E12], STEEL), {"axial_depth": 23.0, "levels": None}),
    "deeper-than-layers-bear": Told("change", Job(LAYERS, POCKET, [E12], STEEL), {"axial_depth": 10.0, "levels": None}),
    "spindle-stalls": Told(
        "stop",
        Job(LAYERS, STEP, [solid(20, 26)], STEEL, spindle((1000, 1), (8000, 1))),
        {"feed_rate": 4000.0, "feed_per_tooth": None},
    ),
    "spindle-short-of-power": Told(
        "change",
        Job(LAYERS, STEP, [solid(20, 26)], STEEL, spindle((1000, 1), (8000, 1))),
        {"feed_rate": 950.0, "feed_per_tooth": None},
    ),
    "drill-stalls-the-spindle": Told(
        "stop",
        Job(DRILLING, hole(10, 20, purpose="clearance"), [drill(10)], STEEL, spindle((1000, 1.5), (8000, 1.5))),
        {"spindle_speed": 3000.0, "feed_per_tooth": 0.1, "feed_rate": None},
    ),
    "drill-stalls-for-want-of-torque": Told(
        "stop",
        Job(DRILLING, hole(10, 20, purpose="clearance"), [drill(10)], STEEL, spindle((1000, 0.5), (8000, 4))),
        {"spindle_speed": 3000.0, "feed_per_tooth": 0.1, "feed_rate": None},
    ),
    "drill-short-of-torque": Told(
        "change",
        Job(DRILLING, hole(10, 20, purpose="clearance"), [drill(10)], STEEL, spindle((1000, 1.13), (8000, 9.07))),
        {"spindle_speed": 3000.0, "feed_per_tooth": 0.1, "feed_rate": None},
    ),
    "drill-short-of-power": Told(
        "change",
        Job(DRILLING, hole(10, 20, purpose="clearance"), [drill(10)], STEEL, spindle((1000, 3.4), (8000, 3.4))),
        {"spindle_speed": 3000.0, "feed_per_tooth": 0.1, "feed_rate": None},
    ),
    "chip-breaks-the-edge": Told("stop", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 0.3, "feed_rate": None}),
    "chip-too-thick": Told("change", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 0.12, "feed_rate": None}),
    "centre-feed-too-much-at-the-wall": Told(
        "consider", Job(LAYERS, BORE, [E12, drill(14)], STEEL), {"feed_rate": 2000.0, "feed_per_tooth": None}
    ),
    "thin-chip-hardens-the-wall": Told(
        "change", Job(LAYERS, STEP, [E12], STAINLESS), {"feed_per_tooth": 0.012, "feed_rate": None}
    ),
    "feed-beyond-the-axes": Told(
        "change",
        Job(CLEARING, SLOT | {"width": 20}, [E12], machine=EVERYDAY | {"axis_acceleration": 0.3}),
        {"feed_rate": 6000.0, "feed_per_tooth": None},
    ),
    "superalloy-without-flood": Told("change", Job(CLEARING, POCKET, [E12], TITANIUM), {"coolant": "none"}),
    "edge-builds-up-when-dry": Told("consider", Job(CLEARING, POCKET, [solid(12, 36)]), {"coolant": "air"}),
    "middle-not-said-to-be-held": Told("consider", Job(CLEARING, WINDOW, [E12]), {}),
    "level-more-than-needed": Told("consider", Job(LAYERS, POCKET, [E12], STEEL), {"axial_depth": 2.2, "levels": None}),
    "much-wider-than-the-material-bears": Told(
        "change", Job(CLEARING, OPEN | {"depth": 8.5}, [E12], STEEL), {"radial_width": 5.5}
    ),
    "feed-far-below-the-table": Told(
        "change", Job(CLEARING, POCKET, [E12], STEEL), {"feed_per_tooth": 0.015, "feed_rate": None}
    ),
    "speed-softens-high-speed-steel": Told(
        "stop", Job(LAYERS, STEP, [E12HSS], STEEL), {"spindle_speed": 2500.0, "feed_rate": None}
    ),
    "speed-burns-off-the-edge": Told(
        "stop", Job(LAYERS, STEP, [E12], STAINLESS), {"spindle_speed": 8000.0, "feed_rate": None}
    ),
    "speed-burns-the-edge": Told(
        "change", Job(LAYERS, STEP, [E12], STEEL), {"spindle_speed": 9000.0, "feed_rate": None}
    ),
    "speed-wears-the-edge-in-soft-metal": Told(
        "consider", Job(LAYERS, STEP, [E12HSS]), {"spindle_speed": 4400.0, "feed_rate": None}
    ),
    "speed-far-below-the-table": Told(
        "consider", Job(LAYERS, STEP, [E12], STEEL), {"spindle_speed": 1200.0, "feed_rate": None}
    ),
    "inserts-far-below-their-speed": Told(
        "change", Job(LAYERS, STEP, [inserted(25, LU=70, LPR=80)], STEEL), {"spindle_speed": 700.0, "feed_rate": None}
    ),
    "deep-pocket-in-stainless-with-nothing": Told(
        "change", Job(CLEARING, POCKET, [E12], STAINLESS), {"coolant": "none"}
    ),
    "deep-pocket-in-steel-with-nothing": Told("consider", Job(CLEARING, POCKET, [E12], STEEL), {"coolant": "none"}),
    "plunge-bites-past-the-inserts": Told(
        "stop",
        Job("plunge_roughing", STEP | {"width": 20, "depth": 60}, [inserted(25, LU=70, LPR=80, dead_centre=16)], STEEL),
        {"radial_width": 6.0},
    ),
    "air-on-titanium": Told("change", Job(CLEARING, POCKET, [E12], TITANIUM), {"coolant": "air"}),
    "chip-thick-for-the-flat-edge": Told(
        "change",
        Job(LAYERS, STEP, [FLAT], STEEL),
        {"feed_per_tooth": 1.1, "spindle_speed": 3000.0, "feed_rate": None},
    ),
    "chip-breaks-the-flat-edge": Told(
        "stop", Job(LAYERS, STEP, [FLAT], STEEL), {"feed_per_tooth": 2.2, "spindle_speed": 2000.0, "feed_rate": None}
    ),
    "face-at-full-width": Told("consider", Job("face_milling", FACE, [A50], STEEL, STRONG), {"radial_width": 48.0}),
    "feed-looks-like-mm-in-place-of-inches": Told(
        "consider", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 1.5, "feed_rate": None}
    ),
    "feed-looks-like-inches-in-place-of-mm": Told(
        "consider", Job(LAYERS, STEP, [E12], STEEL), {"feed_per_tooth": 0.0025, "feed_rate": None}
    ),
    "speed-looks-like-a-cutting-speed": Told(
        "change", Job(CLEARING, STEP | {"width": 12}, [E12], STEEL), {"spindle_speed": 160.0, "feed_rate": None}
    ),
    "floor-bends-through-its-allowance": Told(
        "change",
        Job(LAYERS, SHALLOW | {"floor_thickness": 0.8, "allowance_bottom": 0.1}, [solid(12, 32)], STEEL),
        {},
    ),
    "level-just-too-shallow": Told(
        "consider", Job(LAYERS, SHALLOW, [E12], STEEL), {"axial_depth": 3.7, "levels": None}
    ),
    "wall-bends-away": Told(
        "stop",
        Job(LAYERS, STEP | {"width": 20, "depth": 30, "thinnest_wall": 1.5}, [solid(20, 32, ZEFP=5)], STEEL),
        {"axial_depth": 29.5, "levels": None, "radial_width": 5.0},
    ),
    "thin-wall-cut-free-in-one-level": Told(
        "stop",
        Job(CLEARING, STEP | {"width": 20, "depth": 30, "thinnest_wall": 2.5}, [solid(16, 32)], ALUMINIUM, STRONG),
        {"axial_depth": 29.5, "levels": None, "radial_width": 2.4, "allowance_side": 1.0},
    ),
    "last-level-too-thick-over-a-thin-floor": Told(
        "change",
        Job(LAYERS, SHALLOW | {"floor_thickness": 1}, [solid(12, 32)], ALUMINIUM),
        {"axial_depth": 3.75, "levels": 2, "allowance_bottom": 0.5},
    ),
    "last-level-tears-the-floor": Told(
        "stop",
        Job(LAYERS, SHALLOW | {"floor_thickness": 0.8, "allowance_bottom": 0.2}, [solid(12, 32)], STEEL),
        {"axial_depth": 3.9, "levels": 2},
    ),
    "reamer-finds-far-too-much": Told("stop", Job(DRILLING, hole(10, 20, purpose="ream"), [drill(9)], STEEL), {}),
    "drill-point-spoils-the-floor": Told(
        "stop", Job(DRILLING, hole(12, 20, flat_floor=True), [drill(12)], STEEL), {"axial_depth": 22.2}
    ),
    "hole-narrower-than-the-core": Told(
        "stop",
        Job(BORING, through(32, 25, 12), [inserted(25, LU=50), drill(4.2), drill(9)], STEEL, STRONG),
        {"entry": "predrilled_hole", "entry_cutter": "D4.2"},
    ),
    "drilled-too-shallow": Told("change", Job(DRILLING, hole(12, 20), [drill(12)], STEEL), {"axial_depth": 20.0}),
    "drilled-too-deep": Told("stop", Job(DRILLING, hole(12, 20), [drill(12)], STEEL), {"axial_depth": 24.0}),
    "drills-into-the-floor": Told(
        "stop",
        Job(CLEARING, POCKET, [E12, drill(13)], STEEL),
        {"method": DRILLING, "cutter": "D13", "axial_depth": 31.0, "levels": None},
    ),
    "drilled-over-a-thin-floor": Told(
        "stop",
        Job(CLEARING, POCKET | {"floor_thickness": 2}, [E12, drill(13)], STEEL),
        {"method": DRILLING, "cutter": "D13", "axial_depth": 29.5, "levels": None},
    ),
    "level-too-deep-for-the-wall": Told(
        "change",
        Job(CLEARING, SLOT | {"width": 40, "thinnest_wall": 1.2}, [E12]),
        {"axial_depth": 5.7, "levels": None},
    ),
    "bends-part-of-the-allowance": Told(
        "consider",
        Job(CLEARING, LIMP, [E6LONG], STEEL),
        {"axial_depth": 2.0, "levels": None, "radial_width": 1.0, "feed_per_tooth": 0.03, "feed_rate": None},
    ),
}
# A narrow cut in levels of 2 mm bends the long 6 mm cutter by 0.036 mm, one in levels of 1.75 mm by 0.031 mm. That is
# 0.02 mm and more beyond the 0.005 mm left on the wall, and hardly more than the 0.03 mm that a wall cut to size bears.
HARDLY = {"allowance_side": 0.005, "radial_width": 1.0, "feed_per_tooth": 0.03, "feed_rate": None, "levels": None}
FOUND_TOO = [
    (
        "no-stock-left-on-the-walls",
        Told(
            "change",
            Job(CLEARING, SHALLOW | {"allowance_side": 0.8}, [solid(12, 36)]),
            {"allowance_side": 0.0, "radial_width": 0.3},
            frozenset({"less-on-the-walls-than-asked"}),
        ),
    ),
    (
        "no-stock-left-on-the-walls",
        Told(
            "change",
            Job("face_milling", STEP, [inserted(25, LU=100, LPR=110)], STEEL, STRONG),
            {"allowance_side": 0.0},
            frozenset({"cutter-bends-at-size"}),
        ),
    ),
    (
        "hole-milled-to-size-before-its-finish",
        Told("stop", BORED, {"allowance_side": 0.03}, frozenset({"little-stock-on-the-walls"})),
    ),
    (
        "hole-milled-to-size-before-its-finish",  # it bends by 0.026 mm
        Told("stop", BORED_DEEP, {"allowance_side": 0.0}, frozenset({"bends-a-little-into-the-wall"})),
    ),
    (
        "hole-milled-to-size-before-its-finish",  # it bends by 0.059 mm
        Told(
            "stop",
            BORED_DEEPER,
            FED_MORE | {"allowance_side": 0.0},
            frozenset({"bends-into-the-finished-wall"}),
        ),
    ),
    (
        "hole-milled-to-size-before-its-finish",  # it bends by 0.059 mm, 0.014 mm beyond what stays
        Told(
            "stop",
            BORED_DEEPER,
            FED_MORE | {"allowance_side": 0.045},
            frozenset({"bends-into-the-allowance"}),
        ),
    ),
    (
        "hole-milled-to-size-before-its-finish",  # it bends by 0.039 mm
        Told(
            "stop",
            BORED_DEEP,
            FED_MORE | {"allowance_side": 0.045},
            frozenset({"bends-part-of-the-allowance"}),
        ),
    ),
    (
        "drill-leaves-much-to-bore",
        Told(
            "consider",
            Job(DRILLING, hole(40, 40, purpose="bore"), [drill(35.5)], STEEL, STRONG),
            {},
            frozenset({"drill-leaves-much-in-a-wide-hole"}),
        ),
    ),
    (
        "cut-to-size-where-an-allowance-is-asked",
        Told(
            "stop",
            TO_SIZE,
            {"allowance_side": 0.0, "axial_depth": 1.0, "levels": None},
            frozenset({"no-stock-left-on-the-walls"}),
        ),
    ),
    (
        "level-just-too-shallow",  # nine levels for eight, hardly slower
        Told(
            "consider",
            Job(LAYERS, POCKET, [E12], STEEL),
            {"axial_depth": 3.65, "levels": None},
            frozenset({"levels-uneven"}),
        ),
    ),
    (
        "overload-in-the-plan",  # in aluminium two diameters are less than three levels of the tables
        Told(
            "stop",
            Job(CLEARING, POCKET, [solid(12, 36)]),
            {"radial_width": 4.9},
            frozenset({"deeper-than-layers-bear"}),
        ),
    ),
    (
        "speed-softens-high-speed-steel",
        Told(
            "stop",
            Job(LAYERS, STEP, [E12HSS], STEEL),
            {"spindle_speed": 4000.0, "feed_rate": None},
            frozenset({"speed-burns-off-the-edge", "speed-burns-the-edge"}),
        ),
    ),
    (
        "bends-a-little-into-the-wall",
        Told(
            "change",
            Job(CLEARING, LIMP, [E6LONG], STEEL),
            HARDLY | {"axial_depth": 2.0},
            frozenset({"bends-part-of-the-allowance"}),
        ),
    ),
    (
        "bends-a-little-into-the-wall",
        Told(
            "change",
            Job(CLEARING, LIMP, [E6LONG], STEEL),
            HARDLY | {"axial_depth": 1.75},
            frozenset({"cutter-too-limp"}),
        ),
    ),
]


def advice(given: Job) -> Advice:
    """Return the advice for a job."""
    return advise(job(given.feature, given.crib, given.material, given.machine))


def reviewed(told: Told) -> Review:
    """Return the review of a plan of the advised way with the changed settings."""
    found = advice(told.job)
    return review(plan_of(changed(row("F1", way(told.job)[0]), **told.changed)), found.assignment, found)


@pytest.mark.parametrize(("rule", "told"), [*FOUND.items(), *FOUND_TOO])
def test_a_setting_gone_wrong_is_found_with_its_weight_and_told_once(rule: str, told: Told) -> None:
    found = reviewed(told)
    weights = {finding.rule.id: finding.weight for finding in found.findings}
    assert weights.get(rule) == told.weight
    less = told.leaves_out or LEAVES_OUT.get(rule, set())
    assert less <= {fired.id for one in found.operations for fired in one.candidate.fired}, "else nothing is left out"
    assert less.isdisjoint(weights)


def test_the_deepest_level_beside_a_thin_wall_is_four_times_its_thickness() -> None:
    thin = Told("", Job(CLEARING, SLOT | {"width": 40, "thinnest_wall": 1.2}, [E12]), {})
    assert reviewed(thin).operations[0].candidate.facts["wall_level_most"] == pytest.approx(4.8)


@pytest.mark.parametrize(("times", "found"), [(1.0, False), (1.5, False), (1.52, True), (3.0, True)])
def test_a_feed_rate_alone_in_a_bore_is_that_of_the_centre(times: float, found: bool) -> None:
    """Source: geometry; the wall of 17 mm goes round as often as the centre of a 12 mm cutter on 5 mm."""
    given = Job(LAYERS, BORE, [E12, drill(14)], STEEL)
    best, feed_of = way(given)[0], advice(given)
    assert best.plan is not None
    centre = times * best.plan.feed_rate * 5 / 17
    one = changed(row("F1", best), feed_rate=centre, feed_per_tooth=None)
    told = review(plan_of(one), feed_of.assignment, feed_of)
    assert ("centre-feed-too-much-at-the-wall" in {finding.rule.id for finding in told.findings}) is found
    facts = told.operations[0].candidate.facts
    assert facts["feed_per_tooth"] == pytest.approx(times * best.plan.feed_per_tooth)
    both = changed(row("F1", best), feed_rate=best.plan.feed_rate)
    beside = review(plan_of(both), feed_of.assignment, feed_of).operations[0].candidate.facts
    assert beside["feed_per_tooth"] == pytest.approx(best.plan.feed_per_tooth)
    assert "centre_feed_said" not in beside


def test_what_is_cleared_already_is_not_cleared_again() -> None:
    given = Job(CLEARING, POCKET, [E12])
    found, once = advice(given), row("F1", way(given)[0])
    weights = {one.rule.id: one.weight for one in review(plan_of(once, once), found.assignment, found).findings}
    assert weights.get("cut-twice") == "change"


def test_what_a_review_finds_about_people_and_fire_is_marked_as_such() -> None:
    """These come first among findings of their weight, and no shop can switch them off."""
    people = {
        "faster-than-marked",
        "water-on-magnesium",
        "air-on-magnesium",
        "air-on-titanium",
        "fire-precautions-not-said",
        "middle-falls-out",
        "middle-not-said-to-be-held",
        "part-is-free-too-early",
        "outline-before-the-rest",
        "nothing-holds-the-part",
        "part-not-said-to-be-held",
        "rim-becomes-chips-and-holding-not-said",
        "rubbing-edge-lights-magnesium",
        "rubbing-edge-lights-titanium",
        "titanium-fast-without-flood",
        "skin-alone-holds-nothing",
        "halves-held-by-nothing",
    }
    assert people <= {rule.id for rule in rule_base().of("review") if rule.harm}


def test_where_the_plan_gives_no_feed_a_weak_spindle_is_told_and_no_wrong_feed() -> None:
    given = FORBIDS["drill-rubs-at-so-little-feed"]
    unsaid = Told("", given, {"feed_per_tooth": None, "feed_rate": None, "spindle_speed": None})
    told = {finding.rule.id: finding.text for finding in reviewed(unsaid).findings if finding.weight == "stop"}
    assert set(told) == {"drill-rubs-at-so-little-feed"}
    assert told["drill-rubs-at-so-little-feed"].startswith("The spindle is too weak for the 19.7\u00a0mm drill")


@pytest.mark.parametrize("machine", [["air"], ["none"], ["mist"], ["flood", "air"]], ids="-".join)
@pytest.mark.parametrize("depth", [20, 40, 55])
@pytest.mark.parametrize("material", [STEEL, STAINLESS])
def test_the_advised_drill_with_the_best_coolant_of_the_machine_is_never_stopped_nor_changed(
    machine: list[str], depth: int, material: str
) -> None:
    for cutter in (drill(12), HSS):
        given = Job(DRILLING, hole(12, depth), [cutter], material, EVERYDAY | {"coolant": machine})
        found = advice(given)
        best = found.features[0].best
        if best is None:
            continue
        told = review(plan_of(changed(row("F1", best), coolant=machine[0])), found.assignment, found)
        dry = cutter is HSS and material is STEEL and machine in (["air"], ["none"]) and depth > 40  # 4 diameters
        to_change = {one.rule.id for one in told.findings if one.weight != "consider"}
        assert to_change == ({"high-speed-steel-drills-deep-without-coolant"} if dry else set())
