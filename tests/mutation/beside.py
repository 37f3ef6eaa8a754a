"""Lets what is here import what lies beside the worked cases and beside other tests."""

import sys
from pathlib import Path

for _place in ("mutation", "cases", "inference", "report", "reasoning", "review"):
    sys.path.insert(0, str(Path(__file__).parents[1] / _place))
