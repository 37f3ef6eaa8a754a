"""Circles in what rests on what: of rules, conclusions and formulas."""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable, Iterable, Mapping
from typing import TypeVar

Node = TypeVar("Node", bound=Hashable)


def circle_through(start: Node, after: Mapping[Node, Iterable[Node]]) -> tuple[Node, ...] | None:
    """A shortest circle through a node, from that node on; nothing where none leads back to it.

    ``after`` gives for each node those that rest on it. Of circles of one length the first is given, by the order in
    ``after``.
    """
    paths: dict[Node, tuple[Node, ...]] = {start: (start,)}
    waiting = deque([start])
    while waiting:
        node = waiting.popleft()
        if start in after.get(node, ()):
            return paths[node]
        for other in after.get(node, ()):
            if other not in paths:
                paths[other] = (*paths[node], other)
                waiting.append(other)
    return None
