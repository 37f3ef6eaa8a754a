"""How long a command takes from a cold start: ``python -m tests.benchmarks.cold_start [RUNS]``.

Each command is compared with a Python that only imports pydantic (with one model), typer and rich, in turns, so that a
busy computer slows all alike. Given are least and median of the runs, and the ratios of these.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
JOB = """\
part: Two features
material: EN AW-6082-T6
machine: vmc-40-12k
features:
  - {id: S1, kind: slot, width: 14.5, length: 60, depth: 12, floor: true, open_ends: 0}
  - {id: P1, kind: closed_pocket, length: 90, width: 55, depth: 28, corner_radius: 8, floor: true}
"""
BARE = "import pydantic, typer, rich\nclass M(pydantic.BaseModel):\n    x: int\n"
ROUGHING = "import sys; from advisor.cli.main import run; sys.exit(run())"


def seconds(command: list[str]) -> float:
    """Return how long a command takes [s]. Raises if it fails."""
    start = time.perf_counter()
    done = subprocess.run(
        command, cwd=ROOT, capture_output=True, env=os.environ | {"PYTHONPATH": str(ROOT), "NO_COLOR": "1"}, check=False
    )
    spent = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(f"{command}: exit {done.returncode}\n{done.stderr.decode()[-2000:]}")
    return spent


def main() -> None:
    """Run all of it and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    with tempfile.TemporaryDirectory() as place:
        job = Path(place) / "job.yaml"
        job.write_text(JOB)
        commands = {
            "python -c pass": [sys.executable, "-c", "pass"],
            "bare imports": [sys.executable, "-c", BARE],
            "roughing --version": [sys.executable, "-c", ROUGHING, "--version"],
            "roughing rules list": [sys.executable, "-c", ROUGHING, "rules", "list"],
            "roughing advise --quick (2 feat.)": [sys.executable, "-c", ROUGHING, "advise", str(job), "--quick"],
            "roughing advise (2 features)": [sys.executable, "-c", ROUGHING, "advise", str(job)],
        }
        times: dict[str, list[float]] = {name: [] for name in commands}
        for command in commands.values():
            seconds(command)  # once for the compiled modules and the kept tables
        for _ in range(runs):
            for name, command in commands.items():
                times[name].append(seconds(command))
    least, middle = ({name: f(found) for name, found in times.items()} for f in (min, statistics.median))
    print(f"{'':34}   least  median   ratio to bare imports (least, median), {runs} runs each")
    for name in commands:
        ratios = least[name] / least["bare imports"], middle[name] / middle["bare imports"]
        print(
            f"{name:34}  {1000 * least[name]:4.0f} ms {1000 * middle[name]:4.0f} ms   {ratios[0]:.2f}  {ratios[1]:.2f}"
        )


if __name__ == "__main__":
    main()
