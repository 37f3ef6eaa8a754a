"""What decides between ways that are equally quick: how firm they are."""

from __future__ import annotations

from typing import NamedTuple

from advisor.knowledge.conditions import Facts
from advisor.mechanics.lengths import reaches
from advisor.model.answer import Decided

FINE = 6  # decimals of a micrometre a newton: two ways of adding up the same beam may differ beyond
# What each field of Firmness is called where it decides.
DECIDE = (Decided.ASIDE, Decided.REST, Decided.COMPLIANCE, Decided.LEVELS, Decided.WIDTH)

TURNS, STOPS, SECOND = range(3)  # it goes into the corners and on; it stops in or before them; a second cutter must


class Firmness(NamedTuple):
    """What decides between ways that are equally quick; the least comes first.

    ``aside`` is whether the cut pushes the cutter aside at all, ``rest`` how it leaves the corners (``TURNS``,
    ``STOPS`` or ``SECOND``), ``compliance`` that of its tip [µm/N], ``narrow`` the cutting diameter [mm] with its sign
    turned.
    """

    aside: bool
    rest: int
    compliance: float
    levels: int
    narrow: float


def leaves_rest(facts: Facts) -> bool:
    """Whether a cutter leaves more in the corners than finishing takes anyway, so that a second one has to follow."""
    beyond = facts.get("corner_rest_beyond", 0.0)
    return isinstance(beyond, float) and beyond > 0


def leaves_fillet(facts: Facts) -> bool:
    """Whether the corner radius of a cutter leaves more at the edge of a floor than finishing takes."""
    return facts.get("foot_fillet") == "yes"


def corners_left(facts: Facts) -> int:
    """How a cutter leaves the corners: one no narrower than they are, less their allowance, stops in them or before
    them, though finishing may take what stays. A fillet along the floor needs a second cutter as well.
    """
    if leaves_rest(facts) or leaves_fillet(facts):
        return SECOND
    ratio = facts.get("corner_ratio")
    return STOPS if isinstance(ratio, float) and reaches(1.0, ratio) else TURNS


def tip_rounded(compliance: float) -> float:
    """How far the tip gives way [µm/N], from millimetres a newton."""
    return round(1e3 * compliance, FINE)


def tied_most(compliance: float, tie: float) -> float:
    """Up to which compliance of the tip a way counts as stiff as one with this compliance [µm/N]."""
    return round(compliance * (1 + tie), FINE)


def outdone(firmness: Firmness, by: Firmness, tie: float) -> bool:
    """Whether a way comes after another that is no slower, whoever stands beside them; ``tie`` is the share that
    counts as equally stiff.
    """
    if firmness[:2] != by[:2]:
        return by[:2] < firmness[:2]
    if firmness.compliance > tied_most(by.compliance, tie):
        return True
    return by.compliance <= firmness.compliance and by[3:] <= firmness[3:]
