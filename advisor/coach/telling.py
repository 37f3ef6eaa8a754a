"""What kinds of exercise tell alike: the job before the question, the crib, a way in one line."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.coach.exercise import Choice
from advisor.coach.scene import Scene
from advisor.coach.sketch import feature_sketch
from advisor.files.problems import printable
from advisor.files.unit_scales import length_word
from advisor.knowledge.wording import DOWN, GAP, counted, given, quantity
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter
from advisor.text.blocks import Block, Heading, Pairs, Para, Table
from advisor.text.names import spaced
from advisor.text.words import size, way_text

LETTERS = "abcdefghijklmnopqrstuvwxyz"
HEADS = ("cutter", "kind", "DC", "teeth", "APMX", "LU", "out", "ramp")


def job_blocks(scene: Scene, asked: str, crib: bool = True) -> Iterator[Block]:
    """The feature, material and machine, the drawing, the crib where it is chosen from, and what is asked."""
    yield Heading(f"{printable(scene.assignment.job.part)}: {size(scene.answer.region)}", 2)
    yield Pairs(tuple(_beside(scene)))
    yield feature_sketch(scene.answer.region)
    if crib:
        yield Heading(f"Crib, in {length_word()}")
        yield Table(HEADS, tuple(_row(cutter) for cutter in scene.assignment.crib))
    yield Para(asked)


def _beside(scene: Scene) -> Iterator[tuple[str, str]]:
    material, machine, region = scene.bench.material, scene.bench.machine, scene.answer.region
    yield "material", f"{printable(material.name)}, group {material.group}"
    spindle = machine.spindle
    speed, power = quantity(spindle.speed[-1], "1/min"), quantity(spindle.power[-1], "kW")
    yield "machine", f"{printable(machine.name)}: {speed}, {power}, axes {quantity(machine.axis_acceleration, 'm/s²')}"
    yield "tool change", quantity(machine.tool_change, "s")
    yield "coolant", ", ".join(machine.coolant)
    if region.open_ends and region.kind == "slot":
        yield "open", counted(str(region.open_ends), "end")
    elif region.open_sides:
        at = f", {spaced(region.open_at)}" if region.open_at else ""
        yield "open", counted(str(region.open_sides), "side") + at
    for name in ("top", "thinnest_wall", "floor_thickness", "allowance_side", "allowance_bottom"):
        value = getattr(region, name)
        if value:
            yield spaced(name), given(value)
    if region.flat_floor:
        yield "floor", "flat, with no drill point left"


def _row(cutter: Cutter) -> tuple[str, ...]:
    ramp = "" if cutter.RMPX is None or cutter.kind.drill else quantity(cutter.RMPX, "deg")
    kind = spaced(cutter.body) + ("" if cutter.substrate == "carbide" else f" {cutter.substrate}")
    lengths = (given(value, bare=True) for value in (cutter.APMX, cutter.LU, cutter.LPR))
    return printable(cutter.id), kind, given(cutter.DC, bare=True), str(cutter.ZEFP), *lengths, ramp


def lettered(texts: list[str]) -> tuple[Choice, ...]:
    """Choices with a letter each."""
    return tuple(Choice(letter, text) for letter, text in zip(LETTERS, texts, strict=False))


def in_short(way: Candidate) -> str:
    """A way with its levels, width and time in one line."""
    plan = way.plan
    if plan is None:
        return way_text(way)
    levels = counted(str(plan.levels), "turn" if METHODS[way.method].in_turns else "level")
    deep, wide = (quantity(value, "mm", typed=DOWN) for value in (plan.axial_depth, plan.radial_width))
    cut = f"{levels} of{GAP}{deep}, {wide} wide"
    return f"{way_text(way)}: {cut}, {quantity(way.time, 's')}"


def wordy(name: str) -> str:
    """A fact as words, without what only a program needs."""
    return spaced(name.removesuffix("_kind"))
