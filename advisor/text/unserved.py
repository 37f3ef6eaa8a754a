"""Which features of a job a crib cannot serve, and why."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.choosing.job_advice import Advice
from advisor.files.problems import printable
from advisor.files.unit_scales import parts_in_units_of
from advisor.text.blocks import Block, Heading, Para, section
from advisor.text.reasons import obstacle, repair_texts
from advisor.text.words import size, way_text


@parts_in_units_of(lambda advice: advice.assignment.job.units)
def unserved_blocks(advice: Advice) -> Iterator[Block]:
    """The blocks: each feature with the way it would be cut, or with what forbids every way."""
    base = advice.bench.base
    yield Heading(f"For {printable(advice.assignment.job.part)}", 2)
    served = [answer for answer in advice.features if answer.best]
    yield from section(
        "Served",
        (f"{printable(answer.region.id)}, {answer.grade}: {way_text(answer.best)}" for answer in served if answer.best),
    )
    for answer in advice.features:
        if answer.best is None:
            yield Heading(f"Not served: {printable(answer.region.id)}, {size(answer.region)}")
            if answer.shown is None:
                yield Para("The crib has no cutter for such a feature.")
            yield from section("Why not", (obstacle(ways, rule, base) for ways, rule in answer.obstacles))
            yield from section("What would make it possible", repair_texts(answer))
