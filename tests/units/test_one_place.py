"""Units are converted in one place, and who writes a text neither asks for them nor writes one itself."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2] / "advisor"
TELLING = ("text", "render", "coach", "cli")
CONVERTS = {"files/unit_scales.py", "files/units.py"}
MEANS_THE_SLIP = {
    "readers/plan_check.py",
    "proof/plans.py",
    "coach/kinds/flaws.py",
}  # a number that was meant in the other unit
FACTOR = re.compile(r"MM_PER_INCH|\b25\.4\b|\b0\.7457|\b4\.448|\b3\.2808|\b0\.03937")
WRITTEN = re.compile(r"\}[ \xa0]?(mm|mm/min|kW|Nm|N|m/min)\b[^a-z]")
ASKS = re.compile(r"[=!]= *\"(mm|inch)\"|\"(mm|inch)\" *[=!]=")
EXPLAINS = {"text/why.py"}  # which formulas are worked in mm
READS = {
    "coach/reading.py",
    "coach/kinds/flaws.py",
    "render/setup_files.py",
    "text/setup.py",
}  # which kind of number is wanted, or written


def sources(*rooms: str) -> dict[str, str]:
    found = [file for room in rooms or ("",) for file in sorted((ROOT / room).rglob("*.py"))]
    return {file.relative_to(ROOT).as_posix(): file.read_text(encoding="utf-8") for file in found}


def test_nothing_else_knows_what_an_inch_is() -> None:
    assert {name for name, text in sources().items() if FACTOR.search(text)} == CONVERTS | MEANS_THE_SLIP


def test_no_text_writes_a_unit_itself_or_asks_which_is_shown() -> None:
    every = sources(*TELLING)
    assert not {name: WRITTEN.findall(text) for name, text in every.items() if WRITTEN.search(text)}.keys() - EXPLAINS
    assert not {name for name, text in every.items() if ASKS.search(text)} - READS
