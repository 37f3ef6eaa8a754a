"""Work sent to a Dask cluster through joblib, and what can go wrong on the way."""

from __future__ import annotations

import logging
import queue
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from typing import Any, TypeVar

from advisor.cli.lost_workers import Broken
from advisor.files.problems import BadInput, Problem
from advisor.version import __version__

Item = TypeVar("Item")
Result = TypeVar("Result")

REACHED_WITHIN = 5.0  # s for the scheduler to answer
STAFFED_WITHIN = 10.0  # s for a first worker to be there
LOOKED_AFTER = 0.5  # s between looks at the cluster while a result is waited for
GONE_AFTER = 5.0  # s without the scheduler, a worker or a task that was taken up
SCHEDULER = "the address of a running Dask scheduler"
EXTRA = "pip install 'roughing-advisor[cluster]'"


def run_on_cluster(work: Callable[[Item], Result], items: Sequence[Item], address: str) -> Iterator[Result]:
    """The results of a Dask cluster, in the order of the items; see ``run_many``.

    Raises:
        BadInput: what is needed is not installed, no scheduler answers, or a worker has another version of ours.
        Broken: the scheduler or the workers that had an item were lost.
    """
    logging.disable()  # what matters is told below, in one line
    client = None
    try:
        client = _client(address)
        _check_workers(client, address)
        yield from _watched(work, items, client)
    finally:
        with suppress(Exception):  # it may be gone; and there is nothing more to lose
            if client is not None:
                client.close(timeout=1)
        logging.disable(logging.NOTSET)


def _fault(address: str, found: str, wanted: str) -> BadInput:
    return BadInput([Problem("--cluster", None, "ADDRESS", f"{address!r}, {found}", wanted)])


def _client(address: str) -> Any:
    try:
        import distributed
    except ImportError:
        raise _fault(address, "but distributed is not installed", f"the extra for clusters: {EXTRA}") from None
    try:
        connect: Any = distributed.Client
        return connect(address, timeout=REACHED_WITHIN, set_as_default=False)
    except Exception as error:  # of any kind, where something else answers
        raise _fault(address, f"where no scheduler answers ({_in_a_line(error)})", SCHEDULER) from None


def _in_a_line(error: Exception) -> str:
    first, *_ = [*str(error).splitlines(), ""]
    return first or type(error).__name__


def version() -> str:
    """The version of the advisor that a worker has."""
    return __version__


def _check_workers(client: Any, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=STAFFED_WITHIN)
        versions = client.run(version, on_error="return")
    except TimeoutError:
        raise _fault(address, f"without a worker for {STAFFED_WITHIN:g} s", "a cluster with workers") from None
    except Exception as error:  # of any kind, where something else answers
        raise _fault(address, f"where no scheduler answers ({_in_a_line(error)})", SCHEDULER) from None
    for worker, found in versions.items():
        if found != __version__:
            told = f"whose worker {worker} has no roughing {__version__} but {found}"
            raise _fault(address, told, "the same roughing on every worker")


def _watched(work: Callable[[Item], Result], items: Sequence[Item], client: Any) -> Iterator[Result]:
    """The results as a thread of their own takes them in, with an eye on the cluster while there are none.

    joblib waits for ever for an item that the cluster has given up.
    """
    arrived: queue.SimpleQueue[tuple[str, Any]] = queue.SimpleQueue()
    threading.Thread(target=_take_in, args=(work, items, client, arrived), daemon=True).start()
    well = time.monotonic()
    while True:
        try:
            kind, value = arrived.get(timeout=LOOKED_AFTER)
            well = time.monotonic()
        except queue.Empty:
            trouble, at_once = _trouble(client)
            if not trouble:
                well = time.monotonic()
            elif at_once or time.monotonic() - well > GONE_AFTER:
                raise Broken(trouble) from None
            continue
        if kind == "done":
            return
        if kind == "failed":
            raise Broken(f"the cluster failed: {_in_a_line(value)}") from value
        yield value


def _trouble(client: Any) -> tuple[str, bool]:
    """What is wrong with the cluster, if anything, and whether that is past mending.

    A task counts as lost for a moment when its worker dies, until another takes it up.
    """
    if client.status != "running":
        return "the scheduler was lost", False
    if not client.ncores():
        return "every worker of the cluster was lost", False
    states = [state.status for state in client.futures.values()]
    if "error" in states:
        return f"the cluster gave up {states.count('error')} of its tasks: every worker that had them was lost", True
    gone = states.count("lost") + states.count("cancelled")
    return (f"the cluster lost {gone} of its tasks" if gone else ""), False


def _take_in(
    work: Callable[[Item], Result], items: Sequence[Item], client: Any, arrived: queue.SimpleQueue[tuple[str, Any]]
) -> None:
    from joblib import Parallel, delayed, parallel_config

    try:
        with parallel_config(backend="dask", client=client, wait_for_workers_timeout=STAFFED_WITHIN):
            for result in Parallel(n_jobs=-1, return_as="generator")(delayed(work)(item) for item in items):
                arrived.put(("result", result))
        arrived.put(("done", None))
    except Exception as error:  # told by the thread that waits
        arrived.put(("failed", error))
