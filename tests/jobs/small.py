"""Small invented jobs: a feature, a few cutters, a material, a machine."""

from collections.abc import Sequence
from typing import Any

from advisor.choosing.advice import advise
from advisor.model.answer import FeatureAdvice
from advisor.model.assignment import Assignment
from advisor.model.candidate import Candidate
from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FEATURE_KINDS
from advisor.model.job import Job
from advisor.model.machine import Machine, make_machine
from advisor.readers.materials import load_materials

QUICK_EXAMPLES = 60
ALUMINIUM, STEEL = "EN AW-6082-T6", "C45"
EVERYDAY: dict[str, Any] = {
    "name": "everyday",
    "spindle": {"speed": [1200, 6000, 12000], "power": [12, 15, 15]},
    "feed_max": 20000,
    "rapid": 30000,
    "axis_acceleration": 4,
    "tool_change": 6,
    "coolant": ["flood", "air"],
    "stiffness": 25,
}
STRONG: dict[str, Any] = EVERYDAY | {
    "name": "strong",
    "spindle": {"speed": [300, 1000, 6000], "power": [24, 37, 37]},
    "feed_max": 12000,
    "stiffness": 60,
}


def solid(DC: float, APMX: float, **more: Any) -> Cutter:
    """Return a solid end mill, three teeth unless said otherwise, as short out of the holder as it can be."""
    given = {"id": f"E{DC:g}", "ZEFP": 3, "RE": 0.3, "FHA": 40, "RMPX": 10, "holder_diameter": DC + 10} | more
    return make_cutter(body="solid_end_mill", DC=DC, APMX=APMX, **given)


def inserted(DC: float, **more: Any) -> Cutter:
    """Return an end mill with inserts of 10 mm edge."""
    given = {
        "id": f"I{DC:g}",
        "body": "inserted_end_mill",
        "APMX": 10,
        "LU": 2 * DC,
        "LPR": 2.5 * DC,
        "DN": DC - 1,
        "RMPX": 4,
        "ZEFP": 3,
    } | more
    return make_cutter(DC=DC, **given)


def drill(DC: float) -> Cutter:
    """Return a carbide drill five diameters long."""
    return make_cutter(id=f"D{DC:g}", body="drill", DC=DC, APMX=5 * DC, ZEFP=2)


def job(
    feature: dict[str, Any],
    crib: Sequence[Cutter],
    material: str = ALUMINIUM,
    machine: dict[str, Any] | Machine = EVERYDAY,
) -> Assignment:
    """Return an assignment of one feature; lengths in mm."""
    given = {"id": "F1", **feature}
    return Assignment(
        job=Job(part="small", material=material, features=(FEATURE_KINDS[given["kind"]].model_validate(given),)),  # type: ignore[arg-type]
        material=load_materials()[material],
        machine=machine if isinstance(machine, Machine) else make_machine(**machine),
        crib=tuple(crib),
    )


def asked(
    feature: dict[str, Any],
    crib: Sequence[Cutter],
    material: str = ALUMINIUM,
    machine: dict[str, Any] | Machine = EVERYDAY,
) -> FeatureAdvice:
    """Return the advice for such a feature."""
    return advise(job(feature, crib, material, machine)).features[0]


def best(
    feature: dict[str, Any],
    crib: Sequence[Cutter],
    material: str = ALUMINIUM,
    machine: dict[str, Any] | Machine = EVERYDAY,
) -> Candidate:
    """Return the advised candidate for such a feature; there must be one."""
    found = asked(feature, crib, material, machine).best
    assert found is not None
    assert found.plan is not None
    return found
