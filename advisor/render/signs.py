"""Signs that not every output can show: their widths in a terminal, and plain ones to put in their place."""

from __future__ import annotations

from unicodedata import category, east_asian_width

PLAIN = {
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
    "°": " deg",
    "µ": "u",
    "μ": "u",
    "²": "2",
    "³": "3",
    "⁴": "4",
    "→": "->",
    "−": "-",
    "×": "x",
    "–": "-",
    "—": "-",
    "…": "...",
    "≤": "<=",
    "≥": ">=",
    "·": "*",
    "π": "pi",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "⌀": "dia ",
    "▒": "%",
    "░": ":",
    "█": "#",
    "▓": "=",
    "╱": "/",
    "╳": "X",
    "│": "|",
}
ALWAYS_NARROW = "\u02ff"


def can_show(encoding: str | None) -> bool:
    """Whether an output of this encoding can show the signs that reports use."""
    try:
        "".join(PLAIN).encode(encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def plain(text: str) -> str:
    """The text in ASCII: signs of ours spelt out, anything else as an escape, so that no two names look the same."""
    if text.isascii():
        return text
    return "".join(sign if sign.isascii() else PLAIN.get(sign) or _escaped(sign) for sign in text)


def _escaped(sign: str) -> str:
    return sign.encode("ascii", "backslashreplace").decode("ascii")


def width(text: str) -> int:
    """How many columns of a terminal the text takes."""
    if text.isascii() or max(text) <= ALWAYS_NARROW:
        return len(text)
    return sum(_columns(sign) for sign in text)


def _columns(sign: str) -> int:
    if category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if east_asian_width(sign) in ("W", "F") else 1
