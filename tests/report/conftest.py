"""Lets the tests of this folder import what lies beside the worked cases and small jobs, and what they share."""

import sys
from pathlib import Path

for place in ("cases", "outside"):
    sys.path.insert(0, str(Path(__file__).parents[1] / place))
sys.path.insert(0, str(Path(__file__).parent))
