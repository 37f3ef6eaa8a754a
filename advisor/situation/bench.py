"""What is the same for every cutter of a question: material, machine, numbers of the trade, inference."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from advisor.inference import Inference, start
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.mechanics.power import spindle_power, torque
from advisor.model.assignment import Assignment
from advisor.model.machine import Machine
from advisor.model.material import CuttingClass, Material
from advisor.readers.materials import load_materials

if TYPE_CHECKING:
    from advisor.knowledge.house import Joined

MOST_HOUSES = 8  # houses whose rules and answers are kept in a process


class Bench(NamedTuple):
    """Where the part is cut, and by what knowledge. ``limits`` are the thresholds by name; ``house`` is the folder of
    the shop's own rules.
    """

    material: Material
    data: CuttingClass
    machine: Machine
    base: RuleBase
    inference: Inference
    limits: Mapping[str, float]
    house: Path | None = None

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
    """One inference a process over the shipped rule base, with its answers so far."""
    return start(rule_base(), engine)


@dataclass(frozen=True)
class _House:
    """The file of a folder of house rules as it was read: two of the same text are the same, wherever they lie."""

    folder: Path = field(compare=False)
    text: str


@lru_cache(maxsize=MOST_HOUSES)
def _joined(house: _House) -> Joined:
    """The shipped rule base with the changes of each content of house rules, of those asked last."""
    from advisor.knowledge.house import joined  # only here: most shops have none

    return joined(rule_base(), house.folder, house.text)


@lru_cache(maxsize=MOST_HOUSES)
def house_inference(house: _House, engine: str | None) -> Inference:
    """One inference for each content of house rules, of those asked last."""
    return start(_joined(house).base, engine)


def without_each_change(house: Path) -> dict[str, RuleBase]:
    """The rule bases that lack one change of the house each, by the name of the change.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    from advisor.knowledge.house import house_text, without_each

    return without_each(rule_base(), _joined(_House(house, house_text(house))).house)


def inference_of(house: Path | None, engine: str | None = None) -> Inference:
    """The inference over the shipped rule base, with a shop's own rules in it where there is a folder of them.

    Houses of the same text share one; its rules name the file that was read first.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    if house is None:
        found = shared_inference(engine)
    else:
        from advisor.knowledge.house import house_text

        found = house_inference(_House(house, house_text(house)), engine)
    found.free_idle()
    return found


def with_house_notes(assignment: Assignment) -> Assignment:
    """The assignment with a note for each cutter that its house rules name and its crib does not have.

    Raises:
        BadInput: the house rules are not as they must be.
    """
    if assignment.house is None:
        return assignment
    from advisor.knowledge.house import file_of
    from advisor.knowledge.named_cutters import not_in_crib

    base, file = inference_of(assignment.house).base, str(file_of(assignment.house))
    missing = not_in_crib(base, (cutter.id for cutter in assignment.crib))
    found = tuple(str(replace(problem, file=file)) for problem in missing)
    return assignment.model_copy(update={"notes": (*assignment.notes, *found)}) if found else assignment


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
        None if inference else assignment.house,
    )
