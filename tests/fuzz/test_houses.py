"""A house at the ends of the ranges works or is refused with file and line; a value beyond its range is refused."""

from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.knowledge.house import house_base
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.threshold_order import orders
from tests.fuzz.houses import House, house, in_order, lay, sensible, shipped_of, trial
from tests.fuzz.oracle import MadeUp

BASE = rule_base()
EVERY = tuple(BASE.thresholds.values())
TRIED = 2  # more by hand: houses.py
FIRST = 5000  # by chance, many thresholds at once


def refused(found: House, folder: Path) -> tuple[str, ...]:
    with pytest.raises(BadInput) as caught:
        house_base(BASE, lay(found, folder))
    assert all(problem.line is not None for problem in caught.value.problems)
    return tuple(problem.field for problem in caught.value.problems)


@pytest.mark.parametrize("number", range(FIRST, FIRST + TRIED))
def test_a_house_with_many_thresholds_at_the_ends_of_their_ranges_works_or_is_refused(
    number: int, tmp_path: Path
) -> None:
    found = trial(number, tmp_path)
    assert found.ended in ("works", "refused"), found.told


@pytest.mark.parametrize("number", [2 * place + end for place in range(3, len(EVERY), 208) for end in (0, 1)])
def test_a_house_with_one_threshold_at_an_end_of_its_range_works_once_the_others_follow(
    number: int, tmp_path: Path
) -> None:
    found = trial(number + 2 * len(EVERY), tmp_path)
    assert found.ended == "works", found.told


def test_some_of_the_houses_by_chance_are_read_and_some_are_not() -> None:
    every = [house(number) for number in range(FIRST, FIRST + 100)]
    assert 3 < sum(bool(one.beyond) for one in every) < 30
    assert sum(len(one.values) >= 80 for one in every) > 20


@pytest.mark.parametrize("side", ["below", "above"])
def test_a_value_a_little_beyond_its_range_is_refused_whatever_the_threshold(side: str, tmp_path: Path) -> None:
    for first in range(0, len(EVERY), 60):
        some = EVERY[first : first + 60]
        values = {one.name: one.least - 1e-4 if side == "below" else one.greatest + 1e-4 for one in some}
        assert {f"{one.name}.value" for one in some} <= set(refused(House(values), tmp_path))


def test_a_threshold_keeps_its_order_with_shipped_ones_that_are_not_moved(tmp_path: Path) -> None:
    for low, high in orders(BASE):
        if low.greatest > high.value:
            assert f"{low.name}.value" in refused(House({low.name: low.greatest}), tmp_path)
        if high.least < low.value:
            assert f"{high.name}.value" in refused(House({high.name: high.least}), tmp_path)


def test_two_thresholds_that_are_moved_together_keep_their_order_with_one_another(tmp_path: Path) -> None:
    both = in_order({"clearance_beyond_overcut": 6.5})
    assert both == {"clearance_beyond_overcut": 6.5, "clearance_least": 6.5}
    found = house_base(BASE, lay(House(both), tmp_path))
    assert found.limits["clearance_least"] == 6.5


def test_a_negative_length_is_noticed() -> None:
    _, advice = shipped_of("cover-plate-clearance-below")
    best = advice.features[0].best
    assert best is not None
    sensible(best, advice.bench)
    with pytest.raises(MadeUp, match="overcut -5 outside 0"):
        sensible(best._replace(facts=best.facts | {"overcut": -5.0}), advice.bench)
