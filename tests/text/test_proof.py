"""What is shown of a rule base: each finding's job is told as a person would say it."""

import pytest

from advisor.proof.context import Finding, Left, Tally
from advisor.proof.jobs import SmallJob
from advisor.proof.prove import Proof
from advisor.render import terminal
from advisor.text.proof import proof_blocks, value_text

JOB = SmallJob(
    feature={"kind": "round_hole", "depth": 24.0, "floor": True, "flat_floor": False},
    cutters=({"id": "E1", "body": "solid_end_mill", "DC": 4.45, "ZEFP": 4, "RMPX": None},),
    machine={
        "name": "machine",
        "spindle": {"speed": [1200.0, 6000.0, 12000.0], "power": [12.0, 15.0, 15.0]},
        "coolant": ["flood", "air"],
    },
    material="C45",
    plan=({"feature": "F1", "cutter": "E1", "tabs": True},),
)


def told(job: SmallJob) -> str:
    tally = Tally("needed", findings=[Finding("needed", ("a-rule",), "It repeats.", job, "it", lambda _: True)])
    shown = terminal.text(proof_blocks(Proof((tally,), 1, 0.1)), 80)
    return " ".join(shown.split())  # wherever the lines end


def test_the_job_of_a_finding_is_told_as_a_person_would() -> None:
    shown = told(JOB)
    assert "C45; kind round hole, depth 24, floor yes, flat floor no" in shown
    assert "id E1, body solid end mill, DC 4.45, ZEFP 4 name" in shown
    assert "name machine, spindle speed 1 200, 6 000 and 12 000, power 12, 15 and 15, coolant flood and air" in shown
    assert "planned: feature F1, cutter E1, tabs yes" in shown


def test_rules_of_which_nothing_is_shown_are_named() -> None:
    """A number alone would hide which rules may contradict one another."""
    left = [Left("apart", ("our-rule", "no-room-to-loop"), False, 6300), Left("fires", ("our-other",), True, 20)]
    shown = " ".join(terminal.text(proof_blocks(Proof((Tally("apart", left=left),), 1, 0.1)), 80).split())
    assert "our-rule and no-room-to-loop: possible by the facts; no job found in 6300 tries." in shown
    assert "our-other: undecided" in shown


@pytest.mark.parametrize(
    ("value", "said"),
    [(["none"], "none"), (12345.67, "12\u00a0345.67"), (0.0742, "0.0742"), (0, "0"), ("\x1b[2J", "\\x1b[2J")],
)
def test_a_value_is_said_in_full_and_drives_no_terminal(value: object, said: str) -> None:
    assert value_text(value) == said
