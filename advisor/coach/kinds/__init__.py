"""The kinds of exercise, by their names."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.coach.kind import Kind
from advisor.coach.kinds import choosing, explaining, setting, trapping, turning

BY_NAME: Mapping[str, Kind] = MappingProxyType(
    {
        "choose": choosing.KIND,
        "set": setting.KIND,
        "trap": trapping.KIND,
        "turn": turning.KIND,
        "explain": explaining.KIND,
    }
)


def of_kind(kind: str) -> Kind:
    """The kind of a name."""
    return BY_NAME[kind]
