"""Ids of features, cutters and machines, meant whatever the letter case they are typed in."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache

from advisor.files.problems import listed, misfit

_NUMBERED = re.compile(r"([^\W\d_]+)0*(\d+)")


def id_meant(typed: str, known: Iterable[str]) -> str | None:
    """The one of the known ids that is meant: that very one, else the one that differs by letter case alone, or by
    noughts before its number, as T2 and T02 call one tool on every control. Nothing where there is none.

    Raises:
        Misfit: several are meant as well, which are listed.
    """
    ids = tuple(known)
    if typed in ids:
        return typed
    for alike in (str.casefold, _without_noughts):
        found = _by_likeness(ids, alike).get(alike(typed.strip()), ())
        if len(found) == 1:
            return found[0]
        if found:
            wanted = f"{listed(found)}, spelt just so: they differ by letter case or noughts alone"
            raise misfit(wanted, found=repr(typed))
    return None


@lru_cache(maxsize=8)
def _by_likeness(ids: tuple[str, ...], alike: Callable[[str], str]) -> Mapping[str, tuple[str, ...]]:
    """The ids by what they are compared as; a line may ask for a word of a large crib many times."""
    found: dict[str, tuple[str, ...]] = {}
    for one in dict.fromkeys(ids):
        found[alike(one)] = (*found.get(alike(one), ()), one)
    return found


def _without_noughts(name: str) -> str:
    folded = name.casefold()
    match = _NUMBERED.fullmatch(folded)
    return f"{match[1]}{match[2]}" if match else folded
