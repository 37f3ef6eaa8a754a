"""Job, shop and crib: models and readers. Names are imported on first use, so that the program starts quickly."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.inputs.assignment import Assignment, read_assignment
    from advisor.inputs.crib import CribFile, read_crib
    from advisor.inputs.cutter import Body, Cutter, Substrate, make_cutter
    from advisor.inputs.features import (
        FEATURE_KINDS,
        ClosedPocket,
        Feature,
        FeatureBase,
        FeatureKind,
        OpenPocket,
        OutsideProfile,
        PlanarFace,
        RoundHole,
        Slot,
        Step,
    )
    from advisor.inputs.job import Job
    from advisor.inputs.machine import Coolant, Machine, Spindle, make_machine
    from advisor.inputs.material import CuttingClass, Group, Material, Materials, load_materials
    from advisor.inputs.problems import BadInput, Problem
    from advisor.inputs.schemas import crib_schema, job_schema, shop_schema
    from advisor.inputs.units import Units, parse_length, to_mm
    from advisor.inputs.yaml_reader import Document, parse_yaml, read_yaml

_MODULES = {
    "assignment": "Assignment read_assignment",
    "crib": "CribFile read_crib",
    "cutter": "Body Cutter Substrate make_cutter",
    "features": "FEATURE_KINDS ClosedPocket Feature FeatureBase FeatureKind OpenPocket OutsideProfile PlanarFace "
    "RoundHole Slot Step",
    "job": "Job",
    "machine": "Coolant Machine Spindle make_machine",
    "material": "CuttingClass Group Material Materials load_materials",
    "problems": "BadInput Problem",
    "schemas": "crib_schema job_schema shop_schema",
    "units": "Units parse_length to_mm",
    "yaml_reader": "Document parse_yaml read_yaml",
}
_HOMES = {name: module for module, names in _MODULES.items() for name in names.split()}

__all__ = [  # noqa: RUF022 - in the order of the modules above
    "Assignment", "read_assignment", "CribFile", "read_crib", "Body", "Cutter", "Substrate", "make_cutter",
    "FEATURE_KINDS", "ClosedPocket", "Feature", "FeatureBase", "FeatureKind", "OpenPocket", "OutsideProfile",
    "PlanarFace", "RoundHole", "Slot", "Step", "Job", "Coolant", "Machine", "Spindle", "make_machine", "CuttingClass",
    "Group", "Material", "Materials", "load_materials", "BadInput", "Problem", "crib_schema", "job_schema",
    "shop_schema", "Units", "parse_length", "to_mm", "Document", "parse_yaml", "read_yaml",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = value
    return value
