"""Reading an answer as it was typed: a label or its words, a list of labels, a number with or without its unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from math import inf, isinf

from advisor.coach.exercise import Part
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
Answer = str | float | frozenset[str]


def read(part: Part, typed: str) -> Answer:
    """The answer to a part: a label, a set of labels where several may be picked, or a number in the unit of the part.

    Raises:
        Unreadable: it is empty or cannot be read; the message says what is wanted.
    """
    text = " ".join(typed.split())
    if not text or len(text) > LONGEST:
        raise Unreadable(f"{part.name}: {'nothing was typed' if not text else 'too long'}; {wanted(part)}")
    if not part.choices:
        return _number(part, text)
    if not part.many:
        return _label(part, text)
    if not (found := frozenset(_labels(part, text))):
        raise Unreadable(f"{part.name}: {text!r} names none of the choices; {wanted(part)}")
    return found


def as_typed(value: float, unit: str) -> str:
    """A number as it would be typed in answer, with its unit, in the units that are shown."""
    return f"{converted(value, unit):g} {scale_of(unit).unit}".rstrip()


def wanted(part: Part) -> str:
    """What is wanted for a part, in words."""
    if part.choices:
        labels = ", ".join(choice.label for choice in part.choices)
        return f"type one or more of {labels}" if part.many else f"type one of {labels}"
    if part.unit == "mm":
        return f"type a length such as {LENGTHS[shown_units()]}"
    return f"type a number in {part.unit}, such as 3" if part.unit else "type a whole number of 1 or more, such as 3"


def _folded(text: str) -> str:
    return re.sub(r"[\s_\-()]+", " ", text.replace("\u00a0", " ")).strip().casefold().rstrip(".")


def _label(part: Part, text: str) -> str:
    folded = _folded(text)
    for choice in part.choices:
        if folded == _folded(choice.label):
            return choice.label
    found = [choice.label for choice in part.choices if folded == _folded(choice.text)]
    if not found and len(folded) > 1:
        found = [choice.label for choice in part.choices if _folded(choice.text).startswith(folded)]
    found = found or _by_word(part, text) or _by_id(part, text)
    if len(found) > 1:
        told = listed(f"{choice.label} ({choice.text})" for choice in part.choices if choice.label in found)
        raise Unreadable(f"{part.name}: {text!r} may be {told}; {wanted(part)}")
    if not found:
        raise Unreadable(f"{part.name}: {text!r} is none of the choices; {wanted(part)}")
    return found[0]


def _by_word(part: Part, text: str) -> list[str]:
    """The labels of the choices that a word of the trade may mean: ``trochoidal``, ``roll in``, ``ramp``."""
    ours = {_folded(name) for section in ANSWERED for name in meanings(section, text)}
    return [choice.label for choice in part.choices if _folded(choice.text) in ours]


def _by_id(part: Part, text: str) -> list[str]:
    """The label that is meant as an id: ``t2`` for T02."""
    labels = [choice.label for choice in part.choices]
    try:
        found = id_meant(text, labels)
    except Misfit:
        return labels
    return [] if found is None else [found]


def _labels(part: Part, text: str) -> Iterator[str]:
    """The labels of a list; letters may also stand together, as in ``acd``."""
    words = [word for word in re.split(r"[\s,;/+&]+|\band\b", text, flags=re.IGNORECASE) if word]
    single = {choice.label.casefold() for choice in part.choices if len(choice.label) == 1}
    for word in words:
        if len(word) > 1 and set(word.casefold()) <= single:
            yield from (_label(part, letter) for letter in word)
        else:
            yield _label(part, word)


def _number(part: Part, text: str) -> float:
    try:
        if part.unit == "mm":
            found = parse_length(with_point(text), shown_units())
        else:
            found = _plain(re.sub(rf"\s*({re.escape(part.unit)}|{part.name}|levels?|°|deg)$", "", text, flags=re.I))
    except ValueError as error:
        raise Unreadable(f"{part.name}: {text!r} is no number that can be read; {wanted(part)}") from error
    if part.unit == "" and (isinf(found) or found < 1 or found != int(found)):
        raise Unreadable(f"{part.name}: {text!r} is no whole number of 1 or more; {wanted(part)}")
    if not 0 <= found < inf:
        raise Unreadable(f"{part.name}: {text!r} is out of range; type a number of 0 or more")
    return found


def _plain(text: str) -> float:
    """A number in plain figures. Raises ValueError for anything else, such as nan or the figures of other scripts."""
    pointed = with_point(text)
    if not PLAIN.fullmatch(pointed):
        raise ValueError(text)
    return float(pointed)


class Unreadable(ValueError):
    """An answer that cannot be read; the message says what is wanted. Nothing is graded."""
