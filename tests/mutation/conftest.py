"""Lets the tests of this folder import what lies beside them, beside the worked cases and beside other tests."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import beside  # noqa: F401
