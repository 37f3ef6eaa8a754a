"""A Dask scheduler and its workers on loopback, in processes of their own."""

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from advisor.paths import data_root

UP_WITHIN = 60  # s
PATH = {"PYTHONPATH": str(data_root())}


@contextmanager
def process(module: str, *words: str, folder: Path, **environment: str) -> Iterator[subprocess.Popen[bytes]]:
    """A process of Python that is ended afterwards, if it is still there."""
    started = subprocess.Popen(
        [sys.executable, "-m", module, *words],
        cwd=folder,
        env=os.environ | environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        yield started
    finally:
        started.kill()
        started.wait()


@contextmanager
def scheduler(folder: Path) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A scheduler: its address and process."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ("--host", "127.0.0.1", "--port", str(port), "--no-dashboard", "--no-show")
    with process("distributed.cli.dask_scheduler", *words, folder=folder) as running:
        until = time.monotonic() + UP_WITHIN
        while time.monotonic() < until:
            with socket.socket() as asked:
                if asked.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.05)
        yield f"tcp://127.0.0.1:{port}", running


@contextmanager
def worker(address: str, folder: Path, **environment: str) -> Iterator[subprocess.Popen[bytes]]:
    """A worker of two threads, of which each may be given a job at the same time."""
    words = (address, "--host", "127.0.0.1", "--nthreads", "2", "--no-nanny", "--no-dashboard")
    place = ("--local-directory", str(folder))
    with process("distributed.cli.dask_worker", *words, *place, folder=folder, **{**PATH, **environment}) as running:
        yield running


def wait_for_workers(address: str, count: int) -> None:
    """Return once so many workers are there. Raises TimeoutError."""
    from distributed import Client

    with Client(address, set_as_default=False, timeout=UP_WITHIN) as client:
        client.wait_for_workers(count, timeout=UP_WITHIN)
