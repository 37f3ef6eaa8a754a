"""One threshold of the house, one worked case that changes: the check lists just that one, and its advice says so."""

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
RUN = "from advisor.cli.main import run; run()"


def roughing(*words: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", RUN, *words], cwd=ROOT, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


def test_a_house_that_wants_more_torque_for_stacked_inserts_changes_the_tall_profile_alone(tmp_path: Path) -> None:
    (tmp_path / "house.yaml").write_text(
        "thresholds:\n  stacked_torque_least: {value: 900, reason: our spindle is old}\n"
    )
    found = json.loads(roughing("rules", "check", "--no-proof", "--house", str(tmp_path), "--format", "json"))
    changed = [one["case"] for one in found["changed"]]
    assert changed == ["press-bed-tall-profile"]
    told = roughing("advise", "--full", "cases/press-bed-tall-profile/job.yaml", "--house", str(tmp_path))
    assert "our spindle is old" in told
    assert "poor" in told
    assert "our spindle is old" not in roughing("advise", "--full", "cases/press-bed-tall-profile/job.yaml")
