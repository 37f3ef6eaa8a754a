"""Whether engine and evaluator agree on the rule base: ``python -m tests.benchmarks.agreement [SITUATIONS]``.

Situations of real candidates with some facts disturbed, and ones drawn from what the measures allow; every question is
asked of the engine itself, none is answered from what is remembered. Ends with 1 at the first difference.
"""

import sys
import time

from advisor.inference import Disagreement, start
from advisor.knowledge.shipped import rule_base
from tests.inference.situations import asked, real, situations

SITUATIONS, SEED = 100_000, 20


def main() -> int:
    """Run all of it and print."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else SITUATIONS
    inference = start(rule_base(), "durable")
    known = real(inference)
    begun = time.process_time()
    try:
        tally = asked(inference, situations(count, SEED, known, rule_base()))
    except Disagreement as error:
        print(f"they differ: {error}")
        return 1
    spent = time.process_time() - begun
    silent = [name for name, times in tally.fired.items() if not times]
    print(f"{tally.situations} situations, from {len(known)} real candidates: no difference")
    print(f"{tally.questions} questions of {inference.name}, {1000 * spent / tally.questions:.3f} ms each")
    print(f"{sum(tally.fired.values())} firings; {len(tally.fired) - len(silent)} of {len(tally.fired)} rules fired")
    if silent:
        print(f"never: {', '.join(silent)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
