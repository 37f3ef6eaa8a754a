"""Lets the tests of this folder import what lies beside them, and small jobs."""

import sys
from pathlib import Path

for place in ("review", "reasoning", "outside"):
    sys.path.insert(0, str(Path(__file__).parents[1] / place))
