"""What another rule base changes in the worked cases, feature by feature."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from advisor.choosing.advice import advise
from advisor.inference import Inference
from advisor.model.answer import FeatureAdvice
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of

LOOKED_AT = ("method", "cutter", "entry", "levels", "grade")


class Compared(NamedTuple):
    """One feature of a case by two rule bases; ``fault`` says what went wrong with the second, if anything did."""

    case: str
    feature: str
    before: dict[str, str | int | None]
    after: dict[str, str | int | None]
    fault: str = ""

    @property
    def changes(self) -> dict[str, tuple[str | int | None, str | int | None]]:
        """What differs: before and after."""
        return {
            name: (self.before[name], self.after[name]) for name in LOOKED_AT if self.before[name] != self.after[name]
        }


def compared(before: Inference, after: Inference) -> Iterator[Compared]:
    """Every feature of every worked case, by the rules of one inference and by those of the other."""
    for folder in sorted(path.parent for path in cases_dir().glob("*/job.yaml")):
        assignment = read_assignment(folder / "job.yaml")
        shipped = advise(assignment, bench_of(assignment, before)).features
        try:
            own = advise(assignment, bench_of(assignment, after)).features
        except Exception as error:  # numbers that the arithmetic cannot bear are the shop's to mend, not a crash
            yield Compared(folder.name, "", {}, {}, f"{type(error).__name__}: {error}")
            continue
        for one, other in zip(shipped, own, strict=True):
            yield Compared(folder.name, one.region.id, _answer(one), _answer(other))


def _answer(found: FeatureAdvice) -> dict[str, str | int | None]:
    best = found.best
    if best is None:
        return {"method": None, "cutter": None, "entry": None, "levels": None, "grade": found.grade}
    return {
        "method": best.method,
        "cutter": best.cutter.id,
        "entry": best.entry,
        "levels": best.plan.levels if best.plan else None,
        "grade": found.grade,
    }
