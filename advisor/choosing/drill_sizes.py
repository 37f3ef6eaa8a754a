"""Whether a drill has the size that a hole wants, and whether a change of a diameter only means another drill."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.mechanics.lengths import difference, exceeds
from advisor.methods.registry import METHODS
from advisor.model.candidate import Candidate


def right_size(candidate: Candidate) -> bool:
    """Whether a way is no drill that leaves more or less on the wall than the hole's purpose asks for."""
    return not any(float(candidate.facts.get(fact, 0.0)) > 0 for fact in ("left_over", "left_short"))


def only_another_drill(
    start: float, at: float, ways: tuple[Candidate | None, Candidate | None], limits: Mapping[str, float]
) -> bool:
    """Whether a diameter of hole or drill [mm] moves so little, while one of the ways before and after drills, that it
    only means a drill of another size.
    """
    drilled = any(way is not None and METHODS[way.method].by_drill for way in ways)
    least = max(limits["drill_size_step"], limits["drill_size_step_share"] * start)
    return drilled and exceeds(least, abs(difference(at, start)))
