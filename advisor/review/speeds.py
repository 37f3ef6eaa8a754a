"""The speed that a plan could run at with its own feed per tooth, and whether it says one."""

from __future__ import annotations

from advisor.knowledge.conditions import Situation, yes
from advisor.methods.trial import greatest
from advisor.model.operations import OperationRow
from advisor.situation.bench import Bench


def speed_facts(row: OperationRow, cut: Situation, bench: Bench) -> Situation:
    """Whether the plan says its speed, and up to which speed [1/min] its cut could go.

    The latter is that of the tables, as far as spindle, marked speed, feed of the machine and axes, and power let it;
    nothing where the cut has no numbers.
    """
    said = row.spindle_speed is not None or None not in (row.feed_rate, row.feed_per_tooth)
    return {"speed_said": yes(said), "speed_borne": _borne(cut, bench)}


def _borne(cut: Situation, bench: Bench) -> float:
    speed, worn = float(cut["spindle_speed"]), float(cut["worn_power"])
    turn = float(cut["feed_rate"]) / speed
    feed = min(bench.machine.feed_max, float(cut["axis_feed"]) if "loop_count" in cut else bench.machine.feed_max)
    most = min(float(cut["wanted_speed"]), bench.speed_most, float(cut.get("RPMX", bench.speed_most)), feed / turn)
    share = bench.limits["power_share_most"]
    return greatest(lambda at: worn * at / speed / (share * bench.power_at(at)), min(speed, most), most)
