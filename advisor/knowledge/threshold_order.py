"""Thresholds of which one must be at most the other: as declared in their table, or by their names."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from advisor.files.problems import Problem
from advisor.knowledge.schema import RuleBase, Threshold

PAIRS = (("least", "most"), ("low", "high"))


class Order(NamedTuple):
    """Two thresholds of which the first must be at most the second."""

    low: Threshold
    high: Threshold

    @property
    def kept(self) -> bool:
        """Whether it is."""
        return self.low.value <= self.high.value


def orders(base: RuleBase) -> tuple[Order, ...]:
    """Every two thresholds of which one must be at most the other."""
    found: dict[tuple[str, str], Order] = {}
    for low in base.thresholds.values():
        twins = (low.name.removesuffix(first) + second for first, second in PAIRS if low.name.endswith(f"_{first}"))
        for other in (*low.at_most, *(twin for twin in twins if twin in base.thresholds)):
            found[low.name, other] = Order(low, base.thresholds[other])
    for least, most in ((f"_{first}_", f"_{second}_") for first, second in PAIRS):
        for name in base.thresholds:
            if least in name and (other := name.replace(least, most)) in base.thresholds:
                found[name, other] = Order(base.thresholds[name], base.thresholds[other])
    return tuple(found.values())


def out_of_order(found: RuleBase) -> Iterator[Problem]:
    """Each order that a shop's thresholds break, among themselves or with shipped ones."""
    for order in orders(found):
        low, high = order
        if order.kept or not (low.reason or high.reason):
            continue
        own, other, wanted = (low, high, "at most") if low.reason else (high, low, "at least")
        where = f"{other.file}:{other.line}" if other.reason else "as shipped"
        told = f"{wanted} {other.value:g}, the value of {other.name} ({where})"
        yield Problem(own.file, own.line, f"{own.name}.value", f"{own.value:.6g}", told)
