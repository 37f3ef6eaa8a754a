"""What a feature may have in a file, and what follows from it: one table, a line for each input.

From it follow which inputs a fact rests on (``analysis/inputs.py``), which numbers are varied to see what would change
an answer (``analysis/sensitivity.py``), and what is told as not given (``situation/unasked.py``).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from advisor.knowledge.conditions import Facts
from advisor.model.features import FEATURE_KINDS

WALLS, FLOOR, WHOLE = "walls", "floor", "whole"  # the words of the fact ``rough``


class FeatureInput(NamedTuple):
    """One input of a feature.

    ``moves`` are the numbers among its facts that follow from the input without a formula. ``of_casting`` are those
    that rest on it where only this is cut of a casting, forging or pre-machined part (the words of ``rough``); they
    then rest on nothing else but what has them there too. ``varied`` says whether it is changed to see what would
    change an answer, ``asked`` whether it is told where nobody gave it.
    """

    moves: tuple[str, ...] = ()
    of_casting: Mapping[str, tuple[str, ...]] = {}
    varied: bool = False
    asked: bool = False


# Told as not given in this order.
INPUTS: Mapping[str, FeatureInput] = {
    "depth": FeatureInput(("depth", "wall_height"), {FLOOR: ("top", "wall_height")}, varied=True),
    "width": FeatureInput(
        ("width", "narrowest_width", "fit_width", "entry_room", "wall_stock"),
        {WALLS: ("opening",), WHOLE: ("opening",)},
        varied=True,
    ),
    "length": FeatureInput(("length",), varied=True),
    "diameter": FeatureInput(varied=True),  # of a hole in place of width and length: moves what they move
    "floor": FeatureInput(),
    "open_ends": FeatureInput(),
    "open_sides": FeatureInput(asked=True),
    "open_at": FeatureInput(asked=True),
    "stock_side": FeatureInput(("stock_side", "wall_stock"), varied=True, asked=True),
    "corner_radius": FeatureInput(("corner_radius",), varied=True, asked=True),
    "clearance_below": FeatureInput(("clearance_below",), varied=True, asked=True),
    "thinnest_wall": FeatureInput(("thinnest_wall",), asked=True),
    "tallest_wall": FeatureInput(),  # in place of the depth as the height of the wall
    "flat_floor": FeatureInput(asked=True),
    "floor_thickness": FeatureInput(("floor_thickness",), asked=True),
    "purpose": FeatureInput(asked=True),
    "island": FeatureInput(("island",), varied=True),
    "island_length": FeatureInput(("island_length",)),
    "top": FeatureInput(("top",), {FLOOR: ("top",)}, varied=True),
    "allowance_side": FeatureInput(("side_allowance",), varied=True),
    "allowance_bottom": FeatureInput(("bottom_allowance",), varied=True),
    "stock_wall": FeatureInput(
        of_casting={WALLS: ("wall_stock", "stock_side", "skin_wall", "opening"), WHOLE: ("opening",)}, varied=True
    ),
    "stock_floor": FeatureInput(of_casting={FLOOR: ("depth", "top")}, varied=True),
    "count": FeatureInput(),
    "marked": FeatureInput(),
}
VARIED = tuple(name for name, one in INPUTS.items() if one.varied)
NOTHING_TO_ASK = frozenset({("closed_pocket", "open_sides")})  # it can have none
ASKED: Mapping[str, tuple[str, ...]] = {
    kind: tuple(
        name
        for name, one in INPUTS.items()
        if one.asked and name in model.model_fields and (kind, name) not in NOTHING_TO_ASK
    )
    for kind, model in FEATURE_KINDS.items()
}


def inputs_behind(fact: str, facts: Facts) -> tuple[str, ...]:
    """The inputs of a feature from which a fact follows without a formula, in the situation of these facts."""
    rough = str(facts.get("rough", ""))
    if of_casting := tuple(name for name, one in INPUTS.items() if fact in one.of_casting.get(rough, ())):
        return of_casting
    if fact == "wall_stock":
        return ("width",) if facts.get("feature") == "step" else ("stock_side",)
    if fact in ("narrowest_width", "fit_width"):
        if "island" in facts:
            return "width", "length", "island"  # whichever way past it decides
        if facts.get("open_at") == "long_side":
            return ("length",)  # the walls that face each other stand at its ends
    return tuple(name for name, one in INPUTS.items() if fact in one.moves)
