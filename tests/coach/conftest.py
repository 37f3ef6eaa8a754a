"""Keeps records out of the user's own folder."""

from pathlib import Path

import pytest


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where records come to lie in a test."""
    monkeypatch.setenv("ROUGHING_DATA", str(tmp_path / "data"))
    return tmp_path / "data" / "coach"
