"""What another rule base changes in the worked cases, or in jobs of the shop's own, feature by feature."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from advisor.choosing.advice import advise
from advisor.choosing.job_advice import Advice
from advisor.inference import Inference
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
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


def cases() -> Iterator[tuple[str, Assignment]]:
    """The worked cases by their names."""
    for folder in sorted(path.parent for path in cases_dir().glob("*/job.yaml")):
        yield folder.name, read_assignment(folder / "job.yaml")


def compared(
    before: Inference,
    after: Inference,
    jobs: Iterable[tuple[str, Assignment]] | None = None,
    keep: Callable[[str, Advice], None] = lambda name, advice: None,
) -> Iterator[Compared]:
    """Every feature of some jobs, by the rules of one inference and by those of the other; of the worked cases where
    none are named. ``keep`` is given the advice by the other, with the name of the job.
    """
    for name, assignment in cases() if jobs is None else jobs:
        shipped = advise(assignment, bench_of(assignment, before)).features
        try:
            found = advise(assignment, bench_of(assignment, after))
        except Exception as error:  # numbers that the arithmetic cannot bear are the shop's to mend, not a crash
            yield Compared(name, "", {}, {}, f"{type(error).__name__}: {error}")
            continue
        keep(name, found)
        for one, other in zip(shipped, found.features, strict=True):
            yield Compared(name, one.region.id, _answer(one), _answer(other))


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
