"""The words by which another way is asked for, checked against the words there are."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.analysis.rival import Wanted
from advisor.files.problems import BadInput, Problem, listed, nearest_word
from advisor.knowledge.schema import RuleBase


def wanted_of(method: str | None, cutter: str | None, entry: str | None, base: RuleBase, crib: Sequence[str]) -> Wanted:
    """What was asked for; ``layered pocketing`` and ``layered-pocketing`` are ``layered_pocketing``.

    Raises:
        BadInput: a method or way in that nobody knows, or a cutter that the crib does not have.
    """
    if cutter is not None and cutter not in crib:
        raise _refused("--cutter", cutter, f"the id of a cutter of the crib: {listed(crib)}", crib)
    return Wanted(
        _word("--not", method, base.measures["method"].words),
        cutter,
        _word("--entry", entry, base.measures["entry"].words),
    )


def _word(option: str, asked: str | None, known: Sequence[str]) -> str | None:
    if asked is None:
        return None
    word = asked.strip().casefold().replace(" ", "_").replace("-", "_")
    if word not in known:
        raise _refused(option, asked, f"one of {', '.join(known)}", known)
    return word


def _refused(option: str, asked: str, wanted: str, known: Sequence[str]) -> BadInput:
    return BadInput([Problem("why", None, option, repr(asked), wanted, nearest_word(asked, known))])
