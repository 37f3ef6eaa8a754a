"""Cutters of a crib: a row as written, and the complete cutter. Field names are the symbols of ISO 13399."""

from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, ValidationError, WithJsonSchema, model_validator

from advisor.files.checking import faults
from advisor.files.problems import Fault, Misfit, misfit, shown
from advisor.files.unit_scales import in_prose, plain_length
from advisor.knowledge.assumptions import assumed
from advisor.knowledge.conditions import yes
from advisor.mechanics.lengths import exceeds, reaches
from advisor.model.assumed import Assumed
from advisor.model.body import BODIES, BodyKind
from advisor.model.fields import (
    Frozen,
    LengthSchema,
    NumberSchema,
    SignLeftOut,
    Speed,
    Spelt,
    Word,
    YesNo,
    length,
    number,
    one_of,
    whole,
)

Body = Literal[
    "solid_end_mill",
    "inserted_end_mill",
    "inserted_high_feed_mill",
    "inserted_stacked_mill",
    "inserted_face_mill",
    "drill",
]
Substrate = Literal["carbide", "hss", "cermet"]
Coating = Literal[
    "none",
    "polished",
    "tin",
    "ticn",
    "tialn",
    "altin",
    "alcrn",
    "tisin",
    "crn",
    "zrn",
    "tib2",
    "dlc",
    "diamond",
    "other",
]
GROUPS = "PMKNSH"  # of ISO 513, in its order
# Numbers that an answer may turn on.
OF_CUTTER = ("DC", "APMX", "LU", "LPR", "DCONMS", "holder_diameter", "RE", "RMPX", "RPMX", "dead_centre")
LENGTHS = ("APMX", "LU")  # of flutes, and usable: what decides how deep a cutter comes

Diameter = Annotated[float, length("cutting_diameter_most", "cutting_diameter_least"), SignLeftOut, LengthSchema]
Reach = Annotated[float, length("cutter_length_most", "cutter_length_least"), LengthSchema]
Shank = Annotated[float, length("shank_diameter_most", "shank_diameter_least"), SignLeftOut, LengthSchema]
Holder = Annotated[float, length("holder_diameter_most", "shank_diameter_least"), SignLeftOut, LengthSchema]
Small = Annotated[float, length("cutting_diameter_most", above_zero=False), LengthSchema]  # RE, dead centre: may be 0
EdgeAngle = Annotated[float, number("degrees", "edge_angle_most", "edge_angle_least"), NumberSchema]
Helix = Annotated[float, number("degrees", "helix_angle_most", above_zero=False), NumberSchema]
Ramp = Annotated[float, number("degrees", "ramp_angle_most", above_zero=False), NumberSchema]
Point = Annotated[float, number("degrees", "point_angle_most", "point_angle_least"), NumberSchema]
BodyWord = Annotated[Body, one_of("bodies", Body), Spelt("bodies", Body)]
SubstrateWord = Annotated[Substrate, one_of("substrates", Substrate), Spelt("substrates", Substrate)]
CoatingWord = Annotated[Coating, one_of("coatings", Coating), Spelt("coatings", Coating)]
Teeth = Annotated[int, whole("teeth_most")]


def _groups(raw: Any) -> str:
    """The groups of ISO 513 in their order, such as ``P M K``; they may be written with blanks or strokes between."""
    wanted = "groups of ISO 513 among P, M, K, N, S and H, such as 'P M K'"
    letters = str(raw).upper().translate(str.maketrans("", "", " ,;/+")) if isinstance(raw, str) else ""
    if not letters or set(letters) - set(GROUPS):
        raise misfit(wanted, found=shown(raw))
    if len(set(letters)) < len(letters):
        raise misfit(f"{wanted}, each once", found=shown(raw))
    return " ".join(letter for letter in GROUPS if letter in letters)


_GROUPS_SCHEMA = {"type": "string", "pattern": "^[PMKNSHpmknsh](?:[ ,;/+]*[PMKNSHpmknsh]){0,5}$"}
Groups = Annotated[str, BeforeValidator(_groups), WithJsonSchema(_GROUPS_SCHEMA)]


class CutterRow(Frozen):
    """A cutter as a crib writes it. Lengths [mm] once read, angles [degrees], RPMX [1/min]."""

    id: Word = Field(description="a short name of the cutter, once in a crib")
    body: BodyWord = Field(description="what kind of cutter it is")
    DC: Diameter = Field(description="a length: cutting diameter")
    APMX: Reach = Field(description="a length: greatest depth of cut")
    ZEFP: Teeth = Field(description="a whole number: effective teeth; 1 for a drill with inserts")
    LU: Reach | None = Field(default=None, description="usable length")
    LPR: Reach | None = Field(default=None, description="projection from the holder")
    DN: Shank | None = Field(default=None, description="neck diameter")
    DCONMS: Shank | None = Field(default=None, description="shank diameter")
    RE: Small | None = Field(default=None, description="corner radius")
    KAPR: EdgeAngle | None = Field(default=None, description="cutting edge angle, degrees")
    FHA: Helix | None = Field(default=None, description="helix angle, degrees")
    RMPX: Ramp | None = Field(default=None, description="greatest ramp angle, degrees")
    RPMX: Speed | None = Field(default=None, description="greatest speed marked on the cutter, 1/min")
    substrate: SubstrateWord | None = Field(default=None, description="of the edge: carbide, hss or cermet")
    end_cutting: YesNo | None = Field(default=None, description="yes if it cuts to its centre")
    dead_centre: Small | None = Field(default=None, description="diameter at the centre that does not cut")
    holder_diameter: Holder | None = Field(default=None, description="diameter of the holder's nose")
    point_angle: Point | None = Field(default=None, description="point angle of a drill, degrees")
    TMC1ISO: Groups | None = Field(default=None, description="groups of ISO 513 that it is ground for, such as P M K")
    COATING: CoatingWord | None = Field(default=None, description="of the edge")


class Cutter(Frozen):
    """A complete cutter. Lengths [mm], angles [degrees], RPMX [1/min].

    `assumed` tells in words which symbols were not given but worked out. None means: not known, or not of this body.
    """

    id: Word
    body: Body
    DC: Diameter
    APMX: Reach
    LU: Reach
    LPR: Reach
    DN: Shank | None = None
    DCONMS: Shank
    RE: Small
    KAPR: EdgeAngle
    ZEFP: Teeth
    FHA: Helix | None = None
    RMPX: Ramp | None = None
    RPMX: Speed | None = None
    substrate: Substrate
    end_cutting: bool
    dead_centre: Small
    holder_diameter: Holder
    point_angle: Point | None = None
    TMC1ISO: Groups | None = None
    COATING: Coating | None = None
    assumed: tuple[Assumed, ...] = ()

    @property
    def kind(self) -> BodyKind:
        """What its body is like."""
        return BODIES[self.body]

    @property
    def on_arbor(self) -> bool:
        """Whether a body with inserts is mounted on an arbor: its DCONMS is then the bore, too narrow for a shank."""
        return not self.kind.solid and reaches(assumed("cutter", "arbor_bore_share_most") * self.DC, self.DCONMS)

    @property
    def body_diameter(self) -> float:
        """Diameter above the edge, or above the neck, that carries the cutter [mm]: its shank, or a body on an arbor as
        wide as the arbor's face, which is that of the holder.
        """
        return max(self.DCONMS, min(self.DC, self.holder_diameter)) if self.on_arbor else self.DCONMS

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        faults = list(_contradictions(self))
        if faults:
            raise Misfit(*faults)
        return self


def _contradictions(cutter: Cutter) -> Iterator[Fault]:
    """Yield what cannot be true of one cutter. The lengths are those of ISO 13399, from the cutting end."""
    DC, APMX, LU, LPR = cutter.DC, cutter.APMX, cutter.LU, cutter.LPR
    if exceeds(APMX, LU):
        yield Fault(f"at least APMX ({plain_length(APMX)})", plain_length(LU), "LU")
    if exceeds(LU, LPR):
        yield Fault(f"at least the usable length LU ({plain_length(LU)})", plain_length(LPR), "LPR")
    if cutter.DN is not None and exceeds(cutter.DN, DC):
        yield Fault(
            f"at most DC ({plain_length(DC)}): a neck is no wider than the cutter", plain_length(cutter.DN), "DN"
        )
    if exceeds(cutter.RE, DC / 2):
        yield Fault(f"at most half of DC ({plain_length(DC / 2)})", plain_length(cutter.RE), "RE")
    if reaches(cutter.dead_centre, DC):
        yield Fault(f"less than DC ({plain_length(DC)})", plain_length(cutter.dead_centre), "dead_centre")
    if cutter.end_cutting and cutter.dead_centre > 0:
        yield Fault("0 for a cutter that cuts to its centre", plain_length(cutter.dead_centre), "dead_centre")
    if cutter.kind.drill and not cutter.end_cutting:
        yield Fault("yes for a drill", "no", "end_cutting")
    if exceeds(cutter.DCONMS, cutter.holder_diameter):
        wanted = f"at least the shank DCONMS ({plain_length(cutter.DCONMS)})"
        yield Fault(wanted, plain_length(cutter.holder_diameter), "holder_diameter")


def complete_cutter(row: CutterRow) -> Cutter:
    """Return the complete cutter of a row.

    What the row leaves out is worked out with the numbers of `shared/assumptions.yaml`, section `cutter`, and told in
    `assumed`. Raises `Misfit`, a ValueError, if the whole contradicts itself or what is worked out is out of bounds.
    """
    given: dict[str, Any] = {name: getattr(row, name) for name in CutterRow.model_fields}
    if row.DN is not None and row.LU is None:
        raise misfit("LU, the usable length: a neck DN is given", found="nothing", field="LU")
    told: list[Assumed] = []
    reasons: dict[str, str] = {}
    for name, value, why in _left_out(row.body, given):
        given[name], reasons[name] = value, why
        unit = {"KAPR": "degrees", "point_angle": "degrees"}.get(name, "mm")
        told.append(Assumed(name, yes(value) if isinstance(value, bool) else value, unit, why))
    try:
        return Cutter.model_validate(given | {"assumed": tuple(told)})
    except ValidationError as error:
        raise Misfit(*(_traced(place, fault, given, reasons) for place, fault in faults(error, Cutter))) from None


# What a length that is left out is worked out from.
_DRILLS = {"hss": "a high-speed steel drill", "insert": "a drill with inserts", "carbide": "a carbide drill"}
_FROM = {"LU": "APMX", "LPR": "LU", "DCONMS": "DC", "holder_diameter": "DCONMS"}


def _traced(place: tuple[int | str, ...], fault: Fault, given: dict[str, Any], reasons: dict[str, str]) -> Fault:
    """The fault of a complete cutter; that of a value which no cell has is told where there is a cell to change."""
    name = ".".join(map(str, place))
    if name not in reasons:
        return Fault(fault.wanted, fault.found, name, fault.nearest)
    if name not in _FROM:
        return Fault(
            f"{fault.wanted}: give {name} itself", f"{fault.found} ({in_prose(reasons[name])}; not given)", name
        )
    cell = _FROM[name]
    while cell in reasons:
        cell = _FROM[cell]
    taken, why = plain_length(given[name]), in_prose(reasons[name])
    found = f"{plain_length(given[cell])}, from which {name} is worked out as {taken} ({why})"
    return Fault(f"{name} to be {fault.wanted}: change {cell}, or give {name} itself", found, cell)


def make_cutter(**given: Any) -> Cutter:
    """Return a complete cutter from the fields of a crib, lengths in mm. Raises ValueError."""
    return complete_cutter(CutterRow.model_validate(given))


WorkedOut = Iterator[tuple[str, Any, str]]


def _left_out(body: str, given: dict[str, Any]) -> WorkedOut:
    """Yield symbol, value and reason for all that is left out; each must be put into ``given`` before the next."""
    yield from _work_out_edge(body, given)
    yield from _work_out_lengths(given)
    yield from _work_out_end(body, given)


def _work_out_edge(body: str, given: dict[str, Any]) -> WorkedOut:
    """Yield symbol, value and reason for what the edge of the cutter leaves out."""
    if given["substrate"] is None:
        yield "substrate", "carbide", "not given"
    if BODIES[body].drill and given["point_angle"] is None:
        kind = "hss" if given["substrate"] == "hss" else "insert" if given["ZEFP"] == 1 else "carbide"
        yield "point_angle", assumed("cutter", f"point_angle_{kind}_drill"), f"usual for {_DRILLS[kind]}"
    if given["KAPR"] is None:
        if BODIES[body].drill:
            yield "KAPR", given["point_angle"] / 2, "half the point angle"
        else:
            yield "KAPR", assumed("cutter", f"edge_angle_{body}"), "usual for this body"
    if given["RE"] is None:
        yield "RE", assumed("cutter", f"corner_radius_{BODIES[body].radius}"), "usual for this body"


def _work_out_lengths(given: dict[str, Any]) -> WorkedOut:
    """Yield symbol, value and reason for the lengths and the clamping that are left out."""
    DC = given["DC"]
    if given["LU"] is None:
        times = assumed("cutter", "usable_length_per_cutting_length")
        multiple = "APMX" if times == 1 else f"{times:g} APMX"
        yield "LU", times * given["APMX"], f"{multiple}, no reduced neck given"
    if given["LPR"] is None:
        share = assumed("cutter", "projection_beyond_usable_length")
        yield "LPR", given["LU"] + share * DC, f"LU + {share:g} DC, clamped as short as it can be"
    if given["DCONMS"] is None:
        times, nose = assumed("cutter", "shank_diameter_per_cutting_diameter"), given["holder_diameter"]
        if nose is not None and exceeds(times * DC, nose):
            yield "DCONMS", nose, "as wide as the holder"
        else:
            yield "DCONMS", times * DC, "as wide as DC" if times == 1 else f"{times:g} DC"
    if given["holder_diameter"] is None:
        beyond = assumed("cutter", "holder_diameter_beyond_shank")
        yield "holder_diameter", given["DCONMS"] + beyond, f"DCONMS + {{{beyond:g} mm}}"


def _work_out_end(body: str, given: dict[str, Any]) -> WorkedOut:
    """Yield symbol, value and reason for what the end of the cutter leaves out."""
    if given["end_cutting"] is None:
        # A dead centre that was given answers the question; else it goes by the body.
        cuts = BODIES[body].cuts_its_middle and not given["dead_centre"]
        yield "end_cutting", cuts, "by its dead centre" if given["dead_centre"] else "usual for this body"
    if given["dead_centre"] is None:
        if given["end_cutting"]:
            yield "dead_centre", 0.0, "it cuts to its centre"
        elif BODIES[body].cuts_its_middle:
            raise misfit(
                "the diameter that does not cut: it is no end-cutting cutter", found="nothing", field="dead_centre"
            )
        else:
            share = assumed("cutter", f"dead_centre_{body}")
            yield "dead_centre", share * given["DC"], f"{share:g} DC, usual for this body"
