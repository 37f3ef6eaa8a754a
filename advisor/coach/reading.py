"""Reading an answer as it was typed: a letter, a number or words for one of the choices; a number with or without unit.

What was typed is matched with the choices in one place, ``matched``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import inf, isinf

from advisor.coach.exercise import Choice, Part
from advisor.files.decimals import with_point
from advisor.files.units import parse_length

LONGEST = 200
PLAIN = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d{1,3})?", re.ASCII | re.IGNORECASE)
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
    if (label := matched(part.choices, text)) is None:
        raise Unreadable(f"{text!r} is none of the choices; {wanted(part)}")
    return label


def matched(choices: Sequence[Choice], typed: str) -> str | None:
    """The label of the one choice that is meant: by its letter, its words, its place, or the beginning of its words.

    Nothing where none or several could be meant.
    """
    folded = _folded(typed)
    if not folded:
        return None
    names = {choice.label: {_folded(name) for name in (choice.label, choice.text, *choice.words)} for choice in choices}
    places = {choice.label: {str(place)} for place, choice in enumerate(choices, start=1)}
    begun = {
        label: {name for name in all_ if len(folded) > 1 and _begins(name, folded)} for label, all_ in names.items()
    }
    for meant in (names, places):
        if found := [label for label, said in meant.items() if folded in said]:
            return found[0] if len(found) == 1 else None
    found = [label for label, said in begun.items() if said]
    return found[0] if len(found) == 1 else None


def _begins(name: str, typed: str) -> bool:
    """Whether a name begins with what was typed; digits are typed to their end, so that E1 is not E16."""
    return name.startswith(typed) and not (typed[-1].isdigit() and name[len(typed) :][:1].isalnum())


def wanted(part: Part) -> str:
    """What is wanted for a part, in words."""
    if part.choices:
        labels = ", ".join(choice.label for choice in part.choices)
        return f"type one of {labels}"
    if part.unit == "mm":
        return "type a length such as 0.5, 0.5 mm or 0.02 in"
    return f"type a number in {part.unit}, such as 3" if part.unit else "type a whole number of 1 or more, such as 3"


def _folded(text: str) -> str:
    return ROUND.sub(" ", text.replace("\u00a0", " ")).strip().casefold().rstrip(".:,;").strip()


def _number(part: Part, text: str) -> float:
    try:
        if part.unit == "mm":
            found = parse_length(with_point(text), "mm")
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
