"""What kinds of exercise tell alike: the job before the question, the cutters, a way in one line."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import cache

from advisor.coach.exercise import Choice
from advisor.coach.scene import Scene
from advisor.coach.sketch import feature_sketch
from advisor.coach.table import table
from advisor.coach.topics import topic_of, topics
from advisor.files.problems import printable
from advisor.files.unit_scales import length_word
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import DOWN, GAP, counted, given, quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.model.material import Material
from advisor.paths import shared_dir
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, Table
from advisor.text.feature import thinner_last
from advisor.text.names import spaced
from advisor.text.reasons import reasons, said
from advisor.text.words import size, way_text

LAST_SEEN = 0.1  # mm: a last level that is thinner by this much is told
LETTERS = "abcdefghijklmnopqrstuvwxyz"
HEADS = ("cutter", "kind", "DC", "teeth", "APMX", "LU", "out", "ramp")
MADE_FOR = ("for", "coating")  # groups of ISO 513
WHY_MOST = 2  # reasons that are told, so that the answer stays on a screen


def job_blocks(
    scene: Scene,
    asked: str,
    topic: str,
    crib: Sequence[tuple[str, Cutter]] = (),
    cutter: Cutter | None = None,
    drawn: bool = True,
) -> Iterator[Block]:
    """The feature, material and machine, a drawing where it helps, the crib or the one cutter, and what is asked."""
    yield Heading(f"{printable(scene.assignment.job.part)}: {size(scene.answer.region)}", 2)
    yield Pairs(tuple(_beside(scene, topics()[topic].tells, cutter)))
    sketch = feature_sketch(scene.answer.region) if drawn else None
    if sketch is not None:
        yield sketch
    if crib:
        more = more_of(topic)
        yield Heading(f"Crib, in {length_word()}")
        yield Table(("", *HEADS, *more), tuple((label, *_row(one, more)) for label, one in crib))
    if asked:
        yield Para(asked)


def _beside(scene: Scene, tells: Collection[str], cutter: Cutter | None) -> Iterator[tuple[str, str]]:
    machine, region = scene.bench.machine, scene.answer.region
    yield "material", material_text(scene.bench.material)
    spindle = machine.spindle
    speed, power = quantity(spindle.speed[-1], "1/min"), quantity(spindle.power[-1], "kW")
    yield "machine", f"{printable(machine.name)}: {speed}, {power}, axes {quantity(machine.axis_acceleration, 'm/s²')}"
    if "tool_change" in tells:
        yield "tool change", quantity(machine.tool_change, "s")
    if "coolant" in tells:
        yield "coolant", ", ".join(machine.coolant)
    if "drills" in tells:
        drills = [
            f"{printable(one.id)}, DC {given(one.DC)}, LU {given(one.LU)}, "
            f"point {quantity(one.point_angle or 180.0, 'deg')}{'' if one.substrate == 'carbide' else ', HSS'}"
            for one in scene.assignment.crib
            if one.kind.drill
        ]
        yield "drills", "; ".join(drills) or "none"
    if region.open_ends and region.kind == "slot":
        yield "open", counted(str(region.open_ends), "end")
    elif region.open_sides:
        at = f", {spaced(region.open_at)}" if region.open_at else ""
        yield "open", counted(str(region.open_sides), "side") + at
    if region.kind == "outside_profile" and region.strip:
        yield "stock", f"{given(region.strip)} beside the outline"
    for name in ("top", "thinnest_wall", "floor_thickness", "allowance_side", "allowance_bottom"):
        value = getattr(region, name)
        if value:
            yield spaced(name), given(value)
    if not region.floor and region.kind not in ("planar_face", "step"):
        free = region.clearance_below
        yield "beneath", "clearance not given" if free is None else f"{given(free)} free"
    if region.round and region.purpose is not None:
        yield "purpose", table().hole_purposes[region.purpose]
    if region.flat_floor is not None and region.floor:
        yield "floor", "flat, with no drill point left" if region.flat_floor else "the cone of a drill may stay"
    if cutter is not None:
        yield "cutter", cutter_line(cutter, MADE_FOR if "made_for" in tells else ())


def material_text(material: Material) -> str:
    """A material by the name that a shop has for it, with the standard's and its group."""
    known, name = shop_names().get(material.name), printable(material.name)
    called = name if known is None else known if name in known else f"{known} ({name})"
    return f"{called}, group {material.group}"


@cache
def shop_names() -> dict[str, str]:
    """What a shop calls the materials, by their names."""
    found: dict[str, str] = read_yaml(shared_dir() / "shop_names.yaml").value
    return found


def more_of(topic: str) -> tuple[str, ...]:
    """What is told of the cutters besides, in a topic that turns on what they are made for."""
    return MADE_FOR if "made_for" in topics()[topic].tells else ()


def cutter_line(cutter: Cutter, more: Sequence[str] = ()) -> str:
    """A cutter with all that its row in the crib says, and so much more."""
    row = dict(zip((*HEADS, *more), _row(cutter, more), strict=True))
    told = [f"{name} {row[name]}" for name in (*HEADS[2:], *more) if row[name]]
    if cutter.dead_centre > 0 and not cutter.kind.drill:
        told.append(f"no edge in the middle {given(cutter.dead_centre)}")
    return f"{row['cutter']}, {row['kind']}, {', '.join(told)}"


def _row(cutter: Cutter, more: Sequence[str]) -> tuple[str, ...]:
    ramp = "" if cutter.RMPX is None or cutter.kind.drill else quantity(cutter.RMPX, "deg")
    point = f", {quantity(cutter.point_angle, 'deg')}" if cutter.kind.drill and cutter.point_angle else ""
    slanting = not cutter.kind.drill and rule_base().limits["shoulder_edge_angle_least"] > cutter.KAPR
    edge = f", edge {quantity(cutter.KAPR, 'deg')}" if slanting else ""
    substrate = "" if cutter.substrate == "carbide" else f", {cutter.substrate.upper()}"
    kind = f"{spaced(cutter.body)}{point}{edge}{substrate}"
    lengths = (given(value, bare=True) for value in (cutter.APMX, cutter.LU, cutter.LPR))
    besides = {"for": cutter.TMC1ISO or "", "coating": cutter.COATING or "", "RE": given(cutter.RE)}
    told = (besides[name] for name in more)
    return printable(cutter.id), kind, given(cutter.DC, bare=True), str(cutter.ZEFP), *lengths, ramp, *told


def lettered(texts: Sequence[str], words: Sequence[tuple[str, ...]] = ()) -> tuple[Choice, ...]:
    """Choices with a letter each, and the other words for each where there are some."""
    others = words or [()] * len(texts)
    return tuple(Choice(letter, text, also) for letter, text, also in zip(LETTERS, texts, others, strict=False))


def cutter_choice(label: str, cutter: Cutter) -> Choice:
    """A cutter to choose; it may be typed by its id."""
    return Choice(label, f"{printable(cutter.id)}, {spaced(cutter.body)}, DC {given(cutter.DC)}", (cutter.id,))


def in_short(way: Candidate) -> str:
    """A way with its levels, width and time in one line."""
    plan = way.plan
    if plan is None:
        return way_text(way)
    levels = counted(str(plan.levels), "turn" if METHODS[way.method].in_turns else "level")
    deep, wide = (quantity(value, "mm", typed=DOWN) for value in (plan.axial_depth, plan.radial_width))
    last = thinner_last(plan, LAST_SEEN)
    last_told = "" if last is None else f", the last{GAP}{quantity(last, 'mm', typed=DOWN)}"
    cut = f"{levels} of{GAP}{deep}{last_told}, {wide} wide"
    return f"{way_text(way)}: {cut}, {quantity(way.time, 's')}"


def answer_blocks(scene: Scene, topic: str, title: str = "Answer") -> Iterator[Block]:
    """The advised way and its reason: the rules that carry it, those of the topic first, no more than a screen has."""
    yield Heading(title)
    yield carried_by(scene, sorted(reasons(scene.answer), key=lambda rule: topic_of(rule) != topic))


def carried_by(scene: Scene, rules: Sequence[Rule]) -> Items:
    """The advised way in short, and what the first of some rules say of it, no more than a screen has."""
    best, base = scene.best, scene.bench.base
    return Items((Item(in_short(best)), *(said(rule, best.facts, base) for rule in rules[:WHY_MOST])))
