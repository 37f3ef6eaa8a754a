"""What a roughing method is: its name, how it is worked out, how quick it can be, and what it is like."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from advisor.methods.cut import Cut
from advisor.methods.pace import TimeAt
from advisor.model.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A roughing method. Whoever wants to know what it is like asks one of its traits, never its name.

    Which features, bodies and ways in it can be meant for is data: see ``shared/ways.yaml``. Each method stands once,
    in its own module; ``registry.METHODS`` has them by name.
    """

    name: str
    """What plans, rules and tables call it."""
    plan: Callable[[Cut], Plan | None]
    """Settings, loads and time of a prepared cut; nothing where the cutter does not fit."""
    lower_bound: Callable[[Cut], TimeAt]
    """For a prepared cut, a time at each pace that the plan's cutting and travel do not stay below: see ``bounds``."""
    prepare: Callable[[Cut], Cut] | None = None
    """The cut as it works with it, where that is not simply what the tables say: another chip, more to bend into."""
    entry_bounded: bool = False
    """Whether the lower bound of its time counts the way in; else that may be part of the cut."""

    in_levels: bool = False
    """Clears in levels, one below the other, each over the whole feature."""
    whole_depth: bool = False
    """Takes the whole depth in one level, as far as edge and wall allow it."""
    in_turns: bool = False
    """Goes down in turns of one helix, which are no levels."""
    straight_down: bool = False
    """Cuts straight down along the spindle to the whole depth; its chip has one thickness all the way round."""
    full_width: bool = False
    """The whole width of the cutter cuts: there is no radial width to choose."""
    along_the_cut: bool = False
    """Can descend along the cut itself, to and fro on a ramp as long as the feature."""
    wide_levels: bool = False
    """Clears with wide cuts in shallow levels."""
    narrow: bool = False
    """Cuts so narrow that the cutting speed may rise."""
    corners_engage_more: bool = False
    """The cutter is engaged further in an inside corner than along the wall before it."""
    spares_a_floor: bool = False
    """Makes its last level thinner than the others where the floor is thin."""
    whole_hole: bool = False
    """Cuts a round hole whole, from the top to the bottom: nothing stays in corners for a narrower cutter, there is no
    way in to choose, and no straight way.
    """
    takes_corners: bool = False
    """It is how a narrower cutter takes what a wider one left in the corners."""
    passes_over: bool = False
    """Takes the top off in straight passes side by side."""
    plunges: bool = False
    """Plunges beside the last plunge: it cuts with the end, and its radial width is that of a plunge."""
    only_if_named: bool = False
    """Nobody means it who does not say so."""
    by_drill: bool = False
    """A drill makes the hole in one go, as wide as itself: it has no way in but the cut."""
    round_a_hole: bool = False
    """Goes round a hole that was drilled first, if one was, and takes the ring beside it, which is another cut."""
    pushed_aside: bool = True
    """Its cut pushes the cutter aside; else how stiff that is does not matter beside others."""

    def prepared(self, cut: Cut) -> Cut:
        """The cut as it works with it; ``plan`` and ``lower_bound`` take no other."""
        return cut if self.prepare is None else self.prepare(cut)

    @property
    def endwise(self) -> bool:
        """Whether the cut itself goes down all the time, so that a way in that goes straight down is the cut."""
        return self.straight_down or self.in_turns
