"""What is said of two ways that take the same time is what their order rests on."""

from dataclasses import replace

import pytest

from advisor.inputs import read_assignment
from advisor.paths import cases_dir
from advisor.reasoning.advice import advise
from advisor.reasoning.contrast import deciding, tie_broken_by

ANSWERS = advise(read_assignment(cases_dir() / "winch-side-plate" / "job.yaml"))
WAYS = next(answer.candidates for answer in ANSWERS.features if answer.region.id == "S1")


def test_two_cutters_that_differ_only_in_length_are_told_to_be_equal() -> None:
    best, second = WAYS[:2]
    assert best.rank()[:4] == second.rank()[:4]
    said = deciding(best, second, ANSWERS.bench.base)
    assert (
        said.replace("\N{NO-BREAK SPACE}", " ")
        == "As good by the rules, and with the same time of 11.6 s: only their names decide, either will do."
    )


@pytest.mark.parametrize(
    ("times", "levels", "wider", "said"),
    [
        (1.0001, 0, 1.0, "the difference is too small to tell"),
        (1.0001, 1, 1.0, "the difference is too small to tell"),
        (1.0, 1, 1.0, "fewer levels decide"),
        (1.0, 1, 0.9, "fewer levels decide"),
        (1.0, 0, 0.9, "the wider cutter decides"),
        (1.0, 0, 1.0, "only their names decide, either will do"),
    ],
)
def test_the_first_difference_in_rank_is_told(times: float, levels: int, wider: float, said: str) -> None:
    best = WAYS[0]
    assert best.plan is not None
    rival = best._replace(
        time=best.time * times,
        plan=replace(best.plan, levels=best.plan.levels + levels),
        cutter=best.cutter.model_copy(update={"DC": best.cutter.DC * wider}),
    )
    assert tie_broken_by(best, rival) == said
