"""Power and torque of the cut against the machine's continuous curve."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from advisor.files.problems import printable
from advisor.knowledge.wording import quantity, share_of
from advisor.mechanics.power import spindle_power, spindle_torque
from advisor.model.plan import Plan
from advisor.render.drawings import svg
from advisor.render.drawings.svg import WIDTH, Drawing, label
from advisor.situation.bench import Bench

LEFT, HIGH, GAP, TOP = 46.0, 84.0, 34.0, 20.0
WIDE = WIDTH - LEFT - 14.0
STEPS = 60
ROOM = 1.12  # of the greatest value: the height of the axis


class Asked(NamedTuple):
    """What the cut asks of the spindle, what there is at its speed, and the curve over all speeds."""

    name: str
    unit: str
    asked: float
    given: float
    curve: Callable[[float], float]

    @property
    def over(self) -> bool:
        """Whether the cut asks for more than there is."""
        return self.asked > self.given

    @property
    def told(self) -> str:
        """Both numbers with their unit."""
        return f"{self.name} {share_of(self.asked, self.given, self.unit)}"


def spindle_curve(plan: Plan, bench: Bench, prefix: str) -> Drawing:
    """The two curves of the spindle with the cut as a point on each, or as a cross where it lies over the curve."""
    spindle, load, speed = bench.machine.spindle, plan.load, plan.spindle_speed
    last = spindle.speed[-1]
    both = (
        Asked(
            "power",
            "kW",
            load.power,
            load.power_available,
            lambda at: spindle_power(spindle.speed, spindle.power, at),
        ),
        Asked(
            "torque",
            "Nm",
            load.torque,
            load.torque_available,
            lambda at: spindle_torque(spindle.speed, spindle.power, at),
        ),
    )
    parts: list[str] = []
    top = TOP
    for asked in both:
        parts += _curve(asked, speed, last, top)
        top += HIGH + GAP
    parts.append(label(LEFT, top - GAP + 10, "0"))
    parts.append(label(LEFT + WIDE, top - GAP + 10, quantity(max(last, speed), "1/min"), "end"))
    title = f"Spindle of {printable(bench.machine.name)}"
    return svg.drawing(prefix, "spindle", title, _told(both, speed, last), top - GAP + 20, parts)


def _told(both: tuple[Asked, ...], speed: float, last: float) -> str:
    over = [asked.name for asked in both if asked.over]
    beyond = f" Over the curve: {' and '.join(over)}." if over else ""
    faster = f" The spindle turns {quantity(last, '1/min')} at most." if speed > last else ""
    return f"At {quantity(speed, '1/min')}: {', '.join(asked.told for asked in both)}.{beyond}{faster}"


def _curve(asked: Asked, speed: float, last: float, top: float) -> Iterator[str]:
    """One curve with its axes and the cut."""
    found = [(n, asked.curve(n)) for n in (min(last, last * place / STEPS) for place in range(STEPS + 1))]
    greatest = max(value for _, value in found)
    most, far = ROOM * max(greatest, asked.asked), max(last, speed)

    def x(n: float) -> float:
        return LEFT + WIDE * n / far

    def y(value: float) -> float:
        return top + HIGH * (1 - value / most)

    over = ": OVER" if asked.over else ": TOO FAST" if speed > last else ""
    yield label(8, top - 9, f"{asked.told} at {quantity(speed, '1/min')}{over}", class_="label strong")
    yield svg.path(svg.points([(LEFT, top), (LEFT, top + HIGH), (LEFT + WIDE, top + HIGH)]), "frame")
    yield label(LEFT - 5, y(greatest), quantity(greatest, asked.unit, bare=True), "end")
    yield svg.path(svg.points((x(n), y(value)) for n, value in found), "curve", data_part="curve")
    at = x(speed), y(asked.asked)
    yield svg.path(svg.points([(at[0], top + HIGH), at, (LEFT, at[1])]), "leader")
    yield svg.cross(*at) if over else svg.circle(*at, 4.5, "point", data_part="point")
