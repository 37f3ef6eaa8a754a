"""Slips of the pen, of a program that writes files, and of whoever means harm: put into a value, text or table."""

from random import Random
from typing import Any

SIGNS = ("\x1b[31m", "\u202e", "\x00", "\x07", "\x85", "\u2028", "\ufeff", "<script>", "[red]", "|", "`", "*", "&", "é",
         "Ø", "0", "９", "٣", "𝟗", "\ud800", "\r", "\n", "\t", "\u00a0", '"', "'", ",", ";", "#", "%", "---", "...",
         ": ")  # fmt: skip
TOKENS = (
    "~", "", "yes", "No", "on", "true", ".nan", ".inf", "-.inf", "nan", "inf", "Infinity", "-0", "-0.0", "0", "-1",
    "1e999", "-1e999", "1e-999", "1e308", "1e-308", "1_000", "0x1F", "0o14", "012", "12:30", "1,5", "1.5.2", "1e3",
    "9" * 60, "9" * 400, "0." + "0" * 50 + "1", "１２", "٣", "12 mm", "0.5 in", "3/4 in", "1-1/2 in", "1/0",
    "12 furlong", "12mm", "1e400 mm", "12 m", "!!int 3", "!!str 3", "!!float x", "!!binary aGk=",
    "!!python/object/apply:os.system [x]", "&a 3", "*a", "*b", "{}", "[]", "[1, 2]", "{a: 1}", "[[[[[[[[3]]]]]]]]",
    "? a", "- 3", "|\n  3", ">-\n  text", "'", '"', '"\\e[31m"', '"\\u202e"', '"\\0"', "2026-11-25", "<<", "=",
    "x" * 90, "x" * 3000, "../../etc/passwd", "/dev/zero", "/dev/null", ".", "/", "NULL", "null",
)  # fmt: skip
STRANGE_FIELDS = ("assumed", "widht", "5", "__class__", "~", "", "id ", "DC", "x" * 200)
RAW = "RAWTOKEN"


def _holders(value: Any) -> list[Any]:
    """Every mapping and list in a value that is not empty, the value first."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    here = [value] if isinstance(value, dict | list) and value else []
    return here + [holder for one in inner for holder in _holders(one)]


def _token(chance: Random) -> str:
    if chance.random() < 0.4:
        most = chance.choice((3, 12, 308))
        return f"{chance.choice((1, 1, -1)) * 10 ** chance.uniform(-most, most):.6g}"
    return chance.choice(TOKENS)


def slip_in_value(chance: Random, whole: Any, tokens: list[str]) -> None:
    """Spoil one place of a value: another value there, nothing, one too many, a field misspelt, an entry twice."""
    if not (holders := _holders(whole)):
        return
    holder = chance.choice(holders)
    key = chance.choice(list(holder) if isinstance(holder, dict) else range(len(holder)))
    how = chance.choice(("token", "token", "token", "drop", "extra", "misspell", "twice", "wrap"))
    if how == "token":
        tokens.append(_token(chance))
        holder[key] = f"{RAW}{len(tokens) - 1}X"
    elif how == "drop":
        del holder[key]
    elif how == "wrap":
        held = holder[key]
        holder[key] = chance.choice(([held], {"value": held}, [held] * 5, str(held)))
    elif isinstance(holder, list):
        holder.append(holder[key])
    elif how == "extra":
        holder[chance.choice(STRANGE_FIELDS)] = 1
    elif how == "misspell":
        holder[f"{key}"[:-1] + chance.choice(("", "X", " ", "\u0440"))] = holder.pop(key)
    else:
        tokens.append(f"1\n{key}: 2")
        holder[key] = f"{RAW}{len(tokens) - 1}X"


def slip_in_text(chance: Random, text: str) -> str:
    """Spoil a text where it stands: signs put in, a piece cut out, a line often or never, other line ends."""
    place = chance.randint(0, len(text))
    how = chance.choice(("insert", "insert", "insert", "cut", "cut", "end", "line", "ends", "tab", "swap"))
    if how == "insert":
        return text[:place] + chance.choice(SIGNS) * chance.choice((1, 1, 1, 300)) + text[place:]
    if how == "cut":
        return text[:place] + text[place + chance.randint(1, 20) :]
    if how == "end":
        return text[:place]
    if how == "line":
        lines = text.splitlines(keepends=True) or [""]
        number = chance.randrange(len(lines))
        return "".join(lines[:number] + [lines[number]] * chance.choice((0, 2, 2, 300)) + lines[number + 1 :])
    if how == "ends":
        return text.replace("\n", chance.choice(("\r\n", "\r", "\x85", "\u2028")))
    if how == "tab":
        return text.replace("  ", "\t", chance.randint(1, 3))
    return text.replace(*chance.sample((",", ";", "\t", " ", ".", ":", "-"), 2))


def encoded(chance: Random, text: str) -> bytes:
    """The text as bytes, mostly in UTF-8."""
    how = chance.choice(("utf-8",) * 12 + ("utf-8-sig", "latin-1", "cp1252", "utf-16", "utf-16-le", "bytes"))
    if how == "bytes":
        return text.encode("utf-8", "surrogatepass") + bytes(chance.choices(range(256), k=chance.randint(1, 12)))
    return text.encode(how, "surrogatepass" if how.startswith("utf") else "replace")


def slip_in_table(chance: Random, table: list[list[str]]) -> None:
    """Spoil one place of a table: another cell, one too few or too many, two swapped, a row twice."""
    row = chance.choice(table)
    column = chance.randrange(len(row))
    how = chance.choice(("token", "token", "token", "drop", "more", "swap", "twice", "sign"))
    if how == "token":
        row[column] = _token(chance)
    elif how == "drop" and len(row) > 1:
        del row[column]
    elif how == "more":
        row.append(_token(chance))
    elif how == "swap":
        other = chance.randrange(len(row))
        row[column], row[other] = row[other], row[column]
    elif how == "twice":
        table.append(list(row))
    else:
        row[column] += chance.choice(SIGNS)
