"""Every method, by its name."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.methods import boring, engagement, facing, holes, layers, plunging, slotting
from advisor.methods.method import Method

_EVERY = (
    engagement.METHOD,
    layers.METHOD,
    slotting.METHOD,
    plunging.METHOD,
    facing.METHOD,
    holes.METHOD,
    boring.METHOD,
)
METHODS: Mapping[str, Method] = MappingProxyType({method.name: method for method in _EVERY})
