"""A recorded session: a hint, a wrong answer, the reason, where it turns; the next day that topic is asked again.

Compared word for word with ``recorded_session.txt``; after a wanted change write it anew with ``SNAPSHOTS=renew``.
"""

import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli import coach
from advisor.cli.main import app

RECORDED = Path(__file__).with_name("recorded_session.txt")
MONDAY = datetime(2026, 3, 2, 7, tzinfo=UTC)
FIRST = ["narrow-slots", "--kind", "choose", "--difficulty", "2", "--seed", "115", "--minutes", "0.1"]
HINTED_WRONG_AND_KEPT = ["?", "looping", ""]


def session(monkeypatch: pytest.MonkeyPatch, start: datetime, words: list[str], typed: list[str]) -> str:
    """What a session at 50 columns shows; a minute goes by whenever the clock is looked at."""
    looks = iter(range(1000))
    monkeypatch.setattr(coach, "utc_now", lambda: start + next(looks) * timedelta(minutes=1))
    found = CliRunner().invoke(
        app, ["coach", *words, "--who", "anna"], input="".join(f"{line}\n" for line in typed), env={"COLUMNS": "50"}
    )
    assert found.exit_code == 0, found.output
    return f"$ roughing coach {' '.join([*words, '--who anna'])}\n{found.stdout}"


def test_the_recorded_session_is_what_a_session_shows(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = session(monkeypatch, MONDAY, FIRST, HINTED_WRONG_AND_KEPT)
    steps = ("Hint", "Not yet.", "Not right.", "  Answer", "Where the answer changes")
    assert sorted(steps, key=first.index) == list(steps)
    second = session(monkeypatch, MONDAY + timedelta(days=1), [], ["q"])
    assert "Question 1: Narrow slots" in second
    shown = f"{first}\n# the next day\n{second}"
    if os.environ.get("SNAPSHOTS") == "renew":
        RECORDED.write_text(shown, encoding="utf-8")
    assert shown == RECORDED.read_text(encoding="utf-8")
