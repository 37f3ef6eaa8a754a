"""Files of YAML that only tests read: as they are, without the places that faults are told with."""

from pathlib import Path
from typing import Any

import yaml

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the one in C, where there is one, takes a tenth of the time


def load(file: Path) -> Any:
    """Return what a file says."""
    return yaml.load(file.read_text(encoding="utf-8"), LOADER)
