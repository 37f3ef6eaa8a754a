"""Jobs and their parts drawn by hypothesis, each a strategy; the sizes are those of ordinary work."""

import random
from typing import Any, NamedTuple

from hypothesis import strategies as st

from advisor.model.cutter import Cutter, make_cutter
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.paths import cases_dir, shared_dir
from advisor.readers.assignment import read_assignment
from advisor.readers.materials import load_materials
from advisor.readers.shop import read_shop
from advisor.situation.bench import Bench, bench_of, inference_of

half_millimetres = st.integers(12, 240).map(lambda half: half / 2)


@st.composite
def features(draw: st.DrawFn) -> FeatureBase:
    """Draw a feature of any kind, with what may be given or left out."""
    kind = draw(st.sampled_from(sorted(FEATURE_KINDS)))
    depth, width = draw(_length(15, 800)), draw(_length(60, 1200))
    given: dict[str, Any] = {"id": "X", "kind": kind, "depth": depth, "top": draw(st.sampled_from([0, 0, 0, 5]))}
    if kind == "round_hole":
        given["diameter"] = width
    else:
        given |= {"width": width, "length": max(width, draw(_length(100, 3000)))}
    if kind in ("closed_pocket", "open_pocket", "slot", "round_hole"):
        given["floor"] = draw(st.booleans())
        if not given["floor"] and draw(st.booleans()):
            given["clearance_below"] = draw(st.sampled_from([1, 2, 5]))
    if kind == "slot":
        given["open_ends"] = draw(st.sampled_from([0, 1, 2]))
    if kind in ("closed_pocket", "open_pocket") and draw(st.booleans()):
        given["corner_radius"] = round(draw(st.floats(0.15, 0.48)) * width, 1)
    if kind == "closed_pocket" and width > 40 and draw(st.booleans()):
        given["island"] = round(width / 3, 1)
    if kind == "outside_profile" and draw(st.booleans()):
        given["stock_side"] = draw(st.sampled_from([1, 3, 8]))
    if draw(st.booleans()):
        given["allowance_side"] = draw(st.sampled_from([0, 0.1, 0.3, 1]))
    given |= draw(_alike_and_cast(kind, given))
    try:
        return FEATURE_KINDS[kind].model_validate(given, context={"units": "mm"})
    except ValueError:
        return FEATURE_KINDS["step"].model_validate(
            {"id": "X", "kind": "step", "length": 90, "width": 20, "depth": depth}
        )


@st.composite
def _alike_and_cast(draw: st.DrawFn, kind: str, given: dict[str, Any]) -> dict[str, Any]:
    """Draw, of some features, how many there are, and the stock that a casting has on the walls and the floor."""
    found: dict[str, Any] = {"count": draw(st.sampled_from([2, 6]))} if draw(st.integers(0, 4)) == 0 else {}
    if draw(st.integers(0, 4)) == 0 and kind not in ("planar_face", "outside_profile"):
        found["stock_wall"] = draw(st.sampled_from([0, 1.5, 3, 6]))
        if given.get("floor", True):
            found["stock_floor"] = 0 if found["stock_wall"] else 1.5  # both are two features
    return found


def _length(least: int, most: int) -> st.SearchStrategy[float]:
    return st.integers(least, most).map(lambda tenths: tenths / 10)


EVERYDAY_SIZES = {
    "slot": {"floor": True, "open_ends": 1},
    "closed_pocket": {"floor": True, "corner_radius": 4},
    "open_pocket": {"floor": True, "open_sides": 2},
    "step": {},
    "outside_profile": {"stock_side": 4, "clearance_below": 6},
    "planar_face": {},
}


@st.composite
def everyday_features(draw: st.DrawFn) -> FeatureBase:
    """Draw a feature of an everyday size that the demo shop may rough, to a tenth of a millimetre."""
    kind = draw(st.sampled_from(sorted(EVERYDAY_SIZES)))
    width = draw(st.floats(9, 60).map(lambda value: round(value, 1)))
    length = width + draw(st.floats(20, 120).map(lambda value: round(value, 1)))
    depth = draw(st.floats(2, 30).map(lambda value: round(value, 1)))
    sizes = {"id": "F", "width": width, "length": length, "depth": depth, **EVERYDAY_SIZES[kind]}
    return FEATURE_KINDS[kind].model_validate(sizes)


@st.composite
def written_features(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a feature as it is written, without its name; in mm to half a millimetre."""
    kind = draw(
        st.sampled_from(
            ["closed_pocket", "open_pocket", "slot", "step", "outside_profile", "round_hole", "planar_face"]
        )
    )
    width, depth = draw(half_millimetres), draw(st.integers(4, 120).map(lambda half: half / 2))
    length = width + draw(half_millimetres)
    oblong = {"kind": kind, "length": length, "width": width, "depth": depth}
    match kind:
        case "round_hole":
            return {"kind": kind, "diameter": width, "depth": depth, "floor": draw(st.booleans())}
        case "slot":
            return oblong | {"floor": True, "open_ends": draw(st.sampled_from([0, 1, 2]))}
        case "closed_pocket" | "open_pocket":
            corner = draw(st.sampled_from([None, 2.0, 5.0, 8.0]))
            fits = {} if corner is None or corner > width / 2 else {"corner_radius": corner}
            return oblong | {"floor": True} | fits
        case "outside_profile":
            return oblong | {
                "stock_side": draw(st.sampled_from([2.0, 5.0, 12.0])),
                "clearance_below": draw(st.sampled_from([0.0, 5.0])),
            }
        case _:
            return oblong


end_mills = st.builds(
    lambda DC, APMX, more, out, shank, holder: make_cutter(
        id="E1",
        body="solid_end_mill",
        DC=DC,
        APMX=APMX,
        ZEFP=3,
        LU=APMX + more,
        LPR=APMX + more + out,
        DCONMS=shank * DC,
        holder_diameter=max(holder * DC, shank * DC),
    ),
    st.floats(3, 40),
    st.floats(2, 60),
    st.floats(0, 40),
    st.floats(0.5, 30),
    st.sampled_from([0.8, 1.0, 1.3]),
    st.floats(0.7, 3),
)


ASSIGNMENT = read_assignment(cases_dir() / "winch-side-plate" / "job.yaml")
WORN = cases_dir() / "rack-slot-worn-axes" / "house"
FEATURES: tuple[dict[str, Any], ...] = (
    {"kind": "planar_face", "length": 240, "width": 160, "depth": 2},
    {"kind": "closed_pocket", "length": 90, "width": 55, "depth": 28, "corner_radius": 8, "floor": True},
    {"kind": "closed_pocket", "length": 60, "width": 24, "depth": 12, "floor": True, "thinnest_wall": 2},
    {
        "kind": "closed_pocket",
        "length": 90,
        "width": 60,
        "depth": 28,
        "floor": True,
        "thinnest_wall": 1.2,
        "floor_thickness": 2,
    },
    {"kind": "closed_pocket", "length": 120, "width": 110, "depth": 16, "floor": True, "island": 30},
    {"kind": "open_pocket", "length": 120, "width": 70, "depth": 22, "floor": True},
    {"kind": "open_pocket", "length": 50, "width": 30, "depth": 6, "floor": False, "corner_radius": 4},
    {"kind": "slot", "length": 60, "width": 14.5, "depth": 12, "floor": True, "open_ends": 0},
    {"kind": "slot", "length": 140, "width": 26, "depth": 20, "floor": False, "open_ends": 2, "clearance_below": 3},
    {"kind": "slot", "length": 70, "width": 11.8, "depth": 14, "floor": True, "open_ends": 1},
    {"kind": "step", "length": 150, "width": 30, "depth": 18},
    {"kind": "step", "length": 80, "width": 12, "depth": 55},
    {"kind": "outside_profile", "length": 240, "width": 120, "depth": 38, "stock_side": 4, "clearance_below": 5},
    {"kind": "outside_profile", "length": 90, "width": 60, "depth": 20},
    {"kind": "round_hole", "diameter": 30, "depth": 20, "floor": False, "clearance_below": 5},
    {"kind": "round_hole", "diameter": 12.2, "depth": 30, "floor": True, "flat_floor": False},
    {"kind": "round_hole", "diameter": 60, "depth": 25, "floor": True, "flat_floor": True},
)
MATERIALS = tuple(material.name for material in load_materials())
SHOP = read_shop(shared_dir() / "shop.yaml", [])
assert SHOP is not None
MACHINES = SHOP.machines
MORE: dict[str, dict[str, Any]] = {
    "plain": {},
    "own allowances": {"allowance_side": 0.8, "allowance_bottom": 0.2},
    "deep down": {"top": 15},
}
LENGTHS = ("DC", "APMX", "LU", "LPR", "DN", "DCONMS", "RE", "dead_centre")


def feature(given: dict[str, Any], times: float, more: dict[str, Any]) -> FeatureBase:
    """Return a feature with its lengths scaled."""
    lengths = {
        name: value * times
        if isinstance(value, int | float) and not isinstance(value, bool) and name != "open_ends"
        else value
        for name, value in given.items()
    }
    return FEATURE_KINDS[given["kind"]].model_validate(lengths | {"id": "F"} | more)


def crib(size: int, source: random.Random) -> list[Cutter]:
    """Return cutters like those of the demo crib, each a little wider or narrower, longer or shorter."""
    found = []
    for number in range(size):
        cutter = source.choice(ASSIGNMENT.crib)
        times, longer = source.uniform(0.85, 1.15), source.choice((1.0, 1.0, 1.4, 0.8))
        changed = {name: value * times for name in LENGTHS if (value := getattr(cutter, name)) is not None}
        reach = max(cutter.APMX * times, cutter.LU * times * longer)
        changed |= {"id": f"{cutter.id}-{number}", "LU": reach, "LPR": reach + (cutter.LPR - cutter.LU) * times}
        found.append(cutter.model_copy(update=changed))
    return found


class Question(NamedTuple):
    """What a feature, a crib and a bench are made from: short, so that a failure can be read."""

    kind: int
    times: float
    more: str
    cutters: int
    seed: int
    material: str
    machine: int
    house: bool

    def made(self) -> tuple[FeatureBase, list[Cutter], Bench]:
        """Return the feature, the crib and the bench."""
        changed = {"material": load_materials()[self.material], "machine": MACHINES[self.machine]}
        inference = inference_of(WORN if self.house else None)
        bench = bench_of(ASSIGNMENT.model_copy(update=changed), inference)
        one = feature(FEATURES[self.kind], self.times, MORE[self.more])
        return one, crib(self.cutters, random.Random(self.seed)), bench


def questions(most: int) -> st.SearchStrategy[Question]:
    """Any feature, material and machine, with and without a shop's own rules; a crib of up to so many cutters."""
    return st.builds(
        Question,
        st.integers(0, len(FEATURES) - 1),
        st.floats(0.4, 2.5),
        st.sampled_from(sorted(MORE)),
        st.integers(1, most),
        st.integers(0, 10**6),
        st.sampled_from(MATERIALS),
        st.integers(0, len(MACHINES) - 1),
        st.booleans(),
    )
