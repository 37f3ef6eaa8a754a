"""The table of words about materials, `material_words.yaml`: how names are compared, states, hardness, refusals."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

from advisor.files.yaml_reader import read_yaml

_LEFT_OUT = re.compile(r"[\s\-_.,+()/&]+")


@dataclass(frozen=True, slots=True)
class Words:
    """What `material_words.yaml` says.

    ``states`` are the phrases of each state, word by word, the longest first; ``scale`` pairs of HRC and HB, and
    ``strengths`` of N/mm² and HB, rising;
    ``above_row`` in HB, ``steel_only_from`` in HRC.
    """

    prefixes: tuple[str, ...] = ()
    prefixes_of_numbers: tuple[str, ...] = ()
    kinds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    states: tuple[tuple[tuple[str, ...], str], ...] = ()
    scale: tuple[tuple[float, float], ...] = ()
    strengths: tuple[tuple[float, float], ...] = ()
    above_row: float = 0.0
    steel_only_from: float = 0.0
    state_told: tuple[str, ...] = ()
    soft_states: tuple[str, ...] = ()
    any_steel: tuple[str, ...] = ()
    asked: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    refused: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    def folded(self, name: str) -> str:
        """Return a name as it is compared: without letter case, spaces, dots, hyphens and the prefix of a standard."""
        whole = squeezed(name)
        for prefix in self.prefixes:
            if len(whole) > len(prefix) and whole.startswith(prefix):
                whole = whole.removeprefix(prefix)
                break
        for prefix in self.prefixes_of_numbers:
            if whole.startswith(prefix) and whole[len(prefix) : len(prefix) + 1].isdecimal():
                return whole.removeprefix(prefix)
        return whole

    def brinell(self, rockwell_c: float) -> float:
        """Return the hardness [HB] of steel of a hardness [HRC]; beyond the ends of the table on its last slope."""
        return _between(self.scale, rockwell_c)

    def brinell_of_strength(self, strength: float) -> float:
        """The same for steel of a tensile strength [N/mm²]."""
        return _between(self.strengths, strength)

    def span(self, hardness: str) -> tuple[float, float]:
        """Return the least and greatest hardness [HB] of a row, out of "190 HB" or "48-52 HRC"."""
        values, scale = hardness.split()
        ends = [float(value) for value in values.split("-")]
        low, high = (self.brinell(value) if scale == "HRC" else value for value in (ends[0], ends[-1]))
        return low, high


def _between(table: tuple[tuple[float, float], ...], value: float) -> float:
    pairs = list(pairwise(table))
    (low, at_low), (high, at_high) = next((pair for pair in pairs if value <= pair[1][0]), pairs[-1])
    return at_low + (value - low) * (at_high - at_low) / (high - low)


def squeezed(name: str) -> str:
    """Return a name without letter case, and without spaces, dots and the like."""
    return _LEFT_OUT.sub("", name.casefold())


def read_words(path: Path) -> Words:
    """Return the words of `material_words.yaml`, one of the project's own tables. Raises BadInput, KeyError."""
    table: Any = read_yaml(path).value
    hardness = table["hardness"]
    phrases = [(_phrase(phrase), state) for state, own in table["states"].items() for phrase in own]
    return Words(
        prefixes=tuple(squeezed(prefix) for prefix in table["prefixes"]),
        prefixes_of_numbers=tuple(squeezed(prefix) for prefix in table["prefixes_of_numbers"]),
        kinds={kind: tuple(classes) for kind, classes in sorted(table["kinds"].items(), key=lambda one: -len(one[0]))},
        states=tuple(sorted(phrases, key=lambda one: (-len(one[0]), one))),
        scale=tuple((float(rockwell), float(own)) for rockwell, own in hardness["brinell_of_rockwell_c"].items()),
        strengths=tuple((float(one), float(own)) for one, own in hardness["brinell_of_tensile_strength"].items()),
        above_row=float(hardness["above_row"]["value"]),
        steel_only_from=float(hardness["steel_only_from"]["value"]),
        state_told=tuple(table["state_told"]),
        soft_states=tuple(table["soft_states"]),
        any_steel=tuple(table["any_steel"]),
        asked={squeezed(word): tuple(one["choices"]) for one in table["asked"] for word in one["words"]},
        refused={word.casefold(): (one["kind"], one["why"]) for one in table["refused"] for word in one["words"]},
    )


def _phrase(words: str) -> tuple[str, ...]:
    return tuple(words.casefold().replace("-", " ").replace("+", " +").split())
