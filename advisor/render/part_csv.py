"""The part table as CSV: a row a feature, numbers in the units of the job without gaps."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from advisor.choosing.entry_feed import entry_feed, typed_feed
from advisor.choosing.job_advice import Advice
from advisor.choosing.left_on_walls import left_on_walls
from advisor.choosing.whole_part import WholePart, whole_part
from advisor.files.unit_scales import in_units_of
from advisor.knowledge.wording import DOWN, UP
from advisor.model.answer import FeatureAdvice
from advisor.model.candidate import Candidate
from advisor.model.plan import Plan
from advisor.text.sheet import figure

COLUMNS = (
    "id", "kind", "count", "grade", "method", "cutter", "entry", "entry_cutter", "entry_hole_depth",
    "entry_hole_speed", "entry_hole_feed", "axial_depth", "levels", "radial_width",
    "spindle_speed", "feed_rate", "feed_per_tooth", "feed_per_revolution", "entry_feed", "opening_feed", "ramp_angle",
    "allowance_side", "allowance_bottom", "overcut", "coolant", "time_s", "cautions",
)  # fmt: skip


@in_units_of(lambda advice: advice.assignment.job.units)
def part_csv(advice: Advice) -> str:
    """The part table as CSV text with a head, in the units of the job; empty cells where nothing is typed."""
    part, units = whole_part(advice), advice.assignment.job.units
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow((*COLUMNS, "units"))
    for answer in advice.features:
        found = dict(_cells(answer, part))
        table.writerow([*(_safe(found.get(name, "")) for name in COLUMNS), units])
    return out.getvalue()


def _safe(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell


def _cells(answer: FeatureAdvice, part: WholePart) -> Iterator[tuple[str, str]]:
    yield "id", answer.region.id
    yield "kind", answer.region.kind
    yield "count", str(answer.region.copies)
    yield "grade", answer.grade
    yield "cautions", " ".join(one.rule.id for one in part.cautions if answer.region.id in one.features)
    best = answer.best
    if best is None or best.plan is None:
        return
    yield "method", best.method
    yield "cutter", best.cutter.id
    yield "entry", best.entry or ""
    yield "entry_cutter", best.drill.id if best.drill else ""
    yield "levels", str(best.plan.levels)
    yield "coolant", str(best.facts.get("coolant", ""))
    yield "time_s", figure(best.time, "s")
    yield from _typed(best, best.plan)


def _typed(best: Candidate, plan: Plan) -> Iterator[tuple[str, str]]:
    """What is typed, each rounded as in every answer."""
    facts = best.facts
    yield "axial_depth", figure(plan.axial_depth, "mm", DOWN)
    yield "radial_width", figure(plan.radial_width, "mm", DOWN)
    yield "spindle_speed", figure(plan.spindle_speed, "1/min", DOWN)
    yield "feed_rate", figure(typed_feed(best, plan), "mm/min", DOWN)
    if "feed_per_revolution" in plan.facts:  # as a drill's feed is typed
        yield "feed_per_revolution", figure(float(plan.facts["feed_per_revolution"]), "mm", DOWN)
    else:
        yield "feed_per_tooth", figure(plan.feed_per_tooth, "mm", DOWN)
    yield "allowance_side", figure(left_on_walls(best, plan), "mm", UP)
    yield "allowance_bottom", figure(float(facts.get("bottom_allowance", 0.0)), "mm", UP)
    yield "overcut", figure(float(facts.get("overcut", 0.0)), "mm")
    if best.drill is not None and "hole_feed" in facts:
        yield "entry_hole_depth", figure(float(facts["hole_depth"]), "mm", DOWN)
        yield "entry_hole_speed", figure(float(facts["hole_speed"]), "1/min", DOWN)
        yield "entry_hole_feed", figure(float(facts["hole_feed"]), "mm/min", DOWN)
    if (feed := entry_feed(best)) is not None:
        yield "entry_feed", figure(feed, "mm/min", DOWN)
    if "opening_length" in facts:
        yield "opening_feed", figure(float(facts["opening_feed"]), "mm/min", DOWN)
    if best.way_in is not None and best.way_in.ramp_angle is not None:
        yield "ramp_angle", figure(best.way_in.ramp_angle, "deg", DOWN)
