"""Lets the tests of this folder import what lies beside the worked cases, and what they share themselves."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
sys.path.insert(0, str(Path(__file__).parent))
