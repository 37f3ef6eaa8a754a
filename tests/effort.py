"""How much work something is. Machines differ and are noisy, so only the ratio of two of one run is asserted."""

import time
from collections.abc import Callable


def effort(work: Callable[[], object], times: int = 3) -> float:
    """Return the least processor time in seconds of a piece of work done several times."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)
