"""Materials and cutting classes: the tables `materials.yaml` and `cutting_data.yaml`."""

from typing import Literal

from pydantic import Field

from advisor.model.fields import Frozen

Group = Literal["N", "P", "M", "K", "S", "H"]
Range = tuple[float, float]


class Material(Frozen):
    """A material. Specific force k_c11 [N/mm²], cutting speeds [m/min], h_share [share of DC], h_insert [mm].

    ``steel`` names the row whose name and aliases this one shares in another state; ``states`` are those it serves,
    the first as delivered; ``any_steel`` serves any steel of its hardness. ``softest`` and ``hardest`` are in HB.
    """

    name: str
    aliases: tuple[str, ...] = ()
    group: Group
    cutting_class: str
    hardness: str
    steel: str | None = None
    states: tuple[str, ...] = ()
    any_steel: bool = False
    softest: float = 0.0
    hardest: float = 0.0
    k_c11: float = Field(gt=0)
    m_c: float = Field(ge=0, lt=1)
    v_c_solid: float = Field(gt=0)
    v_c_inserted: float | None = Field(default=None, gt=0)
    h_share: float = Field(gt=0)
    h_insert: float | None = Field(default=None, gt=0)
    burns: bool = False
    work_hardens: bool = False
    builds_up_edge: bool = False
    abrasive: bool = False
    hard_skin: bool = False
    age_hardened: bool = False
    pre_hardened: bool = False
    source: str

    @property
    def family(self) -> str:
        """The name that this material shares with its rows in other states."""
        return self.steel or self.name


class GroupTraits(Frozen):
    """What depends on the group of ISO 513 alone: ``by_hardness``, whether a hardness says which row of the table is
    meant; ``hardened``, whether such a row is of hardened steel; ``hard_too``, whether what is no steel can be as hard;
    ``edge_alone``, the fact that tells of a cutter that it is ground for this group alone.
    """

    by_hardness: bool = False
    hardened: bool = False
    hard_too: bool = False
    edge_alone: str | None = None


class CuttingClass(Frozen):
    """What materials of one class have in common: a (low, high) pair a column, in the units of `cutting_data.yaml`.

    Shares are of DC; ramp_angle [degrees], cutting speeds [m/min], h_insert [mm]; drill_speed [m/min] and
    drill_feed [mm] of a drill 10 mm wide, first of high-speed steel, then of carbide; modulus, one value [N/mm²].
    A class that is ``cut_dry`` is cut without any coolant or air, since its chips burn.
    ``insert_depth`` is the share of an insert's usual depth that is cut; cutters ``ground_for`` these groups fit too.
    """

    key: str
    group: Group
    title: str
    modulus: float
    radial_share: Range
    layer_depth_share: Range
    full_width_depth_share: Range
    ramp_angle: Range
    v_c_solid: Range
    h_share: Range
    v_c_inserted: Range | None = None
    h_insert: Range | None = None
    drill_speed: Range
    drill_feed: Range
    cut_dry: bool = False
    insert_depth: float = Field(default=1.0, gt=0, le=1)
    ground_for: tuple[Group, ...] = ()
