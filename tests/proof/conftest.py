"""Lets the tests of this folder import what lies beside the worked cases; without the solver they are left out."""

import sys
from pathlib import Path

import pytest

pytest.importorskip("z3")
sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
