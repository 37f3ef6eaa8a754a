"""What was proved of a rule base, as JSON."""

from __future__ import annotations

from typing import Any

from advisor.proof.jobs import files
from advisor.proof.prove import Proof


def proof_record(proof: Proof) -> dict[str, Any]:
    """The obligations with their counts, each finding with its job, and what is left open."""
    return {
        "obligations": [
            {
                "obligation": tally.obligation,
                "title": tally.title,
                "to_show": tally.asked,
                "by_the_rules": tally.plain,
                "by_jobs": tally.by_job,
                "by_the_solver": tally.by_solver,
                "queries": tally.queries,
                "found": len(tally.findings),
                "no_job": sum(not one.undecided for one in tally.left),
                "undecided": sum(one.undecided for one in tally.left),
                "seconds": round(tally.seconds, 3),
            }
            for tally in proof.tallies
        ],
        "jobs": proof.jobs,
        "seconds": round(proof.seconds, 3),
        "findings": [
            {
                "obligation": found.obligation,
                "names": list(found.names),
                "text": found.text,
                "shows": found.shows,
                "confirmed": found.confirmed,
                "job": None if found.job is None else files(found.job, found.names),
            }
            for found in proof.findings
        ],
        "left_open": [
            {"obligation": one.obligation, "names": list(one.names), "undecided": one.undecided, "tries": one.tries}
            for one in proof.left
        ],
    }
