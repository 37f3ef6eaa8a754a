"""Running the program as a user does: in a process of its own."""

import os
import subprocess
import sys
from pathlib import Path

from advisor.paths import cases_dir, data_root

WINCH = cases_dir() / "winch-side-plate" / "job.yaml"
NO_WAY = cases_dir() / "valve-block-no-way" / "job.yaml"


def roughing(*words: object, folder: Path | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    """Return how a command ended, with what it wrote; all bytes read as UTF-8."""
    known = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "NO_COLOR", "FORCE_COLOR")}
    path = os.pathsep.join([str(data_root()), known.get("PYTHONPATH", "")])
    return subprocess.run(
        [sys.executable, "-m", "advisor.cli.start", *map(str, words)],
        capture_output=True,
        cwd=folder or data_root(),
        env={**known, "PYTHONPATH": path, **environment},
        encoding="utf-8",
        timeout=120,
        check=False,
    )
