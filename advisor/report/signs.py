"""Signs that not every output can show: their widths in a terminal, and plain ones to put in their place."""

from __future__ import annotations

from unicodedata import category, combining, decomposition, east_asian_width, normalize

PLAIN = {
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
    "°": " deg",
    "µ": "u",
    "μ": "u",
    "²": "2",
    "³": "3",
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
    "ø": "o",
    "ß": "ss",
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
    """The text in ASCII: signs spelt out, accents dropped, anything else as an escape."""
    if text.isascii():
        return text
    return "".join(sign if sign.isascii() else _plain(sign) for sign in text)


def _plain(sign: str) -> str:
    if sign in PLAIN:
        return PLAIN[sign]
    bare = "".join(part for part in normalize("NFKD", sign) if not combining(part)) if decomposition(sign) else sign
    return bare if bare.isascii() else bare.encode("ascii", "backslashreplace").decode("ascii")


def width(text: str) -> int:
    """How many columns of a terminal the text takes."""
    if text.isascii() or max(text) <= ALWAYS_NARROW:
        return len(text)
    return sum(_columns(sign) for sign in text)


def _columns(sign: str) -> int:
    if category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if east_asian_width(sign) in ("W", "F") else 1
