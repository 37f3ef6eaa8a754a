"""Lets the tests of this folder import what lies beside them and beside the worked cases."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).parents[1] / "cases"))
sys.path.append(str(Path(__file__).parents[1] / "review"))
