"""Numbers with a decimal comma, as tables and speech have them: read where that is certain, refused elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.files.problems import Misfit, misfit

COMMA = re.compile(r"[-+]?\d*,\d+(?=$|[^\d,.])")
UNCLEAR = re.compile(r"[-+]?[1-9]\d{0,2},\d{3}(?=$|[^\d,.])")
UNCLEAR_POINT = re.compile(r"[-+]?[1-9]\d{0,2}\.\d{3}(?=$|[^\d,.])")


def has_comma(texts: Iterable[str]) -> bool:
    """Whether any of the texts is surely a number with a decimal comma."""
    return any(COMMA.match(text) and not UNCLEAR.match(text) for text in texts)


def with_point(text: str, commas: bool = False) -> str:
    """The text with a decimal point; ``commas`` says that its neighbours have decimal commas.

    Raises:
        Misfit: 1,500 may be one and a half or fifteen hundred; so may 1.500 among decimal commas.
    """
    found = UNCLEAR.match(text) or (UNCLEAR_POINT.match(text) if commas else None)
    if found is not None:
        raise _unclear(found[0], text[found.end() :])
    return text.replace(",", ".", 1) if COMMA.match(text) else text


def _unclear(number: str, unit: str) -> Misfit:
    """The complaint about a number and what follows it, with the two ways to write it that leave no doubt."""
    whole, places = re.split("[,.]", number)
    shorter = places.rstrip("0") or "0"
    clear = f"{places}0" if shorter == places else shorter  # three places alone may be thousands
    wanted = f"a number that can be read one way only: {whole}.{clear}{unit} or {whole}{places}{unit}"
    return misfit(wanted, found=repr(f"{number}{unit}"))
