"""Job, shop, crib and house files that are nearly right: sizes from all over the range, then slips.

``folder`` makes the files of one folder from a source of chance, so that a seed makes the same folder again;
``folders`` is the same for hypothesis, which also makes what fails smaller.
"""

import csv
import io
from math import exp, log
from random import Random
from typing import TYPE_CHECKING, Any

import yaml

from advisor.knowledge.shipped import rule_base
from advisor.model.cutter import CutterRow
from advisor.model.features import FEATURE_KINDS
from advisor.model.operations import OperationRow
from advisor.readers.materials import load_materials
from tests.fuzz.slips import RAW, encoded, slip_in_table, slip_in_text, slip_in_value

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

Files = dict[str, bytes]
KINDS = {"job": "job.yaml", "shop": "shop.yaml", "crib": "crib.csv", "house": "house/house.yaml", "plan": "plan.yaml"}
HEADS = tuple(CutterRow.model_fields)
BODIES = ("solid_end_mill", "inserted_end_mill", "inserted_high_feed_mill", "inserted_stacked_mill",
          "inserted_face_mill", "drill")  # fmt: skip
METHODS = ("engagement_limited_clearing", "layered_pocketing", "ramped_slotting", "plunge_roughing", "face_milling",
           "helical_boring", "drilling")  # fmt: skip
ENTRIES = ("side_entry", "helical_ramp", "zigzag_ramp", "predrilled_hole", "axial_plunge")
PURPOSES = ("clearance", "thread", "ream", "bore", "mill")
COOLANTS = ("flood", "mist", "air", "through")
FACTS = tuple(rule_base().measures)
LIMITS = tuple(rule_base().thresholds.values())
RULES = tuple(rule_base().by_id)
OPERATION = tuple(OperationRow.model_fields)
PLAIN = ("ramp_angle", "spindle_speed")
STAGES = ("appraisal", "settings", "clearing", "cutter", "entry", "caution")
MATERIALS = tuple(material.name for material in load_materials().all)
DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def folders(kind: str) -> "SearchStrategy[Files]":
    """Folders of a job, a shop, a crib and perhaps house rules, with slips in the file of a kind."""
    from hypothesis import strategies as st  # only here: a portion of thousands starts without it

    return st.builds(folder, st.randoms(use_true_random=False), st.just(kind))


def folder(chance: Random, kind: str) -> Files:
    """The files of a folder by name; the one of a kind has up to three slips."""
    slips = chance.choice((0, 1, 1, 1, 2, 3))
    shop = _shop(chance)
    files: Files = {"job.yaml": _yaml(chance, _job(chance), slips if kind == "job" else 0)}
    if kind == "house":
        shop["house"] = "house"
        files[KINDS["house"]] = _yaml(chance, _house(chance), slips)
    files["shop.yaml"] = _yaml(chance, shop, slips if kind == "shop" else 0)
    rows = [_cutter(chance, number) for number in range(chance.randint(1, 3))]
    files["crib.csv"] = _csv(chance, HEADS, rows, slips if kind == "crib" else 0)
    if kind == "plan":
        operations = [_operation(chance) for _ in range(chance.randint(1, 3))]
        if chance.random() < 0.5:
            files["plan.yaml"] = _yaml(chance, {"programmer": "AB", "operations": operations}, slips)
        else:
            files["plan.csv"] = _csv(chance, OPERATION, operations, slips)
    return files


def _number(chance: Random, least: float, most: float) -> float:
    """A number, evenly spread over the orders of magnitude, sometimes at the very ends."""
    if chance.random() < 0.1:
        return chance.choice((least, most))
    return float(f"{exp(chance.uniform(log(least), log(most))):.4g}")


def _rate(chance: Random, least: float, most: float) -> float:
    """A speed or feed; with three places a thousand may be meant, which is asked about."""
    return max(least, round(_number(chance, least, most), 2))


def _some(chance: Random, known: Any, most: int) -> list[Any]:
    known = sorted(known)
    return chance.sample(known, min(len(known), chance.randint(0, most)))


def _feature(chance: Random, number: int, inch: bool) -> dict[str, Any]:
    kind = chance.choice(tuple(FEATURE_KINDS))
    wide = chance.random() < 0.4
    sizes = sorted(_number(chance, *((0.011, 20000) if wide else (3, 300))) for _ in range(2))
    found: dict[str, Any] = {"id": f"F{number}", "kind": kind}
    found["depth"] = _number(chance, *((0.011, 2000) if wide else (1, 80)))
    found |= {"diameter": sizes[0]} if kind == "round_hole" else {"length": sizes[1], "width": sizes[0]}
    if kind in ("closed_pocket", "open_pocket", "slot", "round_hole"):
        found["floor"] = chance.random() < 0.7
    if kind == "slot":
        found["open_ends"] = chance.randint(0, 2)
    unfit = {"open_sides", "open_at", "count", "stock_wall", "stock_floor"} | (
        {"clearance_below"} if found.get("floor") else {"floor_thickness", "flat_floor"}
    )
    for name in _some(chance, set(FEATURE_KINDS[kind].model_fields) - set(found) - unfit, 3):
        small = name in ("corner_radius", "allowance_side", "allowance_bottom", "top", "floor_thickness", "island")
        thick = name in ("thinnest_wall", "floor_thickness", "island", "tallest_wall", "stock_side")
        words = {"flat_floor": True, "purpose": chance.choice(PURPOSES)}
        found[name] = words.get(name, _number(chance, 0.3 if thick else 0.001, 2 if small else 200))
    found |= _cast(chance, found) if chance.random() < 0.3 else {}
    lengths = (name for name, value in found.items() if type(value) is float or type(value) is int)
    for name in [name for name in lengths if inch and name != "open_ends"]:
        found[name] = float(f"{found[name] / 25.5:.6g}")
    if chance.random() < 0.2:
        found["count"] = chance.choice((1, 2, 6, 500))
    return found


def _cast(chance: Random, feature: dict[str, Any]) -> dict[str, float]:
    """What a casting has on the walls and, where there is a floor, on that; of a face its depth is the stock."""
    if feature["kind"] == "planar_face":
        return {}
    half = feature.get("diameter", feature.get("width")) / 2
    found = {"stock_wall": chance.choice((0.0, half, *(_number(chance, half / 50, half) for _ in range(4))))}
    if feature.get("floor", feature["kind"] == "step"):
        deep = feature["depth"]
        found["stock_floor"] = chance.choice((0.0, deep, *(_number(chance, deep / 50, deep) for _ in range(4))))
    return found


def _job(chance: Random) -> dict[str, Any]:
    units = chance.choice(("mm", "mm", "inch"))
    return {
        "part": "Fuzzed part",
        "units": units,
        "material": chance.choice(MATERIALS),
        "machine": "m1",
        "shop": "shop.yaml",
        "features": [_feature(chance, number, units == "inch") for number in range(chance.choice((1, 1, 2)))],
    }


def _shop(chance: Random) -> dict[str, Any]:
    wide = chance.random() < 0.4
    many = range(chance.randint(1, 4))
    speeds = sorted({_rate(chance, *((1, 200000) if wide else (500, 30000))) for _ in many})
    machine = {
        "name": "m1",
        "spindle": {"speed": speeds, "power": [_number(chance, *((0.001, 500) if wide else (1, 40))) for _ in speeds]},
        "feed_max": _rate(chance, *((0.1, 200000) if wide else (1000, 40000))),
        "rapid": _rate(chance, *((0.1, 200000) if wide else (1000, 60000))),
        "axis_acceleration": _number(chance, *((0.001, 50) if wide else (0.5, 10))),
        "tool_change": chance.choice((0, 1e-9, 3, 60, 3600)),
        "coolant": _some(chance, COOLANTS, 2) or ["none"],
    }
    if chance.random() < 0.5:
        machine["stiffness"] = _number(chance, 0.01, 1000)
    return {"machines": [machine], "crib": "crib.csv"}


def _cutter(chance: Random, number: int) -> dict[str, str]:
    wide = chance.random() < 0.4
    diameter = _number(chance, *((0.1, 250) if wide else (2, 40)))
    deep = _number(chance, *((0.011, 240) if wide else (2, 80)))
    found: dict[str, Any] = {"id": f"C{number}", "body": chance.choice(BODIES), "DC": diameter, "APMX": deep}
    found["ZEFP"] = chance.randint(1, 60 if wide else 6)
    if chance.random() < 0.5:
        found["LU"] = float(f"{deep * chance.uniform(1.01, 4):.4g}")
    options: dict[str, Any] = {
        "RE": (0.001, diameter / 2), "KAPR": (5, 95), "FHA": (0.1, 70), "RMPX": (0.01, 90), "RPMX": (1, 200000),
        "point_angle": (60, 180), "holder_diameter": (diameter, 300), "DCONMS": (0.1, diameter),
    }  # fmt: skip
    for name in _some(chance, options, 4):
        found[name] = (_rate if name == "RPMX" else _number)(chance, *options[name])
    if chance.random() < 0.5:
        found["substrate"] = chance.choice(("carbide", "hss", "cermet"))
    return {name: str(value) for name, value in found.items()}


def _operation(chance: Random) -> dict[str, Any]:
    found: dict[str, Any] = {"feature": "F0" if chance.random() < 0.95 else "F1", "cutter": "C0"}
    options: dict[str, Any] = {
        "method": METHODS, "entry": ENTRIES, "coolant": COOLANTS, "tabs": ("yes", "no"),
    }  # fmt: skip
    sizes = {
        "axial_depth": 200, "radial_width": 250, "allowance_side": 5, "allowance_bottom": 5, "overcut": 5,
        "ramp_angle": 90, "feed_per_tooth": 5, "feed_rate": 200000, "spindle_speed": 100000,
    }  # fmt: skip
    for name in _some(chance, options, 3):
        found[name] = chance.choice(options[name])
    for name in _some(chance, sizes, 5):
        number = _rate if name in ("feed_rate", "spindle_speed") else _number
        found[name] = number(chance, 0.01, sizes[name] / (25.5 if name not in PLAIN else 1))
    if chance.random() < 0.2 and "axial_depth" not in found:
        found["levels"] = chance.choice((1, 2, 3, 500))
    return found


def _house(chance: Random) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if chance.random() < 0.6:
        times = (1, 1, 0.9, 0.5, 2, 0.001, 1000, 1e12)
        moved = chance.sample(LIMITS, chance.randint(1, 3))
        found["thresholds"] = {
            one.name: {"value": one.value * chance.choice(times), "reason": "ours"} for one in moved
        }  # fmt: skip
    if chance.random() < 0.4:
        found["off"] = [{"id": name, "reason": "not here"} for name in _some(chance, RULES, 2)]
    if not found or chance.random() < 0.5:
        found["add"] = [_rule(chance, number) for number in range(chance.randint(1, 2))]
    if chance.random() < 0.5:
        found["prefer"] = [_preference(chance, number) for number in range(chance.randint(1, 2))]
    return found


def _preference(chance: Random, number: int) -> dict[str, Any]:
    """What a shop prefers: cutters by their ids, methods, or what a number is."""
    names = chance.choice(("E1", ["E1", "T2"], [12, "E 1/2"], "Ø8"))
    about = chance.choice(({"cutter_id": names}, {"method": "layered_pocketing"}, {"cutter_id": names, "floor": "yes"}))
    found: dict[str, Any] = {"id": f"our-first-{number}", "what": "ours", "about": about, "reason": "learnt here"}
    if chance.random() < 0.5:
        fact = chance.choice(("depth_ratio", "DC", "axial_ratio", chance.choice(FACTS)))
        found["when"] = [f"{fact} {chance.choice(('<', '>='))} {chance.choice((0.5, 2, 100))}", 'cutter_id != "E9"']
    return found


def _rule(chance: Random, number: int) -> dict[str, Any]:
    limit = chance.choice((0.001, 1, 2.5, 10, 1e6))
    fact = chance.choice(("depth_ratio", "width_ratio", "DC", "depth", "width", chance.choice(FACTS)))
    operator = chance.choice(("<", "<=", ">", ">=", "=", "!="))
    when: list[Any] = [f"{fact} {operator} {limit}"]
    for word in _some(chance, ("any", "all", *(("not", "known") if chance.random() < 0.2 else ())), 2):
        when = [{word: when if word in ("any", "all") else fact if word == "known" else when[0]}]
    stage = chance.choice(("clearing", "cutter", "entry", "caution", chance.choice(STAGES)))
    plain = chance.choice(("for", "against", "forbids"))
    fires, silent = limit * 2, limit / 2
    if operator in ("<", "<="):
        fires, silent = silent, fires
    elif operator in ("=", "!="):
        fires, silent = (limit, limit / 2) if operator == "=" else (limit / 2, limit)
    found: dict[str, Any] = {
        "id": f"our-rule-{number}", "title": "A rule of ours", "stage": stage, "reason": "learnt here", "when": when,
        "verdict": {"caution": "cautions", "appraisal": "concludes", "settings": "concludes"}.get(stage, plain),
        "because": f"{{{fact}}} is what we go by.", "source": {"common_practice": True},
        "examples": {"fires": [{fact: fires}], "silent": [{fact: silent}]},
    }  # fmt: skip
    if chance.random() < 0.5:
        found["about"] = {"method": chance.choice(("ramped_slotting", "layered_pocketing", "drilling"))}
    if found["verdict"] == "concludes":
        found["concludes"] = {"fact": chance.choice(FACTS), "value": chance.choice((0.5, 3, "often"))}
    return found


def _yaml(chance: Random, value: Any, slips: int) -> bytes:
    tokens: list[str] = []
    in_text = chance.random() < 0.3
    for _ in range(0 if in_text else slips):
        slip_in_value(chance, value, tokens)
    flow = chance.choice((None, None, False, True))
    text: str = yaml.dump(
        value, Dumper=DUMPER, sort_keys=False, allow_unicode=True, default_flow_style=flow, width=1000
    )  # fmt: skip
    for number in reversed(range(len(tokens))):
        text = text.replace(f"{RAW}{number}X", tokens[number])
    if slips and in_text:
        text = slip_in_text(chance, text)
    return encoded(chance, text) if slips else text.encode()


def _with_comma(cell: str) -> str:
    return cell.replace(".", ",") if cell.replace(".", "", 1).isdecimal() else cell


def _csv(chance: Random, known: tuple[str, ...], rows: list[dict[str, Any]], slips: int) -> bytes:
    used = {head for row in rows for head in row}
    heads = [head for head in known if head in used or chance.random() < 0.25]
    if chance.random() < 0.2:
        chance.shuffle(heads)
    table = [heads, *([str(row.get(head, "")) for head in heads] for row in rows)]
    in_text = chance.random() < 0.3
    for _ in range(0 if in_text else slips):
        slip_in_table(chance, table)
    sheet = io.StringIO()
    delimiter = chance.choice(",,,;\t")
    if slips and delimiter == ";" and chance.random() < 0.5:
        table = [table[0], *([_with_comma(cell) for cell in row] for row in table[1:])]
    csv.writer(sheet, delimiter=delimiter, lineterminator="\n").writerows(table)
    comments = ("", "", "", "# units: mm\n", "#\n", *(("# units: inch\n", "# units: ell\n") if slips else ()))
    text = chance.choice(comments) + sheet.getvalue()
    if slips and in_text:
        text = slip_in_text(chance, text)
    return encoded(chance, text) if slips else text.encode("utf-8", "surrogatepass")
