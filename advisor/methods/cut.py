"""A cut of one cutter in a region with its cutting data, and what a trial of it comes to."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import NamedTuple

from advisor.mechanics.deflection import tip_deflection
from advisor.model.cause import Held
from advisor.model.cutter import Cutter
from advisor.model.plan import FREE, Drilled, Helix, Load, Pinned
from advisor.model.region import Region
from advisor.situation.bench import Bench
from advisor.situation.facts import InFeature


class Trial(NamedTuple):
    """A cut tried out: feed per tooth [mm], speed [1/min], feed [mm/min], removal rate [mm³/min], load.

    ``table_speed`` is that of the tables within what spindle and cutter allow, ``speed_most`` the one below it that
    the spindle was held to for its power [1/min]; ``edge`` the edge angle at which the chip forms [deg].
    """

    feed_per_tooth: float
    speed: float
    feed: float
    rate: float
    load: Load
    table_speed: float
    edge: float
    speed_most: float | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One cutter in one region with its cutting data.

    ``inside`` has the facts of the cutter there, with the allowances; ``v_c`` is that of the table [m/min], with the
    factor on it; ``chip`` the thickness to be held and the least one [mm]. The cutter bends as ``segments`` of length
    and diameter [mm] from tip to holder, of that modulus [N/mm²], with holder and spindle in series [N/mm]. ``pinned``
    is what somebody else chose, ``drilled`` the hole that was drilled or cast there first and that the cutter goes
    round, ``pilot`` the pilot hole that a drill opens, ``spare`` what stays on the wall beyond the allowance for a
    later pass of its own [mm]. A spindle that ``keeps_speed`` does so however short of power
    it is; ``bend_most`` is the greatest deflection that the method allows whatever the walls [mm], if it has one.

    What was worked out of a cut is kept as long as the cut, and with it by all that are made of it: ``_feeds`` the feed
    at full width with what held it back, for a depth, a chip, an edge angle, what a later pass takes from the wall and
    what somebody else chose; ``_helices`` the helix of a way in for a bore and the same.
    """

    inside: InFeature
    region: Region
    bench: Bench
    v_c: float
    speed_factor: float
    chip: float
    chip_least: float
    modulus: float
    series_stiffness: float
    segments: list[tuple[float, float]]
    pinned: Pinned = FREE
    drilled: Drilled | None = None
    pilot: Drilled | None = None
    spare: float = 0.0
    keeps_speed: bool = False
    bend_most: float | None = None
    _compliances: dict[float, float] = field(default_factory=dict)
    _speeds: dict[float, float] = field(default_factory=dict)
    _feeds: dict[tuple[float, float, float, float, Pinned], tuple[float, tuple[Held, ...]]] = field(
        default_factory=dict
    )
    _helices: dict[tuple[float, float, float, Pinned], Helix] = field(default_factory=dict)

    @property
    def cutter(self) -> Cutter:
        """The cutter."""
        return self.inside.cutter

    def slowed(self, factor: float) -> Cut:
        """The cut at a share of its speed; what was worked out for the full speed is not kept."""
        return replace(self, speed_factor=self.speed_factor * factor, _speeds={}, _feeds={}, _helices={})

    def tip_compliance(self, load_from_tip: float) -> float:
        """How far the tip gives way for each newton at that place [mm/N]."""
        found = self._compliances.get(load_from_tip)
        if found is None:
            found = self._compliances[load_from_tip] = tip_deflection(
                1.0, self.segments, self.modulus, load_from_tip, self.series_stiffness
            )
        return found
