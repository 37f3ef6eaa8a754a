"""The job: what is to be roughed, out of what, on which machine."""

from pydantic import Field, InstanceOf, field_validator

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
    for one slot need not build the models of all seven kinds.
    """

    features: tuple[InstanceOf[FeatureBase], ...] = Field(min_length=1)

    @field_validator("features")
    @classmethod
    def _in_parts(cls, features: tuple[FeatureBase, ...]) -> tuple[FeatureBase, ...]:
        """The features as they are answered: one with stock on walls and floor is two."""
        return tuple(part for feature in features for part in parts_of(feature))


class JobFile(JobHead):
    """A job as it is written."""

    features: tuple[Feature, ...] = Field(description="a list of features", min_length=1)
