"""How wide and deep drills mostly go, for witnesses: a drill of the usual point angle; no flat floor at its end."""

from __future__ import annotations

from collections.abc import Iterator

import z3

from advisor.knowledge.assumptions import assumed
from advisor.knowledge.schema import RuleBase
from advisor.mechanics.entry import drill_point
from advisor.methods.registry import METHODS
from advisor.proof.formulas import Constraint
from advisor.proof.translate import any_word, known, meant, number, word

ROUNDED = 0.001  # mm
BY_DRILL = tuple(method.name for method in METHODS.values() if method.by_drill)
ROUND_A_HOLE = tuple(method.name for method in METHODS.values() if method.round_a_hole)


def drilled(base: RuleBase) -> Iterator[Constraint]:
    """What the facts of drilling, and of a hole for the way in, are for such a drill in such a hole."""
    measures = base.measures
    found = {name: meant(measure) for name, measure in measures.items() if measure.numeric}
    angle = float(assumed("cutter", "point_angle_carbide_drill"))
    floor, point = word(measures["floor"], "yes"), number(drill_point(1.0, angle))

    def near(one: z3.ArithRef, other: z3.ArithRef) -> z3.BoolRef:
        return z3.And(one - other <= number(ROUNDED), other - one <= number(ROUNDED))

    def say(term: z3.BoolRef, *facts: str) -> Constraint:
        return Constraint(frozenset(facts), term)

    by_drill = z3.And(
        known("drill_depth"),
        known("drill_point"),
        known("axial_depth"),
        z3.Not(known("flat_floor")),
        known("point_angle"),
        found["point_angle"] == number(angle),
        found["bottom_allowance"] == 0,
        near(found["drill_point"], point * found["DC"]),
        near(found["drill_depth"], found["depth_to_cut"] + found["drill_point"]),
        found["axial_depth"] == found["drill_depth"],
        found["LPR"] <= number(1000),
    )
    facts = ("drill_depth", "drill_point", "point_angle", "DC", "depth_to_cut", "bottom_allowance", "flat_floor")
    drilling = any_word(measures["method"], BY_DRILL)
    yield say(z3.Implies(drilling, by_drill), *facts, "axial_depth", "LPR", "LU", "APMX", "method")
    ends = [base.limits[f"hole_ratio_{end}"] for end in ("least", "most")]
    width = [number(end) * found["DC"] for end in ends]  # a plan alone may say another one
    suits = z3.And(width[0] <= found["hole_diameter"], found["hole_diameter"] <= width[1])
    taken = z3.Implies(known("hole_diameter"), z3.Or(any_word(measures["method"], ROUND_A_HOLE), suits))
    yield say(taken, "hole_diameter", "DC", "method")
    middle = sum(ends) / 2
    by_hole = z3.And(
        floor,
        found["bottom_allowance"] > 0,
        found["hole_diameter"] == number(middle) * found["DC"],
        near(found["hole_point"], point * found["hole_diameter"]),
        found["hole_depth"] == found["depth"] - found["bottom_allowance"],
        found["hole_reach_margin"] + found["top"] >= found["hole_flute_margin"],
        found["hole_holder_margin"] >= found["hole_reach_margin"],
        found["hole_depth"] + found["hole_flute_margin"] > 0,
    )
    holes = ("hole_depth", "hole_point", "hole_diameter", "DC", "depth", "bottom_allowance", "floor", "top")
    yield say(
        z3.Implies(known("hole_depth"), by_hole), *holes, "hole_reach_margin", "hole_flute_margin", "hole_holder_margin"
    )
