"""What is the same for every cutter of a question: material, machine, numbers of the trade, inference."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from advisor.inference import Inference, start
from advisor.inputs.assignment import Assignment
from advisor.inputs.machine import Machine
from advisor.inputs.material import CuttingClass, Material, load_materials
from advisor.mechanics.power import spindle_power, torque
from advisor.rulebase.schema import RuleBase
from advisor.rulebase.shipped import rule_base


class Bench(NamedTuple):
    """Where the part is cut, and by what knowledge. ``limits`` are the thresholds by name."""

    material: Material
    data: CuttingClass
    machine: Machine
    base: RuleBase
    inference: Inference
    limits: Mapping[str, float]

    @property
    def speed_most(self) -> float:
        """The greatest spindle speed [1/min]."""
        return self.machine.spindle.speed[-1]

    def power_at(self, speed: float) -> float:
        """The continuous power at a speed [kW]."""
        spindle = self.machine.spindle
        return spindle_power(spindle.speed, spindle.power, min(speed, spindle.speed[-1]))

    def taken(self, span: tuple[float, float]) -> float:
        """The value inside a range of the cutting data that is taken, in the unit of the range."""
        return span[0] + self.limits["range_share_taken"] * (span[1] - span[0])

    @property
    def torque_most(self) -> float:
        """The greatest continuous torque [Nm]."""
        spindle = self.machine.spindle
        return max(torque(power, speed) for power, speed in zip(spindle.power, spindle.speed, strict=True))


@cache
def shared_inference(engine: str | None = None) -> Inference:
    """One inference a process over the shipped rule base: rulesets of the engine are never freed."""
    return start(rule_base(), engine)


@cache
def _house_inference(folder: Path, digest: str, engine: str | None) -> Inference:
    """One inference a process for a folder of house rules as it is now, known by its digest."""
    from advisor.rulebase.house import house_base  # only here: most shops have none

    return start(house_base(rule_base(), folder), engine)


def inference_of(house: Path | None, engine: str | None = None) -> Inference:
    """The inference over the shipped rule base, with a shop's own rules in it where there is a folder of them.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    if house is None:
        return shared_inference(engine)
    from advisor.rulebase.house import digest

    return _house_inference(house, digest(house), engine)


def bench_of(assignment: Assignment, inference: Inference | None = None) -> Bench:
    """The bench of an assignment, with its house rules, unless an inference over another rule base is given.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    asked = inference or inference_of(assignment.house)
    material = assignment.material
    return Bench(
        material,
        load_materials().cutting_class(material.cutting_class),
        assignment.machine,
        asked.base,
        asked,
        asked.base.limits,
    )
