"""Ids of features, cutters and machines, meant whatever the letter case they are typed in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cached_property

from advisor.files.problems import listed, misfit

_NUMBERED = re.compile(r"([^\W\d_]+)0*(\d+)")


class Ids:
    """Some ids, made ready to be asked many times."""

    def __init__(self, known: Iterable[str]) -> None:
        self.known = dict.fromkeys(known)

    def meant(self, typed: str) -> str | None:
        """The id that is meant: that very one, else the one that differs by letter case alone, or by noughts before its
        number, as T2 and T02 call one tool on every control. Nothing where there is none.

        Raises:
            Misfit: several are meant as well, which are listed.
        """
        if typed in self.known:
            return typed
        folded = typed.strip().casefold()
        for found in (self._by_case.get(folded, ()), self._by_number.get(_without_noughts(folded), ())):
            if len(found) == 1:
                return found[0]
            if found:
                wanted = f"{listed(found)}, spelled exactly: they differ only in letter case or leading zeros"
                raise misfit(wanted, found=repr(typed))
        return None

    @cached_property
    def _by_case(self) -> Mapping[str, tuple[str, ...]]:
        return _gathered((one.casefold(), one) for one in self.known)

    @cached_property
    def _by_number(self) -> Mapping[str, tuple[str, ...]]:
        return _gathered((_without_noughts(one.casefold()), one) for one in self.known)


def id_meant(typed: str, known: Iterable[str]) -> str | None:
    """The one of some ids that is meant; nothing where there is none.

    Raises:
        Misfit: several are meant as well, which are listed.
    """
    return Ids(known).meant(typed)


def _gathered(pairs: Iterable[tuple[str, str]]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for key, one in pairs:
        found[key] = (*found.get(key, ()), one)
    return found


def _without_noughts(folded: str) -> str:
    match = _NUMBERED.fullmatch(folded)
    return f"{match[1]}{match[2]}" if match else folded
