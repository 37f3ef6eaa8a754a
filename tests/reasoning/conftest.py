"""Lets the tests of this folder import what lies beside them and the worked cases, and small jobs."""

import sys
from pathlib import Path

for place in ("reasoning", "cases", "outside"):
    sys.path.insert(0, str(Path(__file__).parents[1] / place))
