"""Lets the tests of this folder import what lies beside them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

collect_ignore = ["report.py", "coverage_guided.py", "houses.py"]  # run by hand
