"""Keeps records out of the user's own folder, and what sessions and sheets ask from being made again and again."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.coach import picking, sheet
from tests.coach import made


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where records come to lie in a test."""
    monkeypatch.setenv("ROUGHING_DATA", str(tmp_path / "data"))
    return tmp_path / "data" / "coach"


@pytest.fixture(autouse=True, scope="package")
def made_once() -> Iterator[None]:
    """Exercises are made once a run; that making one again gives the same is shown in ``soundness.py``."""
    with pytest.MonkeyPatch.context() as patched:
        for room in (picking, sheet):
            patched.setattr(room, "make", made.make)
        yield
