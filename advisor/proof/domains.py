"""What facts there can be at all: ranges, presence, what inputs may be together, the rows of the tables, formulas.

Each constraint names the facts it speaks of, so that a question takes only those that bear on it. What is said here
of features and cutters is what the readers and ``advisor.model.region`` make sure of; a test holds every fact of
every worked case against it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any as Anything

import z3

from advisor.knowledge.conditions import yes
from advisor.knowledge.formulas import names
from advisor.knowledge.measures import LEVELS, Measure
from advisor.knowledge.schema import RuleBase
from advisor.methods.registry import METHODS
from advisor.model.beneath import BottomPolicy
from advisor.model.body import BODIES
from advisor.model.cutter import Cutter
from advisor.model.entry import ENTRIES
from advisor.model.features import FEATURE_KINDS
from advisor.model.region import OPEN_KINDS, STRIP_KINDS, WALLED_KINDS
from advisor.proof.drilled import ROUND_A_HOLE, drilled
from advisor.proof.formulas import Constraint, Measures, formulas
from advisor.proof.jobs import stock
from advisor.proof.translate import Term, any_word, known, meant, number, one_of, rounded, word
from advisor.readers.materials import load_materials
from advisor.situation.facts import TRAITS
from advisor.situation.pairings import ways

DRILLS = tuple(kind.name for kind in BODIES.values() if kind.drill)
THROUGH_A_HOLE = tuple(kind.name for kind in ENTRIES.values() if kind.needs_drill)
ALONG_THE_CUT = tuple(method.name for method in METHODS.values() if method.along_the_cut)
PLANNED = "a plan?"  # whether arithmetic got as far as a plan for the candidate
OPEN, WALLED, STRIP = sorted(OPEN_KINDS), sorted(WALLED_KINDS), sorted(STRIP_KINDS)
OF_THE_HOLE = (
    "hole_depth",
    "hole_point",
    "hole_flute_margin",
    "hole_holder_margin",
    "hole_reach_margin",
    "hole_thrust",
    "hole_power_share",
    "hole_chip_kept",
    "hole_beyond",
    "hole_cap",
    "hole_substrate",
    "hole_inserts",
)
# Worked out of the width, where there are walls.
LATER = (
    "narrowest_width", "fit_width", "wall_stock", "hole_purpose", "raise_to_drill", "rough", "skin_wall",
    "opening", "cast_floor",
)  # fmt: skip


def of_measure(measure: Measure) -> Term:
    """That a fact lies in its range, or is one of its words; a name may be any."""
    if measure.named:
        return z3.BoolVal(True)
    found = meant(measure)
    if measure.range is None:
        return z3.And(found >= 0, found < len(measure.words))
    least, most = measure.range
    return z3.And(found >= number(least), found <= number(most))


@cache
def _optional() -> frozenset[str]:
    """The symbols of a cutter that need not be known."""
    return frozenset(name for name, field in Cutter.model_fields.items() if not field.is_required())


def constraints(base: RuleBase) -> tuple[Constraint, ...]:
    """Everything that is true of the facts of a candidate, the rules themselves aside."""
    measures = base.measures
    return (
        *_ranges(measures),
        *_presence(measures),
        *_kinds(measures),
        *_sizes(measures),
        *_cutters(measures),
        *_tables(measures),
        *(
            truth._replace(advised=True)
            for part in (_ways(measures), _bottom(measures), _worked(base))
            for truth in part
        ),
        *formulas(base),
    )


def _say(term: Term, *facts: str) -> Constraint:
    return Constraint(frozenset(facts), term)


def usual(base: RuleBase) -> Iterator[Constraint]:
    """What facts of jobs mostly are: sizes as in the stock, and an allowance that the rules conclude. For witnesses."""
    measures, held = base.measures, stock()
    for entries in (held.features, held.cutters):
        for name in dict.fromkeys(name for entry in entries for name in entry if name in measures):
            sizes = [entry[name] for entry in entries if isinstance(entry.get(name), int | float)]
            if sizes and measures[name].numeric:
                found = meant(measures[name])
                yield _say(z3.And(found >= number(min(sizes)), found <= number(max(sizes))), name)
    allowances = ("side_allowance_usual", "hole_allowance")
    own = [rule.concludes[1] for rule in base.rules if rule.concludes and rule.concludes[0] in allowances]
    side = meant(measures["side_allowance"])
    yield _say(z3.Or(side == 0, *(side == number(float(value)) for value in dict.fromkeys(own))), "side_allowance")
    yield _say(meant(measures["bottom_allowance"]) <= number(max(map(float, own), default=0.0)), "bottom_allowance")
    yield from drilled(base)


def _ranges(measures: Measures) -> Iterator[Constraint]:
    for measure in measures.values():
        yield _say(of_measure(measure), measure.name)
        if measure.numeric:
            yield _say(rounded(measure), measure.name)


def _presence(measures: Measures) -> Iterator[Constraint]:
    """Which facts of a feature and of a cutter in it are always there, and which only with others."""
    for name, measure in measures.items():
        if measure.concluded or measure.level not in LEVELS[:2]:
            continue
        inputs = sorted(set(names(measure.formulas[0][1])) & set(measures)) if measure.formulas else []
        if inputs:
            yield _say(known(name) == z3.And(*map(known, inputs)), name, *inputs)
        elif not measure.needs and name not in (*LATER, *_optional()):
            yield _say(known(name), name)
    for name, measure in measures.items():
        if measure.level == "candidate" and not measure.concluded and measure.since not in ("appraisal", "settings"):
            yield _say(z3.Implies(known(name), z3.Bool(PLANNED)), name)
    yield _say(known("method"), "method")
    yield _say(known("entry") == z3.Bool(PLANNED), "entry")


def _kinds(measures: Measures) -> Iterator[Constraint]:
    """What the kind of a feature says of the facts that may be given, of walls, floor and open sides."""
    kind, opens = measures["feature"], measures["open_side"]
    fields = {name: model.model_fields for name, model in FEATURE_KINDS.items()}
    for name, measure in measures.items():
        if name in measure.needs and measure.level == "feature" and not measure.formulas:
            having = [one for one in fields if name in fields[one]]
            having = ["open_pocket"] if name == "open_sides" else having
            yield _say(z3.Implies(known(name), one_of(kind, *having)), name, "feature")
    yield _say(z3.Implies(one_of(kind, *OPEN), word(opens, "yes")), "feature", "open_side")
    shut, cored = [one for one in WALLED if "open_ends" not in fields[one]], known("skin_wall")
    closed = z3.Implies(z3.And(one_of(kind, *shut), z3.Not(cored)), word(opens, "no"))
    yield _say(closed, "feature", "open_side", "skin_wall")
    yield from _rough(measures)
    floor = measures["floor"]
    for one in fields:
        if "floor" not in fields[one]:
            yield _say(z3.Implies(word(kind, one), word(floor, yes(one != "outside_profile"))), "feature", "floor")
    yield _say(z3.Implies(known("clearance_below"), word(floor, "no")), "clearance_below", "floor")
    yield _say(z3.Implies(known("floor_thickness"), word(floor, "yes")), "floor_thickness", "floor")
    flat = z3.And(known("flat_floor"), word(measures["flat_floor"], "yes"))
    yield _say(z3.Implies(flat, word(floor, "yes")), "flat_floor", "floor")
    yield from _purpose(measures)
    yield from _widths(measures)


def _rough(measures: Measures) -> Iterator[Constraint]:
    """What is cut of a casting, forging or pre-machined part, as ``regions_of`` takes it."""
    rough, kind = measures["rough"], measures["feature"]
    walls, whole, floor = (z3.And(known("rough"), word(rough, one)) for one in ("walls", "whole", "floor"))
    cored, outline = known("skin_wall"), word(kind, "outside_profile")
    yield _say(cored == z3.And(walls, z3.Not(outline)), "skin_wall", "rough", "feature")
    yield _say(z3.Implies(cored, word(measures["open_side"], "yes")), "skin_wall", "open_side")
    yield _say(z3.Implies(cored, meant(measures["skin_wall"]) > 0), "skin_wall")
    yield _say(z3.Implies(known("rough"), z3.Not(word(kind, "planar_face"))), "rough", "feature")
    yield _say(z3.Implies(floor, word(measures["floor"], "yes")), "rough", "floor")
    cast = z3.And(known("cast_floor"), word(measures["cast_floor"], "yes"))
    beneath = z3.And(z3.Or(walls, whole), word(measures["floor"], "yes"))
    yield _say(known("cast_floor") == known("rough"), "cast_floor", "rough")
    yield _say(z3.Implies(cast, beneath), "cast_floor", "rough", "floor")
    walled = one_of(kind, *WALLED, "open_pocket")
    opening = z3.And(z3.Or(cored, whole), walled)
    yield _say(z3.Implies(known("opening"), opening), "opening", "rough", "skin_wall", "feature")
    yield _say(z3.Implies(whole, known("opening")), "opening", "rough")
    yield _say(z3.Implies(z3.And(cored, one_of(kind, *WALLED)), known("opening")), "opening", "skin_wall", "feature")
    wide = meant(measures["opening"]) < meant(measures["width"])
    across = z3.Or(word(kind, "open_pocket"), wide)  # which may be open at its long side
    yield _say(
        z3.Implies(known("opening"), z3.And(meant(measures["opening"]) > 0, across)), "opening", "width", "feature"
    )
    yield _say(z3.Implies(cored, z3.Not(known("island"))), "skin_wall", "island")


def _purpose(measures: Measures) -> Iterator[Constraint]:
    """What a round hole is for, and what is taken for it."""
    given, taken = measures["purpose"], measures["hole_purpose"]
    yield _say(known("hole_purpose") == word(measures["feature"], "round_hole"), "hole_purpose", "feature")
    for one in given.words:
        both = z3.Implies(z3.And(known("purpose"), word(given, one)), word(taken, one))
        yield _say(both, "purpose", "hole_purpose")
    open_ = z3.Implies(z3.And(known("hole_purpose"), z3.Not(known("purpose"))), one_of(taken, "clearance", "mill"))
    yield _say(open_, "purpose", "hole_purpose")


def _widths(measures: Measures) -> Iterator[Constraint]:
    """Which sides of a pocket are open, and the narrowest width between two walls, as ``regions_of`` takes them."""
    kind = measures["feature"]
    named = ("narrowest_width", "fit_width", "width", "length", "island", "island_length", "open_sides")
    narrow, fit, width, length, island, island_length, sides = (meant(measures[name]) for name in named)
    at = measures["open_at"]
    walled, pocket = one_of(kind, *WALLED), word(kind, "open_pocket")
    opened = ("open_sides", "open_at")
    three = z3.And(known("open_sides"), sides == 3)
    yield _say(z3.Implies(known("open_at"), z3.Not(three)), *opened)
    cornered, long = (z3.And(known("open_at"), word(at, name)) for name in ("corner", "long_side"))
    yield _say(z3.Implies(cornered, z3.And(known("open_sides"), sides == 2)), *opened)
    faced = z3.Not(z3.Or(three, cornered))
    facts = ("feature", "narrowest_width", "fit_width", "island", "island_length", "width", "length", *opened)
    skinned = z3.And(known("skin_wall"), z3.Not(word(kind, "round_hole")))
    fronts = z3.And(z3.Or(walled, z3.And(pocket, faced)), z3.Not(skinned))
    yield _say(known("narrowest_width") == fronts, *facts, "skin_wall")
    across = z3.If(z3.And(pocket, long), length, width)
    yield _say(known("fit_width") == z3.Or(known("narrowest_width"), known("island")), *facts)
    yield _say(z3.Implies(known("island_length"), known("island")), "island", "island_length")
    yield _say(z3.Implies(known("island_length"), island_length < length), "island_length", "length")
    through = z3.And(known("open_sides"), sides == 2, z3.Not(cornered))
    gap, end = (width - island) / 2, (length - z3.If(known("island_length"), island_length, island)) / 2
    both = z3.And(pocket, z3.Or(three, through))  # ends of what lies between two walls that are open
    least = z3.If(both, z3.If(long, end, gap), z3.If(end < gap, end, gap))
    square = z3.And(known("island_length"), known("corner_radius"))
    past = z3.And(fit <= least, z3.Or(square, fit == least))  # an arc may come nearer to the corner of the island
    yield _say(z3.If(known("island"), past, fit == across), *facts, "corner_radius")
    most = z3.If(end > gap, end, gap)
    most = z3.If(most > width, width, most)
    wide = z3.If(known("island_length"), narrow == most, z3.And(narrow >= most, narrow <= width))
    yield _say(z3.If(known("island"), wide, narrow == across), *facts)
    no_corner = z3.And(pocket, z3.Or(three, through))
    yield _say(z3.Implies(no_corner, z3.Not(known("corner_radius"))), "feature", "corner_radius", *opened)
    yield from _halves(measures, through)
    yield from _stock(measures)


def _halves(measures: Measures, through: Term) -> Iterator[Constraint]:
    """What parts the work in two: a slot with two open ends, or a pocket open at both ends, that goes through."""
    parted = word(measures["falls_in_two"], "yes")
    slot, pocket = (word(measures["feature"], one) for one in ("slot", "open_pocket"))
    opened, none = word(measures["open_side"], "yes"), word(measures["floor"], "no")
    slotted = z3.And(slot, opened, none)
    facts = ("falls_in_two", "feature", "open_side", "floor", "open_sides", "open_at")
    yield _say(z3.Implies(parted, z3.Or(slotted, z3.And(pocket, none, through))), *facts)
    yield _say(z3.Implies(z3.And(pocket, none, through), parted), *facts)


def _stock(measures: Measures) -> Iterator[Constraint]:
    """The stock beside the wall of a step or an outline."""
    beside, width, given = (meant(measures[name]) for name in ("wall_stock", "width", "stock_side"))
    step, outline = (word(measures["feature"], one) for one in ("step", "outside_profile"))
    cored, skin = known("skin_wall"), meant(measures["skin_wall"])
    read = ("feature", "wall_stock", "width", "stock_side", "skin_wall")
    yield _say(known("wall_stock") == z3.Or(step, cored, z3.And(outline, known("stock_side"))), *read)
    yield _say(beside == z3.If(cored, skin, z3.If(step, width, given)), *read)


def _sizes(measures: Measures) -> Iterator[Constraint]:
    """What the reader of a job makes sure of, beyond the ranges."""
    found = {name: meant(measure) for name, measure in measures.items()}
    kind = measures["feature"]
    for name in (
        "depth",
        "length",
        "width",
        "wall_height",
        "thinnest_wall",
        "floor_thickness",
        "stock_side",
        "island",
        "island_length",
    ):
        yield _say(found[name] > 0, name)
    longer = one_of(kind, "closed_pocket", "open_pocket", "slot")
    yield _say(z3.Implies(longer, found["width"] <= found["length"]), "feature", "width", "length")
    yield _say(z3.Implies(word(kind, "round_hole"), found["width"] == found["length"]), "feature", "width", "length")
    yield _say(z3.Implies(known("island"), found["island"] < found["width"]), "island", "width")
    corner = z3.And(known("corner_radius"), one_of(kind, "closed_pocket", "open_pocket"))
    yield _say(z3.Implies(corner, found["corner_radius"] * 2 <= found["width"]), "corner_radius", "feature", "width")
    yield _say(z3.Implies(word(kind, "planar_face"), found["side_allowance"] == 0), "side_allowance", "feature")
    for name in ("torque_most", "axis_acceleration", "k_c11"):
        yield _say(found[name] > 0, name)


def _cutters(measures: Measures) -> Iterator[Constraint]:
    """What the reader of a crib makes sure of, beyond the ranges."""
    found = {name: meant(measure) for name, measure in measures.items()}
    end, body = measures["end_cutting"], measures["body"]
    for name in ("ZEFP", "levels", "open_sides"):
        yield _say(z3.IsInt(found[name]), name)
    yield _say(found["APMX"] > 0, "APMX")
    yield _say(found["LU"] >= found["APMX"], "LU", "APMX")
    yield _say(found["LPR"] >= found["LU"], "LPR", "LU")
    yield _say(z3.Implies(known("DN"), found["DN"] <= found["DC"]), "DN", "DC")
    yield _say(found["RE"] * 2 <= found["DC"], "RE", "DC")
    yield _say(found["dead_centre"] < found["DC"], "dead_centre", "DC")
    yield _say(z3.Implies(word(end, "yes"), found["dead_centre"] == 0), "end_cutting", "dead_centre")
    yield _say(z3.Implies(any_word(body, DRILLS), word(end, "yes")), "body", "end_cutting")
    yield _say(found["holder_diameter"] >= found["DCONMS"], "holder_diameter", "DCONMS")
    yield _say(found["DCONMS"] > 0, "DCONMS")
    here = measures["ground_here"]
    edges = load_materials().edges_alone
    for name, group in edges.items():
        yield _say(known("ground_here") == known(name), "ground_here", name)
        alone = z3.And(known(name), word(measures[name], "yes"))
        same = word(here, "yes") == word(measures["group"], group)
        yield _say(z3.Implies(alone, same), "ground_here", name, "group")
    alone_twice = z3.And(known("ground_here"), *(word(measures[name], "yes") for name in edges))
    yield _say(z3.Not(alone_twice), "ground_here", *edges)


def _tables(measures: Measures) -> Iterator[Constraint]:
    """That the facts of the material are those of one row of the tables."""
    materials = load_materials()
    rows: dict[tuple[tuple[str, Anything], ...], None] = {}
    for material in materials:
        data = materials.cutting_class(material.cutting_class)
        row: dict[str, Anything] = {"group": material.group, "material_class": material.cutting_class}
        row |= {f"material_{trait}": yes(getattr(material, trait)) for trait in TRAITS}
        row |= {"k_c11": material.k_c11, "m_c": material.m_c}
        for name in ("radial_share", "ramp_angle"):
            row[f"{name}_low"], row[f"{name}_high"] = getattr(data, name)
        rows[tuple(row.items())] = None
    # Pairs of the class with each other fact: a question takes those it speaks of, and the class ties them together.
    for fact, _ in next(iter(rows)):
        pairs = dict.fromkeys((dict(row)["material_class"], dict(row)[fact]) for row in rows)
        kind, other = measures["material_class"], measures[fact]
        held = z3.Or(*(z3.And(word(kind, one), _is(other, what)) for one, what in pairs))
        yield _say(held, "material_class", fact)


def _is(measure: Measure, what: str | float) -> Term:
    return word(measure, what) if isinstance(what, str) else meant(measure) == number(what)


def _ways(measures: Measures) -> Iterator[Constraint]:
    """Which methods, kinds of feature, bodies and ways in go together."""
    method, kind, body, entry = (measures[name] for name in ("method", "feature", "body", "entry"))
    strip = one_of(kind, *STRIP, "planar_face")
    opened, cored = word(measures["open_side"], "yes"), known("skin_wall")
    for name, way in ways().items():
        suits = z3.If(cored, one_of(kind, *sorted(way.cored)), one_of(kind, *sorted(way.features)))
        meant = z3.And(suits, one_of(body, *sorted(way.bodies)))
        yield _say(z3.Implies(word(method, name), meant), "method", "feature", "body", "skin_wall")
        solid = z3.If(
            strip, one_of(entry, *way.strip), z3.If(opened, one_of(entry, *way.open), one_of(entry, *way.closed))
        )
        listed = z3.If(cored, one_of(entry, *way.cored_entries), solid)
        facts = ("method", "feature", "open_side", "entry", "skin_wall")
        yield _say(z3.Implies(z3.And(word(method, name), known("entry")), listed), *facts)


def _bottom(measures: Measures) -> Iterator[Constraint]:
    """How the bottom follows from what the rules conclude for it."""
    found = {name: meant(measures[name]) for name in ("bottom_allowance", "overcut", "depth", "depth_to_cut", "DC")}
    policy = measures["bottom_policy"]
    yield _say(found["bottom_allowance"] < found["depth"], "bottom_allowance", "depth")
    yield _say(found["depth_to_cut"] > 0, "depth_to_cut")
    past = word(policy, BottomPolicy.PAST_THE_BOTTOM)
    yield _say(z3.Implies(past, found["bottom_allowance"] == 0), "bottom_policy", "bottom_allowance")
    through = z3.And(
        any_word(measures["body"], DRILLS), word(measures["floor"], "no")
    )  # a drill goes through whatever lies there
    held = z3.Implies(z3.And(z3.Not(past), z3.Not(through)), found["overcut"] == 0)
    yield _say(held, "bottom_policy", "overcut", "body", "floor")


def _worked(base: RuleBase) -> Iterator[Constraint]:
    """Where the ramp along a slot and the hole drilled first are worked out: see ``slotting`` and ``entries``."""
    measures, limits = base.measures, base.limits
    found = {name: meant(measures[name]) for name in ("length", "side_allowance", "DC", "hole_diameter")}
    ramped = z3.And(any_word(measures["method"], ALONG_THE_CUT), z3.Bool(PLANNED))
    short = found["length"] - 2 * found["side_allowance"] <= found["DC"]
    facts = ("method", "ramp_strokes", "length", "side_allowance", "DC")
    yield _say(z3.Implies(z3.And(ramped, z3.Not(known("ramp_strokes"))), short), *facts)
    yield _say(z3.Implies(known("ramp_strokes"), z3.And(ramped, found["length"] > found["DC"])), *facts)
    least, most = (number(limits[f"hole_ratio_{end}"]) * found["DC"] for end in ("least", "most"))
    boring = any_word(measures["method"], ROUND_A_HOLE)  # round a hole of whatever width
    suits = z3.Or(boring, z3.And(least <= found["hole_diameter"], found["hole_diameter"] <= most))
    suits = z3.Or(suits, known("said_hole_ratio"))  # a plan may say a drill of any width
    entered = any_word(measures["entry"], THROUGH_A_HOLE)
    facts = ("hole_diameter", "DC", "entry", "method", "said_hole_ratio")
    yield _say(z3.Implies(known("hole_diameter"), z3.And(entered, suits)), *facts)
    for name in OF_THE_HOLE:
        yield _say(known(name) == known("hole_diameter"), name, "hole_diameter")
    yield _say(z3.Implies(known("hole_ground_here"), known("hole_diameter")), "hole_ground_here", "hole_diameter")
