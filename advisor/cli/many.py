"""One piece of work for many items: in this process, spread over several, or sent to a cluster."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from typing import TypeVar

from advisor.cli.child_processes import end_with
from advisor.cli.interrupts import interrupted
from advisor.cli.lost_workers import Broken

Item = TypeVar("Item")
Result = TypeVar("Result")

LOOK = 1.0  # s of work in this process before it is asked whether more of them would pay
START = 1.5  # s that it costs to start processes, each with an engine of its own
LIMIT = "LOKY_MAX_CPU_COUNT"  # of the environment, read by joblib
TRIES = 2  # how often work is started anew after a process was ended from outside


def run_many(
    work: Callable[[Item], Result], items: Sequence[Item], processes: int | None = None, cluster: str | None = None
) -> Iterator[Result]:
    """What a function gives for each item, in their order, each as soon as it and all before it are done.

    ``processes`` is how many work at once, 1 for this process alone; left out, the work is spread once a second of it
    is done and spreading the rest pays. ``cluster`` is the address of a Dask scheduler, to which all is sent instead.
    Function, items and results must be picklable and small; the function tells its faults in its result.

    Raises:
        BadInput: the cluster cannot be reached or used, or the environment's limit of processors is no number.
        Broken: workers were lost, and trying once more did not help.
    """
    if cluster is not None:
        from advisor.cli.cluster import run_on_cluster

        return run_on_cluster(work, items, cluster)
    if processes is None:
        return _spread_when_it_pays(work, items)
    if min(processes, len(items)) <= 1:
        return map(work, items)
    return _spread(work, items, processes)


def _spread_when_it_pays(work: Callable[[Item], Result], items: Sequence[Item]) -> Iterator[Result]:
    spent = 0.0
    for done, item in enumerate(items, start=1):
        start = time.perf_counter()
        result = work(item)
        spent += time.perf_counter() - start
        yield result
        if spent > LOOK and pays(spent, done, len(items) - done, cores := _cores()):
            yield from _spread(work, items[done:], cores)
            return


def pays(spent: float, done: int, left: int, cores: int) -> bool:
    """Whether starting processes gains time: by the seconds spent on the items done, for those left."""
    alone = spent / done * left
    return min(cores, left) > 1 and alone > START + alone / min(cores, left)


def _cores() -> int:
    from joblib import cpu_count

    _checked_limit()
    return int(cpu_count())


def _checked_limit() -> None:
    """Refuse a limit of processors in the environment that joblib cannot read."""
    from advisor.files.problems import BadInput, Problem, shown

    given = os.environ.get(LIMIT, "1").strip()
    if not (given.isascii() and given.isdecimal() and int(given) > 0):
        raise BadInput([Problem(LIMIT, None, "", shown(given), "a whole number of processors")])


def _spread(work: Callable[[Item], Result], items: Sequence[Item], processes: int) -> Iterator[Result]:
    """The results from processes of this computer; what was lost with a process is done once more."""
    from concurrent.futures.process import BrokenProcessPool

    _checked_limit()
    done = 0
    for tried in range(1, TRIES + 1):
        try:
            with closing(_by_joblib(work, items[done:], processes)) as results:
                for result in results:
                    done += 1
                    yield result
            return
        except BrokenProcessPool as error:
            if tried == TRIES:
                raise Broken("a process was ended from outside or ran out of memory, twice") from error


def _by_joblib(work: Callable[[Item], Result], items: Sequence[Item], processes: int) -> Generator[Result, None, None]:
    import warnings

    from joblib import Parallel, delayed
    from joblib.externals.loky import get_reusable_executor

    count = min(processes, len(items))
    results: Generator[Result, None, None] | None = None
    with warnings.catch_warnings(), _unheard(interrupted):
        warnings.simplefilter("ignore", UserWarning)  # that a process was replaced or let go changes no result
        try:
            ends = {"initializer": end_with, "initargs": (os.getpid(),)}
            spread = Parallel(n_jobs=count, backend="loky", return_as="generator", **ends)
            with _deaf_to_interrupts():
                results = spread(delayed(work)(item) for item in items)  # starts the processes
            for result in results:  # noqa: UP028 – so that an early end comes to the lines below before joblib's own
                yield result
        finally:
            with _unheard(lambda: True), suppress(Exception):  # whatever state they are in: nobody waits for them
                if results is not None:
                    results.close()
                get_reusable_executor(max_workers=count, reuse=True).shutdown(wait=False, kill_workers=True)


@contextmanager
def _unheard(thrown_away: Callable[[], bool]) -> Iterator[None]:
    """What a thread raises meanwhile is not told once its work is thrown away: processes that are ended trip it up."""
    usual = threading.excepthook

    def told(what: threading.ExceptHookArgs) -> None:
        if not thrown_away():
            usual(what)

    threading.excepthook = told
    try:
        yield
    finally:
        threading.excepthook = usual


@contextmanager
def _without_remarks() -> Iterator[None]:
    """What watches the workers' resources clears up after them without a word, also if this process ends before them.

    It is a process of its own, started meanwhile, that would write its warnings to the user.
    """
    name = "PYTHONWARNINGS"
    before = os.environ.get(name)
    os.environ[name] = "ignore::UserWarning"
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    """Processes and threads started meanwhile never hear Ctrl-C, which a terminal sends to all of a group.

    This process ends its workers itself; they would only tell tracebacks. An interrupt that comes meanwhile is kept
    until this is over. What watches the workers' resources is started before, since its start lets interrupts in.
    """
    if not hasattr(signal, "pthread_sigmask"):  # Windows
        yield
        return
    from multiprocessing import resource_tracker

    from joblib.externals.loky.backend import resource_tracker as of_joblib

    with _without_remarks():
        resource_tracker.ensure_running()
        of_joblib.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
