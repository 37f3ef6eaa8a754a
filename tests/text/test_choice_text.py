"""Why the advised way stands first is said whatever decides, also for the drill of its hole."""

from advisor.analysis.alternatives import choice
from advisor.choosing.advice import advise
from advisor.model.cutter import make_cutter
from advisor.text.alternatives import first_text
from tests.jobs.small import drill, job, solid

HOLE = {
    "kind": "round_hole", "diameter": 8.509, "depth": 25.4, "floor": True, "flat_floor": False,
    "floor_thickness": 1.524, "purpose": "thread",
}  # fmt: skip
LONG = make_cutter(id="D7.5", body="drill", DC=7.5, APMX=49, LU=61, LPR=65, ZEFP=2)


def test_a_poor_way_through_a_hole_that_is_not_worth_its_drill_has_its_reason() -> None:
    crib = [solid(7, 20, LU=26, LPR=33, DN=6.7, RMPX=8, TMC1ISO="N"), LONG]
    found = advise(job(HOLE, crib, "X2CrNiMo17-12-2"))
    answer = found.features[0]
    assert answer.best is not None
    assert answer.grade == "poor"
    first = choice(answer, found.bench.limits)
    assert first is not None
    assert first_text(first, found.bench.limits)


def test_every_advised_way_of_many_small_jobs_has_its_reason() -> None:
    """Pockets and holes with cutters and drills that nearly fit, where drill, stiffness and levels decide."""
    twins = [solid(8, 20), solid(8, 20, id="E8b", LPR=40)]
    cribs = [[*twins, drill(8.5), drill(9)], [solid(12, 26), solid(10, 22), drill(13)]]
    said = set()
    for crib in cribs:
        for wide in (14, 22, 40):
            for deep in (4, 12, 19):
                pocket = {"kind": "closed_pocket", "length": 60, "width": wide, "depth": deep, "floor": True}
                found = advise(job(pocket, crib, "C45"))
                for answer in found.features:
                    first = choice(answer, found.bench.limits)
                    assert answer.best is None or (first is not None and first_text(first, found.bench.limits))
                    said.add(answer.grade)
    assert len(said) > 1
