"""Reading an answer as it was typed: a letter, a number or words for one of the choices; a number with or without unit.

What was typed is matched with the choices in one place, ``matched``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from math import inf, isinf

from advisor.coach.exercise import Choice, Part
from advisor.files.decimals import with_point
from advisor.files.ids import id_meant
from advisor.files.problems import Misfit, listed
from advisor.files.unit_scales import converted, scale_of, shown_units
from advisor.files.units import Units, parse_length
from advisor.knowledge.trade_words import Section, meanings

ANSWERED: tuple[Section, ...] = ("methods", "entries", "kinds", "bodies", "coolants", "settings")
LONGEST = 200
LENGTHS: Mapping[Units, str] = {"mm": "0.5, 0.5 mm or 0.02 in", "inch": "0.02, 0.02 in or 0.5 mm"}
PLAIN = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d{1,3})?", re.ASCII | re.IGNORECASE)
SHARE = re.compile(r"(.+?)\s*%(?:\s*(?:of\s+)?(?:DC|D|the cutter|the diameter))?", re.IGNORECASE)
ROUND = re.compile(r"[\s_\-()]+")
Answer = str | float


def read(part: Part, typed: str) -> Answer:
    """The answer to a part: the label of a choice, or a number in the unit of the part.

    Raises:
        Unreadable: it is empty or cannot be read; the message says what is wanted.
    """
    text = " ".join(typed.split())
    if not text or len(text) > LONGEST:
        raise Unreadable(f"{'Nothing was typed' if not text else 'Too long'}; {wanted(part)}")
    if not part.choices:
        return _number(part, text)
    found = matched(part.choices, text)
    if not found:
        raise Unreadable(f"{text!r} is none of the choices; {wanted(part)}")
    if len(found) > 1:
        told = listed(f"{choice.label} ({choice.text})" for choice in part.choices if choice.label in found)
        raise Unreadable(f"{text!r} may be {told}; {wanted(part)}")
    return found[0]


def matched(choices: Sequence[Choice], typed: str) -> tuple[str, ...]:
    """The labels of the choices that may be meant: one where it is clear, none where it is none of them.

    In this order: by letter or words, by place, by the beginning of the words, by a word of the trade for them, by id.
    """
    folded = _folded(typed)
    if not folded:
        return ()
    ways: tuple[Callable[[int, Choice], bool], ...] = (
        lambda place, choice: folded in _names(choice),
        lambda place, choice: folded == str(place),
        lambda place, choice: len(folded) > 1 and any(_begins(name, folded) for name in _names(choice)),
        lambda place, choice: any(_begins(name, word) for name in _names(choice) for word in _trade_words(folded)),
        lambda place, choice: _is_id(choice, typed),
    )
    for meant in ways:
        if found := tuple(choice.label for place, choice in enumerate(choices, start=1) if meant(place, choice)):
            return found
    return ()


def _names(choice: Choice) -> frozenset[str]:
    return frozenset(map(_folded, (choice.label, choice.text, *choice.words)))


def _trade_words(typed: str) -> frozenset[str]:
    """What a word of the trade may mean: ``trochoidal``, ``roll in``, ``ramp``."""
    return frozenset(_folded(name) for section in ANSWERED for name in meanings(section, typed))


def _is_id(choice: Choice, typed: str) -> bool:
    """Whether it is meant as the id of a choice: ``t2`` for T02."""
    try:
        return id_meant(typed, choice.words) is not None
    except Misfit:
        return True


def _begins(name: str, typed: str) -> bool:
    """Whether a name begins with what was typed; digits are typed to their end, so that E1 is not E16."""
    return name.startswith(typed) and not (typed[-1].isdigit() and name[len(typed) :][:1].isalnum())


def as_typed(value: float, unit: str) -> str:
    """A number as it would be typed in answer, with its unit, in the units that are shown."""
    return f"{converted(value, unit):g} {scale_of(unit).unit}".rstrip()


def wanted(part: Part) -> str:
    """What is wanted for a part, in words."""
    if part.choices:
        labels = ", ".join(choice.label for choice in part.choices)
        return f"type one of {labels}"
    if part.unit == "mm":
        share = ", or a share of DC such as 10 %" if part.share_of else ""
        return f"type a length such as {LENGTHS[shown_units()]}{share}"
    return f"type a number in {part.unit}, such as 3" if part.unit else "type a whole number of 1 or more, such as 3"


def _folded(text: str) -> str:
    return ROUND.sub(" ", text.replace("\u00a0", " ")).strip().casefold().rstrip(".:,;").strip()


def _number(part: Part, text: str) -> float:
    try:
        if part.share_of and (share := SHARE.fullmatch(text)):
            found = _plain(share[1]) / 100 * part.share_of
        elif part.unit == "mm":
            found = parse_length(with_point(text), shown_units())
        else:
            found = _plain(re.sub(rf"\s*({re.escape(part.unit)}|{part.name}|levels?|°|deg)$", "", text, flags=re.I))
    except ValueError as error:
        raise Unreadable(f"{text!r} is no number that can be read; {wanted(part)}") from error
    if part.unit == "" and (isinf(found) or found < 1 or found != int(found)):
        raise Unreadable(f"{text!r} is no whole number of 1 or more; {wanted(part)}")
    if not 0 <= found < inf:
        raise Unreadable(f"{text!r} is out of range; type a number of 0 or more")
    return found


def _plain(text: str) -> float:
    """A number in plain figures. Raises ValueError for anything else, such as nan or the figures of other scripts."""
    pointed = with_point(text)
    if not PLAIN.fullmatch(pointed):
        raise ValueError(text)
    return float(pointed)


class Unreadable(ValueError):
    """An answer that cannot be read; the message says what is wanted. Nothing is graded."""
