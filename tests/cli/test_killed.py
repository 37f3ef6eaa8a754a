"""The program is killed from outside while others work for it: none of them lives on."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.commands import begun

pytestmark = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are read from /proc")

SOON = 60.0  # s: every core may be busy
MANY = ("advise", "cases/guide-slot-narrow/job.yaml", "cases", "--processes", "2")


def of_session(session: int) -> dict[int, str]:
    """The processes of a session that still run, by number, with their commands."""
    found = {}
    for place in Path("/proc").glob("[0-9]*"):
        try:
            state, _, _, own = (place / "stat").read_text().rpartition(")")[2].split()[:4]
            if int(own) == session and state != "Z":
                found[int(place.name)] = (place / "cmdline").read_text().replace("\0", " ")
        except OSError:  # it ended meanwhile
            continue
    return found


def left_of(session: int) -> dict[int, str]:
    """What still runs of a session after a while; nothing as soon as nothing does."""
    until = time.monotonic() + SOON
    while (found := of_session(session)) and time.monotonic() < until:
        time.sleep(0.05)
    return found


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_no_worker_outlives_the_program_that_started_it(number: int) -> None:
    with begun(*MANY, alone=True) as process:
        assert process.stdout is not None
        process.stdout.readline()  # the first is answered: the workers are there
        assert sum("LokyProcess" in command for command in of_session(process.pid).values()) == 2
        process.send_signal(number)
        _, remarks = process.communicate(timeout=SOON)  # ends only once nobody holds the pipes open
        assert left_of(process.pid) == {}
    assert "Traceback" not in remarks


@pytest.mark.parametrize("moment", [0.0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.8])
def test_a_program_killed_while_its_workers_start_leaves_none(moment: float) -> None:
    with begun(*MANY, alone=True) as process:
        time.sleep(moment)
        process.kill()
        process.wait()
        assert left_of(process.pid) == {}


def test_a_worker_that_works_on_ends_with_the_program(tmp_path: Path) -> None:
    """It is in the midst of a job that would take minutes, and looks at nothing but that."""
    script = tmp_path / "killed.py"
    script.write_text(
        "import time\nfrom pathlib import Path\nfrom advisor.cli.many import run_many\n"
        "def work(item):\n    Path(__file__).with_name(f'begun{item}').touch()\n"
        "    until = time.monotonic() + 120\n    while time.monotonic() < until: sum(range(10**5))\n"
        "if __name__ == '__main__':\n    list(run_many(work, range(2), 2))\n"
    )
    known = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    with subprocess.Popen([sys.executable, str(script)], start_new_session=True, env=known) as process:
        until = time.monotonic() + 60
        while len([*tmp_path.glob("begun*")]) < 2 and time.monotonic() < until:
            time.sleep(0.05)
        assert len(of_session(process.pid)) > 2
        process.kill()
        process.wait()
        assert left_of(process.pid) == {}
