"""Numbers as tables, speech and files have them, with decimal comma or thousands parted: read where that is certain."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.files.problems import Misfit, misfit

_END = r"(?=$|[^\d,.])"
COMMA = re.compile(rf"[-+]?\d*,\d+{_END}")
UNCLEAR = re.compile(rf"[-+]?[1-9]\d{{0,2}},\d{{3}}{_END}")
UNCLEAR_POINT = re.compile(rf"[-+]?[1-9]\d{{0,2}}\.\d{{3}}{_END}")
_POINT = re.compile(rf"[-+]?\d*\.\d+{_END}")
# Thousands parted so that nothing else can be meant: by points before a comma or twice, by commas before a point or
# twice, by apostrophes or by blanks.
_BY_POINTS = re.compile(rf"[-+]?[1-9]\d{{0,2}}(?:(?:\.\d{{3}})+,\d+|(?:\.\d{{3}}){{2,}}){_END}")
_BY_COMMAS = re.compile(rf"[-+]?[1-9]\d{{0,2}}(?:(?:,\d{{3}})+\.\d+|(?:,\d{{3}}){{2,}}){_END}")
_BY_SIGNS = re.compile(r"[-+]?[1-9]\d{0,2}(?:(?:['’]\d{3})+|(?: \d{3})+)(?:[.,]\d+)?(?=$|[^\d,./'’])")
_CLEAN = str.maketrans({"\u00a0": " ", "\u2007": " ", "\u2009": " ", "\u202f": " ", "−": "-"})


def signs_of(texts: Iterable[str]) -> frozenset[str]:
    """Which decimal signs the texts surely have: the comma, the point, both or neither."""
    found: set[str] = set()
    for text in texts:
        if _BY_POINTS.match(text) or (COMMA.match(text) and not UNCLEAR.match(text)):
            found.add(",")
        elif _BY_COMMAS.match(text) or (_POINT.match(text) and not UNCLEAR_POINT.match(text)):
            found.add(".")
        if len(found) == 2:
            break
    return frozenset(found)


def plain_blanks(text: str) -> str:
    """The text with common blanks and hyphens for the special ones that spreadsheets put into numbers."""
    return text.translate(_CLEAN).strip()


def with_point(text: str, signs: frozenset[str] = frozenset(), *, thousands: bool = False) -> str:
    """The text with a decimal point and no sign between thousands.

    ``signs`` are the decimal signs that its neighbours surely have; ``thousands`` says that numbers beyond a thousand
    are common here, and three decimal places are not.

    Raises:
        Misfit: 1,500 may be one and a half or fifteen hundred, unless its neighbours have decimal commas and nothing
            else; so may 1.500 among decimal commas, and both where thousands are common.
    """
    if found := _BY_POINTS.match(text) or _BY_COMMAS.match(text) or _BY_SIGNS.match(text):
        return _joined(found[0]) + text[found.end() :]
    if found := UNCLEAR.match(text):
        if thousands or signs != {","}:
            raise unclear(found[0], text[found.end() :])
    elif (found := UNCLEAR_POINT.match(text)) and (thousands or "," in signs):
        raise unclear(found[0], text[found.end() :])
    return text.replace(",", ".", 1) if COMMA.match(text) else text


def _joined(number: str) -> str:
    """A number without the signs between its thousands: of several signs the last one is the decimal sign."""
    signs = re.findall(r"[^\d+-]", number)
    decimal = signs[-1] if len(set(signs)) > 1 else ""
    whole, _, places = number.rpartition(decimal) if decimal else (number, "", "")
    joined = re.sub(r"[^\d+-]", "", whole)
    return f"{joined}.{places}" if decimal else joined


def readings(number: str) -> tuple[str, str]:
    """The two ways to read a number such as 1.500 or 1,500, each written so that it leaves no doubt."""
    whole, places = re.split("[,.]", number)
    shorter = places.rstrip("0") or "0"
    clear = f"{places}0" if shorter == places else shorter  # three places alone may be thousands
    return f"{whole}.{clear}", f"{whole}{places}"


def unclear(number: str, unit: str = "") -> Misfit:
    """The complaint about a number and what follows it, with the two ways to write it that leave no doubt."""
    small, large = readings(number)
    wanted = f"a number that can be read one way only: {small}{unit} or {large}{unit}"
    return misfit(wanted, found=repr(f"{number}{unit}"))
