"""The job: what is to be roughed, out of what, on which machine."""

from collections.abc import Mapping
from typing import Any

from pydantic import Field, InstanceOf, model_validator

from advisor.model.features import Feature, FeatureBase, parts_of
from advisor.model.fields import Frozen, PathText, UnitsField, Word


class JobHead(Frozen):
    """What a job says besides its features."""

    part: Word = Field(description="the name of the part")
    units: UnitsField = Field(default="mm", description="mm or inch: the units of plain numbers")
    material: Word = Field(description="the name or alias of a material")
    state: Word | None = Field(
        default=None, description="the state of the material, such as annealed, QT (quenched and tempered) or hardened"
    )
    hardness: Word | None = Field(default=None, description="the hardness of the material, such as 58 HRC or 220 HB")
    machine: Word | None = Field(default=None, description="the name of a machine of the shop")
    shop: PathText | None = Field(default=None, description="the path of the shop file, from the folder of the job")

    @property
    def material_text(self) -> str:
        """The material with the state and the hardness that are given beside it."""
        return " ".join(filter(None, (self.material, self.state, self.hardness)))


class Job(JobHead):
    """A job. `units` are those of the file; the lengths of the features are in mm whatever they are.

    The features were checked one by one as they were read, each by the model of its kind alone: a program that starts
    for one slot need not build the models of all seven kinds. They stand as they are answered: one with stock on walls
    and floor is two. `parts` are the ids of those two, walls and floor, by the id that the file has.
    """

    features: tuple[InstanceOf[FeatureBase], ...] = Field(min_length=1)
    parts: Mapping[str, tuple[str, ...]] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _in_parts(cls, given: dict[str, Any]) -> dict[str, Any]:
        written = [
            (feature, parts_of(feature) if isinstance(feature, FeatureBase) else (feature,))
            for feature in given.get("features", ())
        ]
        parts = {feature.id: tuple(part.id for part in own) for feature, own in written if len(own) > 1}
        every = tuple(part for _, own in written for part in own)
        return {**given, "features": every, "parts": {**given.get("parts", {}), **parts}}


class JobFile(JobHead):
    """A job as it is written."""

    features: tuple[Feature, ...] = Field(description="a list of features", min_length=1)
