"""A way out where there is none, and a cutter the crib lacks where one would help. All that is named was re-run."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from math import ceil
from typing import Any as Anything
from typing import NamedTuple

from advisor.inputs.cutter import Cutter, make_cutter
from advisor.inputs.features import FeatureBase
from advisor.inputs.yaml_reader import read_yaml
from advisor.paths import shared_dir
from advisor.reasoning.advice import FeatureAdvice, advise_feature
from advisor.reasoning.bench import Bench
from advisor.reasoning.candidates import GRADES, Candidate
from advisor.reasoning.inputs_of import changed_feature
from advisor.reasoning.ways import ways
from advisor.rulebase.wording import quantity

HALVINGS = 14


class WayOut(NamedTuple):
    """A change to crib or feature that opens or betters a way: in words, and the answer it gives."""

    text: str
    method: str
    cutter: str
    entry: str | None
    grade: str


@cache
def sizes() -> dict[str, Anything]:
    """The table of sizes that a shop could buy."""
    table: dict[str, Anything] = read_yaml(shared_dir() / "standard_sizes.yaml").value
    return table


def ways_out(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[WayOut, ...]:
    """For a feature that no candidate may cut: the best cutter to buy, and the nearest change of the feature."""
    found = []
    bought = best_bought(feature, crib, bench)
    if bought is not None:
        cutter, answer = bought
        found.append(_way_out(f"With {described(cutter)}", answer, bench))
    found.extend(_changed(feature, crib, bench))
    return tuple(found)


def lacking(answer: FeatureAdvice, feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[WayOut, ...]:
    """For an answer that is not good, the cutter that would better it; for a long helix, the drill that would shorten
    it.
    """
    best = answer.best
    if best is None:
        return ()
    if best.grade != "good":
        bought = best_bought(feature, crib, bench)
        if bought is None or bought[1].best is None or GRADES.index(bought[1].grade) >= GRADES.index(best.grade):
            return ()
        return (_way_out(f"With {described(bought[0])}", bought[1], bench, best),)
    if best.entry == "helical_ramp" and best.method != "helical_boring":
        return tuple(_drill(answer, feature, best, bench))
    return ()


def _drill(answer: FeatureAdvice, feature: FeatureBase, best: Candidate, bench: Bench) -> Iterator[WayOut]:
    drill = suiting_drill(best.cutter, feature, bench)
    if drill is None:
        return
    again = advise_feature(feature, [best.cutter, drill], bench)
    if (
        again.best is not None
        and again.best.grade == best.grade
        and again.best.time <= (1 - sizes()["saving"]) * best.time
    ):
        yield _way_out(f"With {described(drill)}", again, bench, best)


def best_bought(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> tuple[Cutter, FeatureAdvice] | None:
    """The cutter of the standard sizes that gives the best answer for a feature, beside the drills of the crib."""
    drills = [cutter for cutter in crib if cutter.body == "drill"]
    tried = []
    for cutter in on_offer(feature, bench):
        answer = advise_feature(feature, [cutter, *drills], bench)
        if answer.best is not None and answer.best.cutter.id == cutter.id:
            tried.append((answer.best.rank(), cutter, answer))
    if not tried:
        return None
    _, cutter, answer = min(tried, key=lambda item: item[0])
    return cutter, answer


def on_offer(feature: FeatureBase, bench: Bench) -> Iterator[Cutter]:
    """Cutters of standard sizes, long enough for the feature."""
    table, group = sizes(), bench.material.group
    deep = feature.depth + feature.top + bench.limits["overcut_least"] + table["spare_length"]
    reach = ceil(deep / table["length_step"]) * table["length_step"]
    solid = table["solid_end_mill"]
    for DC in solid["diameters"]:
        for flutes in solid["flutes"]:
            edge = min(reach, flutes * DC)
            yield make_cutter(
                id=f"solid-{DC}-{edge:g}",
                body="solid_end_mill",
                DC=DC,
                APMX=edge,
                LU=max(reach, edge),
                LPR=_projection(reach, DC),
                DCONMS=DC,
                DN=solid["neck_share"] * DC if edge < reach else None,
                RE=solid["corner_radius_share"] * DC,
                KAPR=solid["edge_angle"],
                FHA=solid["helix"],
                ZEFP=solid["teeth"][group],
                RMPX=solid["ramp_angle"],
                substrate="carbide",
                end_cutting=True,
            )
    inserted = table["inserted_end_mill"]
    for DC in inserted["diameters"]:
        yield make_cutter(
            id=f"inserted-{DC}",
            body="inserted_end_mill",
            DC=DC,
            APMX=inserted["edge"],
            LU=max(reach, inserted["edge"]),
            LPR=_projection(reach, DC),
            DCONMS=DC,
            KAPR=inserted["edge_angle"],
            ZEFP=inserted["teeth"][str(DC)],
            RMPX=inserted["ramp_angle"],
            RPMX=inserted["marked_speed"],
            dead_centre=inserted["dead_centre_share"] * DC,
            substrate="carbide",
            end_cutting=False,
        )
    diameter = getattr(feature, "diameter", None)
    if diameter:
        step = table["drill"]["step"]
        width = int((diameter - 2 * bench.limits["allowance_wide"]) / step) * step
        drill = drill_of(width, deep + width) if width > 0 else None
        if drill is not None:
            yield drill


def suiting_drill(cutter: Cutter, feature: FeatureBase, bench: Bench) -> Cutter | None:
    """The narrowest drill on offer whose hole suits a cutter, long enough for the feature; nothing if there is none."""
    limits, step = bench.limits, sizes()["drill"]["step"]
    diameter = ceil(limits["hole_ratio_least"] * cutter.DC / step) * step
    if diameter > limits["hole_ratio_most"] * cutter.DC:
        return None
    return drill_of(diameter, feature.depth + feature.top + diameter)


def drill_of(diameter: float, reach: float) -> Cutter | None:
    """A carbide drill of a diameter, long enough to reach; nothing where no such drill is on offer."""
    table = sizes()
    length = ceil(reach / table["length_step"]) * table["length_step"]
    if length > table["drill"]["flutes"] * diameter:
        return None
    return make_cutter(
        id=f"drill-{diameter:g}",
        body="drill",
        DC=diameter,
        APMX=length,
        LU=length,
        LPR=_projection(length, diameter),
        ZEFP=table["drill"]["teeth"],
        substrate="carbide",
    )


def _projection(reach: float, DC: float) -> float:
    table = sizes()
    return float(reach + table["projection_beyond"] + table["projection_share"] * DC)


def described(cutter: Cutter) -> str:
    """A cutter to buy, in words."""
    if cutter.body == "drill":
        return f"a {quantity(cutter.DC, 'mm')} carbide drill, usable {quantity(cutter.LU, 'mm')} deep"
    if cutter.body == "inserted_end_mill":
        return f"a {quantity(cutter.DC, 'mm')} inserted end mill, usable {quantity(cutter.LU, 'mm')} deep"
    flute = f"{quantity(cutter.APMX, 'mm')} of flute"
    neck = f" and a neck usable {quantity(cutter.LU, 'mm')} deep" if cutter.LU > cutter.APMX else ""
    return f"a {quantity(cutter.DC, 'mm')} solid carbide end mill with {cutter.ZEFP} teeth, {flute}{neck}"


def _way_out(change: str, answer: FeatureAdvice, bench: Bench, before: Candidate | None = None) -> WayOut:
    best = answer.best
    if best is None:
        raise AssertionError("a way out that gives no way")
    beside = f" instead of {quantity(before.time, 's')}" if before else ""
    text = f"{change}: {ways()[best.method].title}, {best.grade}, {quantity(best.time, 's')}{beside}."
    return WayOut(text, best.method, best.cutter.id, best.entry, best.grade)


def _changed(feature: FeatureBase, crib: Sequence[Cutter], bench: Bench) -> Iterator[WayOut]:
    """The nearest smaller depth and the nearest greater width at which the crib has a way."""

    def at(name: str, value: float) -> FeatureAdvice | None:
        changed = changed_feature(feature, name, value)
        answer = advise_feature(changed, crib, bench) if changed is not None else None
        return answer if answer is not None and answer.best is not None else None

    shallow = _nearest(lambda depth: at("depth", depth), feature.depth, feature.depth / 50, "down")
    if shallow is not None:
        yield _way_out(f"No deeper than {quantity(shallow[0], 'mm')}", shallow[1], bench)
    name = "diameter" if hasattr(feature, "diameter") else "width"
    now = float(getattr(feature, name))
    most = 10 * now if name == "diameter" else min(10 * now, float(getattr(feature, "length", now)))
    wide = _nearest(lambda width: at(name, width), now, most, "up")
    if wide is not None:
        yield _way_out(f"{name.capitalize()} {quantity(wide[0], 'mm')} or more", wide[1], bench)


def _nearest(
    at: Callable[[float], FeatureAdvice | None], now: float, far: float, towards: str
) -> tuple[float, FeatureAdvice] | None:
    """The value nearest to ``now`` at which there is an answer, on the way to ``far``, to a tenth of a millimetre."""
    answer = at(_tenth(far, towards))
    if answer is None:
        return None
    near = now
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        found = at(_tenth(middle, towards))
        near, far = (near, middle) if found else (middle, far)
    value = _tenth(far, towards)
    final = at(value)
    return (value, final) if final is not None else None


def _tenth(value: float, towards: str) -> float:
    return round((int(value * 10) if towards == "down" else ceil(value * 10 - 1e-9)) / 10, 1)
