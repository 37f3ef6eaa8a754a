"""The words by which another way is asked for, checked against the words there are."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.analysis.rival import Wanted
from advisor.files.ids import id_meant
from advisor.files.problems import BadInput, Fault, Misfit, Problem, listed, nearest_word
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.trade_words import Section, meant


def wanted_of(method: str | None, cutter: str | None, entry: str | None, base: RuleBase, crib: Sequence[str]) -> Wanted:
    """What was asked for, in whatever words the trade has for it.

    Raises:
        BadInput: a method or way in that nobody knows or that may be one of several, or a cutter that the crib does not
            have.
    """
    return Wanted(
        _word("--not", "methods", method, base.measures["method"].words),
        _cutter(cutter, crib),
        _word("--entry", "entries", entry, base.measures["entry"].words),
    )


def _word(option: str, section: Section, asked: str | None, known: Sequence[str]) -> str | None:
    try:
        return None if asked is None else meant(section, asked, known)
    except Misfit as error:
        raise _refused(option, error.faults[0]) from None


def _cutter(asked: str | None, crib: Sequence[str]) -> str | None:
    try:
        found = None if asked is None else id_meant(asked, crib)
    except Misfit as error:
        raise _refused("--cutter", error.faults[0]) from None
    if asked is not None and found is None:
        wanted = f"the id of a cutter of the crib: {listed(crib)}"
        raise _refused("--cutter", Fault(wanted, repr(asked), None, nearest_word(asked, crib)))
    return found


def _refused(option: str, fault: Fault) -> BadInput:
    return BadInput([Problem("why", None, option, fault.found or "", fault.wanted, fault.nearest)])
