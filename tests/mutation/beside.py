"""Lets what is here import what lies beside the worked cases and beside other tests."""

import sys
from pathlib import Path

for _place in ("review", "mutation", "cases", "inference", "report", "reasoning"):
    sys.path.insert(0, str(Path(__file__).parents[1] / _place))
