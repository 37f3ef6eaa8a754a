"""More never hurts: what a way takes on a machine that can do more of one thing, beside what it took before.

One thing at a time is raised by 5 % to three times: the greatest feed, the power, the torque, the stiffness, the
acceleration of the axes, the speed of the spindle (up to twice). No rule and no arithmetic of ours is asked what should
come out. Source: reasoning alone. What a machine could do before, it still can.

Two relations hold.

- A way (method, cutter, way in) whose grade stays or gets better takes no longer.
- The answer does not get worse by more than the band in which a stiffer cutter is preferred; a worse grade comes first
  only where it saves three tenths of the time.

Where more of something makes a difference that is no harm:

- ``NEAR``: short of power, the trade eases the feed per tooth before it slows the spindle, and gives away a twentieth.
- ``MOMENT``: a wider or deeper cut has a lower feed, so it is a little slower on the way in.
- Plunging is for what bends too much for a cut with the side: with more stiffness it loses its grade.
- A deeper level that is now borne may leave the chips of many teeth too little room, and a greater feed or speed asks
  for more power than the spindle has: the way is quicker, and its grade worse. Then the answer is another one. The very
  same cut may lose its grade so, since it is held against what feed and speed would allow; it still comes first where
  it saves four tenths of the time and a quarter of a minute.
- A chip is eased to eight tenths before levels get thinner. A machine that feeds slowly may make thinner ones, with
  fewer levels: with a greater feed the way takes up to an eighth longer where it travels more than it cuts.
- Of poor ways those that less speaks against come first, whatever they take.
- Looping is held against the feed that the spindle could turn for it: with a quicker spindle, axes that were quick
  enough may be too slow for it.
- ``HALF``: the cutting data are good down to half the speed that a spindle can turn for them. What a slower spindle did
  at less than half of what the faster one can do is not done by that one.
- A spindle that turns faster feeds faster too: where the feed holds, it can only turn down to half of its speed.
- Levels are those of the quickest cut: a way in to each of more or of deeper ones may take longer than they save. So
  single ways get slower, by a tenth or so; two or three in ten thousand, the answer not.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache
from random import Random
from typing import NamedTuple

from advisor.choosing.advice import advise_feature
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cause import HeldBy
from advisor.model.machine import Machine, make_machine
from tests.jobs.random_jobs import Asked, random_job
from tests.search.claims import bench_for

WHAT = ("feed", "power", "torque", "stiffness", "acceleration", "speed")
LEAST, MOST, SPEED_MOST = 1.05, 3.0, 2.0  # times as much
NEAR, ROUNDING, MOMENT = 0.05, 0.01, 1.0  # of the time, of the time, s
BAND = 0.1  # as much slower may a stiffer cutter be
HALF = 0.5  # of the speed for the cutting data
SAVING = 0.7  # of a good way's time: then a workable one comes first
GREATEST_SPEED = HeldBy.SPINDLE_SPEED, HeldBy.MARKED_SPEED
KEPT = 100  # answers on the machine as it is, which is held against one with more of each thing


class Slower(NamedTuple):
    """A way, or the answer, that takes longer [s] with more of something."""

    seed: int
    what: str
    times: float
    way: str
    before: float
    after: float
    grades: str

    def __str__(self) -> str:
        more = f"{self.what} x {self.times:g}"
        return f"job {self.seed}, {more}: {self.way}, {self.before:.1f} -> {self.after:.1f} s, {self.grades}"


class Compared(NamedTuple):
    """One job on two machines: how many ways were compared, how many changed, and which got slower."""

    ways: int
    quicker: int
    worse: int
    slower: tuple[Slower, ...]


def with_more(machine: Machine, what: str, times: float) -> Machine:
    """The machine with so many times as much of one thing.

    Torque is raised where the spindle turns slower than at its greatest power, so that its first power begins earlier.
    A greater speed goes on from the last one with the power that was there.
    """
    row = machine.model_dump(exclude={"assumed"})
    speed, power = list(machine.spindle.speed), list(machine.spindle.power)
    match what:
        case "feed":
            row["feed_max"] *= times
        case "power":
            row["spindle"] = {"speed": speed, "power": [times * each for each in power]}
        case "torque":
            row["spindle"] = {"speed": [speed[0] / times, *speed[1:]], "power": power}
        case "stiffness":
            row["stiffness"] *= times
        case "acceleration":
            row["axis_acceleration"] *= times
        case "speed":
            row["spindle"] = {"speed": [*speed, speed[-1] * times], "power": [*power, power[-1]]}
            row["feed_max"] *= times
    return make_machine(**row)


def factor(seed: int, what: str) -> float:
    """How many times as much a job of a number is asked with."""
    return round(Random(f"{seed} {what}").uniform(LEAST, SPEED_MOST if what == "speed" else MOST), 2)


def compared(seed: int, what: str, times: float | None = None) -> Compared:
    """The job of a number beside the same on a machine with more of something."""
    asked = random_job(seed)
    times = times or factor(seed, what)
    more = asked._replace(machine=with_more(asked.machine, what, times))
    return beside(_as_it_is(seed), answer(more), lambda *told: Slower(seed, what, times, *told))


@lru_cache(maxsize=KEPT)
def _as_it_is(seed: int) -> FeatureAdvice:
    return answer(random_job(seed))


def answer(asked: Asked) -> FeatureAdvice:
    """The answer to a question."""
    return advise_feature(asked.feature, asked.crib, bench_for(asked))


def beside(before: FeatureAdvice, after: FeatureAdvice, told: Callable[..., Slower]) -> Compared:
    """Two answers to one question, way by way."""
    others = {_name(found): found for found in after.candidates}
    pairs = [
        (found, others[_name(found)])
        for found in before.candidates
        if found.grade != "forbidden" and _name(found) in others
    ]
    kept = [(one, other) for one, other in pairs if _place(other) <= _place(one) and not _too_slow(one, other)]
    found = [
        told(" ".join(_name(one)), one.time, other.time, f"{one.grade} -> {other.grade}")
        for one, other in kept
        if longer(one.time, other.time) and not _only_to_and_fro(one, other)
    ]
    quicker = sum(other.time < one.time / (1 + ROUNDING) for one, other in kept)
    found.extend(_answers(before, after, others, told))
    return Compared(len(pairs), quicker, len(pairs) - len(kept), tuple(found))


def _answers(
    before: FeatureAdvice, after: FeatureAdvice, others: dict[tuple[str, ...], Candidate], told: Callable[..., Slower]
) -> Iterator[Slower]:
    one, other = before.best, after.best
    if one is None:
        return
    same = others.get(_name(one))
    if (
        same is None or _place(same) > _place(one) or _too_slow(one, same)
    ):  # the way that was best is no more what it was
        return
    if other is None:
        yield told("no answer", one.time, float("inf"), f"{one.grade} -> forbidden")
    elif (_place(other) > _place(one) and other.counted >= SAVING * one.counted) or (
        _place(other) == _place(one) and longer(one.counted * (1 + BAND), other.counted)
    ):
        yield told(f"answer {' '.join(_name(other))}", one.counted, other.counted, f"{one.grade} -> {other.grade}")


def longer(before: float, after: float) -> bool:
    """Whether a time is longer than before by more than rounding and the order of the trade make it [s]."""
    return after > before * (1 + NEAR + ROUNDING) + MOMENT


def _too_slow(before: Candidate, after: Candidate) -> bool:
    """Whether a way turned at less than half of the speed that the other machine can turn for it."""
    if before.plan is None or after.plan is None:
        return False
    reach = after.plan.spindle_speed
    for held in after.plan.held:
        if held.setting == "spindle_speed":
            reach = max(reach, held.after if held.cause.by in GREATEST_SPEED else held.before)
    return before.plan.spindle_speed < HALF * (1 - ROUNDING) * reach


def _only_to_and_fro(before: Candidate, after: Candidate) -> bool:
    """Whether only the way in takes longer, since there are more levels to go into to and fro."""
    if before.plan is None or after.plan is None or after.entry != "zigzag_ramp":
        return False
    cut = [found.plan.cut_time + found.plan.travel_time for found in (before, after) if found.plan]
    return after.plan.levels > before.plan.levels and not longer(*cut)


def _place(found: Candidate) -> tuple[int, tuple[str, ...]]:
    """The place of a way's grade; of poor ones the ones with more against them come later."""
    against = tuple(rule.id for rule in found.fired if rule.verdict == "against")
    return GRADES.index(found.grade), (str(len(against)),) if found.grade == "poor" else ()


def _name(found: Candidate) -> tuple[str, ...]:
    return tuple(filter(None, (found.method, found.cutter.id, found.entry, found.drill and found.drill.id)))
