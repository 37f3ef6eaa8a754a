"""Without the solver the tests of this folder are left out."""

import pytest

pytest.importorskip("z3")
