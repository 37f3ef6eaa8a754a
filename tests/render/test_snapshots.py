"""What the reports say, word for word: the advice for every case, the evidence for some features, on two widths.

A no-break space is written as ~, and the engine's name is left out, since it differs from one Python to the next.
After a wanted change of a text, write the snapshots anew, look at what ``git diff`` shows, and keep it if it is right:

    SNAPSHOTS=renew python -m pytest tests/render/test_snapshots.py
"""

import os
from collections.abc import Iterable
from difflib import unified_diff
from pathlib import Path

import pytest

from advisor.render import terminal
from advisor.text.advice import advice_blocks
from advisor.text.blocks import Block
from advisor.text.why import why_blocks
from tests.cases import worked

PLACE = Path(__file__).parent / "snapshots"
RENEW = os.environ.get("SNAPSHOTS") == "renew"
COLUMNS = (50, 80)
CASES = [folder.name for folder in worked.folders()]
EXPLAINED = (  # a face, a narrow slot, a pocket down a drilled hole, a plunged step, a poor way, no way, inches
    ("bearing-bridge-grey-iron", "F1"),
    ("guide-slot-narrow", "S1"),
    ("die-holder-with-drill", "P1"),
    ("press-frame-step-out-of-reach", "T1"),
    ("keyway-cut-to-size", "S1"),
    ("valve-block-no-way", "P1"),
    ("valve-body-inch", "T1"),
)


def compare(name: str, blocks: Iterable[Block], columns: int) -> None:
    """Hold a report against its snapshot, or write the snapshot anew."""
    found = terminal.text(blocks, columns).replace("\u00a0", "~")
    file = PLACE / f"{name}.{columns}.txt"
    if RENEW:
        PLACE.mkdir(exist_ok=True)
        file.write_text(found, encoding="utf-8")
        pytest.skip("written anew")
    if not file.exists():
        pytest.fail(f"no snapshot {file.name}: SNAPSHOTS=renew writes it", pytrace=False)
    kept = file.read_text(encoding="utf-8")
    if found != kept:
        lines = unified_diff(kept.splitlines(), found.splitlines(), file.name, "as it is now", lineterm="", n=1)
        pytest.fail("\n".join(lines), pytrace=False)


@pytest.mark.parametrize("columns", COLUMNS)
@pytest.mark.parametrize("case", CASES)
def test_the_advice_reads_as_it_did(case: str, columns: int) -> None:
    advice = worked.asked(case)
    compare(f"advise.{case}", advice_blocks(advice), columns)


@pytest.mark.parametrize("columns", COLUMNS)
@pytest.mark.parametrize(("case", "feature"), EXPLAINED)
def test_the_evidence_reads_as_it_did(case: str, feature: str, columns: int) -> None:
    advice = worked.asked(case)
    answer = next(found for found in advice.features if found.region.id == feature)
    compare(f"why.{case}.{feature}", why_blocks(answer, advice), columns)


def test_every_snapshot_is_compared() -> None:
    wanted = {f"advise.{case}" for case in CASES} | {f"why.{case}.{feature}" for case, feature in EXPLAINED}
    assert {file.name for file in PLACE.iterdir()} == {
        f"{name}.{columns}.txt" for name in wanted for columns in COLUMNS
    }
