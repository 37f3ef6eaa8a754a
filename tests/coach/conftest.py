"""Lets the tests of this folder import what lies beside them, and keeps records out of the user's own folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where records come to lie in a test."""
    monkeypatch.setenv("ROUGHING_DATA", str(tmp_path / "data"))
    return tmp_path / "data" / "coach"
