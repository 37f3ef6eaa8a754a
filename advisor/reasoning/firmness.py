"""What decides between ways that are equally quick: how firm they are."""

from __future__ import annotations

from typing import NamedTuple

from advisor.rulebase.conditions import Facts

FINE = 6  # decimals of a micrometre a newton: two ways of adding up the same beam may differ beyond
DECIDE = ("aside", "rest", "give", "levels", "width")  # how what a way is sorted by is called, in order


class Firmness(NamedTuple):
    """What decides between ways that are equally quick; the least comes first.

    ``aside`` is whether the cut pushes the cutter aside at all, ``rest`` whether it leaves the corners to a second
    cutter, ``give`` how far its tip gives way [µm/N], ``narrow`` the cutting diameter [mm] with its sign turned.
    """

    aside: bool
    rest: bool
    give: float
    levels: int
    narrow: float


def leaves_rest(facts: Facts) -> bool:
    """Whether a cutter leaves more in the corners than finishing takes anyway, so that a second one has to follow."""
    beyond = facts.get("corner_rest_beyond", 0.0)
    return isinstance(beyond, float) and beyond > 0


def tip_give(give: float) -> float:
    """How far the tip gives way [µm/N], from millimetres a newton."""
    return round(1e3 * give, FINE)


def tied_most(give: float, tie: float) -> float:
    """Up to which give of the tip a way counts as stiff as one with this give [µm/N]."""
    return round(give * (1 + tie), FINE)


def outdone(firmness: Firmness, by: Firmness, tie: float) -> bool:
    """Whether a way comes after another that is no slower, whoever stands beside them; ``tie`` is the share that
    counts as equally stiff.
    """
    if firmness[:2] != by[:2]:
        return by[:2] < firmness[:2]
    if firmness.give > tied_most(by.give, tie):
        return True
    return by.give <= firmness.give and by[3:] <= firmness[3:]
