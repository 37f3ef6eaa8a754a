"""Which material a text means: with a state, a hardness or words of a kind beside the name, or with a slip in it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import NamedTuple

from advisor.files.problems import LONGEST_COMPARED, Fault, listed, nearest_word, shown
from advisor.model.material import Material
from advisor.readers.material_words import Words, squeezed
from advisor.readers.materials import Materials

ALIKE = 0.75  # of the letters; the numbers must be the same
SHORTEST_COMPARED = 4  # signs: D2, O1 and V2A are too short to be taken for a slip of one another
_NUMBER = r"(?<![\w.,])(\d+(?:[.,]\d+)?)"
_STRENGTH = r"N\s*/\s*mm(?:²|\^?2)|MPa"
_HARDNESS = re.compile(
    rf"(?:\bRm\s*=?\s*)?{_NUMBER}(?:\s*(?:-|–|to|bis)\s*{_NUMBER})?\s*(HRC|HBW?|{_STRENGTH})(?!\w)"
    rf"|\b(HRC|HBW?)\s*{_NUMBER}",
    re.IGNORECASE,
)
_APART = re.compile(r"[\s_\-,;()/]+")
AS_WRITTEN = " in HRC, HB or N/mm²"
NAMED = "the name or alias of a material in the table (`roughing materials` lists them)"


class Meant(NamedTuple):
    """The material that a text means and a note where something was taken for it; else what is wrong with the text."""

    material: Material | None
    note: str = ""
    fault: Fault | None = None


class Hardness(NamedTuple):
    """A hardness as it was said, its greatest value on that scale, and in Brinell [HB]."""

    text: str
    scale: str
    value: float
    brinell: float


@dataclass(frozen=True, slots=True)
class _Said:
    """The parts of a text: what is left of the name, states and hardness said."""

    name: str
    states: tuple[str, ...]
    hardness: Hardness | None


def meant(text: str, materials: Materials) -> Meant:
    """Return the material that a text means, such as "42CrMo4 QT" or "1.2379 58 HRC", or the fault that it has."""
    fault = _asked(text, materials)
    if fault is not None:
        return Meant(None, "", fault)
    exact = materials.find(text)
    said = _said(text, materials)
    if exact is not None:
        return Meant(exact, "" if exact.steel or said.states else _state_taken(text, exact, materials))
    refused = _refused(text, materials)
    if refused:
        return Meant(None, "", Fault(refused, shown(text)))
    found, kinds = _found(said.name, materials)
    if found is None and said.hardness is not None and said.name in materials.words.any_steel:
        return _by_hardness(text, None, said, materials)
    if found is None:
        return Meant(None, "", _asked(said.name, materials) or _not_found(text, materials))
    if not all(found.cutting_class.startswith(kinds_of) for kinds_of in kinds):
        wanted = f"a name and words beside it that agree; by its name it is {found.name}, group {found.group}"
        return Meant(None, "", Fault(wanted, shown(text)))
    if said.hardness is not None:
        return _by_hardness(text, found, said, materials)
    if said.states:
        return _by_state(text, found, said.states, materials)
    return Meant(found, _state_taken(text, found, materials))


def _asked(text: str, materials: Materials) -> Fault | None:
    """The fault of a text that may mean several materials."""
    choices = materials.words.asked.get(squeezed(text))
    return Fault(f"one of several that this may mean: {listed(choices)}", shown(text)) if choices else None


def _not_found(text: str, materials: Materials) -> Fault:
    begun = _begun(text, materials)
    if begun is not None and _in_two_groups(begun, materials):
        states = [state for one in _family(begun, materials) for state in one.states[:1]]
        return Fault(f"after {begun.name} its state ({listed(states)}) or its hardness{AS_WRITTEN}", shown(text))
    return Fault(NAMED, shown(text), None, suggestion(text, materials))


def _in_two_groups(material: Material, materials: Materials) -> bool:
    return len({one.group for one in _family(material, materials)}) > 1


def suggestion(text: str, materials: Materials) -> str | None:
    """Return the name of the material that a mistyped text is likely to mean, or None.

    Numbers are never taken for one another, and nothing is suggested where materials of two groups come into question.
    """
    if not SHORTEST_COMPARED <= len(materials.words.folded(text)) <= LONGEST_COMPARED:
        return None
    begun = _begun(text, materials)
    if begun is not None:
        return None if _in_two_groups(begun, materials) else begun.name
    letters, numbers = _spelt(materials.words.folded(text))
    close: list[tuple[float, str, Material]] = []
    for material in materials:
        for name in (material.name, *material.aliases):
            own, figures = _spelt(materials.words.folded(name))
            ratio = SequenceMatcher(None, letters, own).ratio() if figures == numbers and letters else 0.0
            if ratio >= ALIKE:
                close.append((ratio, name, material))
    if not close and not numbers:
        return nearest_word(text, (word for word in materials.words.asked if word.isalpha()))
    if len({material.group for _, _, material in close}) != 1:
        return None
    best = max(close, key=lambda one: one[0])
    rivals = {material.family for ratio, _, material in close if ratio == best[0]}
    return best[1] if len(rivals) == 1 else None


def _spelt(folded: str) -> tuple[str, list[str]]:
    return re.sub(r"\d", "", folded), re.findall(r"\d+", folded)


def _begun(text: str, materials: Materials) -> Material | None:
    """The material whose number or name a text begins with, whatever follows that is no other material's word."""
    tokens = _tokens(text)
    for end in range(len(tokens) - 1, 0, -1):
        found, rest = materials.find(" ".join(tokens[:end])), tokens[end:]
        if found is not None and any(map(str.isdigit, "".join(tokens[:end]))):
            other = any(phrase in " ".join(rest) for phrase in materials.words.kinds)
            return None if other or any(map(materials.find, rest)) else found
    return None


def _tokens(text: str) -> list[str]:
    return [token for token in _APART.split(text.casefold().replace("+", " +")) if token]


def _said(text: str, materials: Materials) -> _Said:
    words = materials.words
    hardness = _HARDNESS.search(text)
    tokens = _tokens(_HARDNESS.sub(" ", text))
    states: list[str] = []
    for phrase, state in words.states:
        at = _place(tokens, phrase)
        if at is not None and len(tokens) > len(phrase):
            del tokens[at : at + len(phrase)]
            states.append(state)
    return _Said(" ".join(tokens), tuple(dict.fromkeys(states)), _hardness(hardness, words) if hardness else None)


def _place(tokens: Sequence[str], phrase: Sequence[str]) -> int | None:
    return next((at for at in range(len(tokens)) if list(tokens[at : at + len(phrase)]) == list(phrase)), None)


def _hardness(found: re.Match[str], words: Words) -> Hardness:
    low, high, scale, before, behind = found.groups()
    value = max(float(one.replace(",", ".")) for one in (low, high, behind) if one)
    scale = (scale or before).upper()
    if scale.startswith("HB"):
        return Hardness(found.group(0), "HB", value, value)
    if scale == "HRC":
        return Hardness(found.group(0), scale, value, words.brinell(value))
    return Hardness(found.group(0), "N/mm²", value, words.brinell_of_strength(value))


def _found(name: str, materials: Materials) -> tuple[Material | None, list[tuple[str, ...]]]:
    """The material of a name without its words of kind, and the classes that these words allow."""
    found = materials.find(name)
    if found is not None:
        return found, []
    tokens, kinds = name.split(), []
    for phrase, classes in materials.words.kinds.items():
        at = _place(tokens, phrase.split())
        if at is not None:
            del tokens[at : at + len(phrase.split())]
            kinds.append(classes)
    return (materials.find(" ".join(tokens)) if tokens and kinds else None), kinds


def _refused(text: str, materials: Materials) -> str | None:
    refused, tokens = materials.words.refused, _tokens(text)
    bare = [re.sub(r"\d.*$", "", token) for token in tokens]
    pairs = [" ".join(tokens[at : at + 2]) for at in range(len(tokens))]
    for word in (*pairs, *tokens, *filter(None, bare)):
        if word in refused:
            kind, why = refused[word]
            return f"a metal: this is {kind}, and {why}"
    return None


def _family(found: Material, materials: Materials) -> list[Material]:
    return [one for one in materials if one.family == found.family]


def _state_taken(text: str, found: Material, materials: Materials) -> str:
    """The note on a state that nobody gave, where it decides."""
    several = len(_family(found, materials)) > 1
    if not found.states or not (several or found.cutting_class in materials.words.state_told):
        return ""
    others = [f'"{text} {one.states[0]}"' for one in _family(found, materials) if one is not found and one.states]
    else_said = listed(others) if others else "its hardness in HRC beside the name"
    taken = f"no state given, {found.states[0]} ({found.hardness}) assumed"
    return f"material {text}: {taken}; if it is another, write {else_said}"


def _by_state(text: str, found: Material, states: Sequence[str], materials: Materials) -> Meant:
    family = _family(found, materials)
    row = next((one for one in family if set(states) <= set(one.states)), None)
    if row is not None:
        return Meant(row)
    if "hardened" in states:
        return Meant(None, "", Fault(f'its hardness too, as in "{found.name} 58 HRC"', shown(text)))
    known = list(dict.fromkeys(state for one in family for state in one.states))
    if not known:
        return Meant(found, f"material {text}: the table has {found.name} in one state ({found.hardness})")
    return Meant(None, "", Fault(f"{found.name} in one of its states: {listed(known)}; or its hardness", shown(text)))


def _by_hardness(text: str, found: Material | None, said: _Said, materials: Materials) -> Meant:
    hardness, words = said.hardness, materials.words
    if hardness is None:
        raise AssertionError("no hardness given, yet its material is looked for")
    if found is not None and not materials.groups[found.group].by_hardness:
        return _not_steel(text, found, hardness, materials)
    family = [] if found is None else _family(found, materials)
    own = [one for one in family if not _hardened(one, materials) and hardness.brinell <= one.hardest + words.above_row]
    hard = [one for one in family if _hardened(one, materials) and one.softest <= hardness.brinell <= one.hardest]
    steels = [one for one in materials if one.any_steel and hardness.brinell <= one.hardest]
    first = [min(rows, key=lambda one: one.hardest) for rows in (own, hard, steels) if rows]
    if not first:
        most = max((one for one in materials if one.any_steel), key=lambda one: one.hardest)
        return Meant(None, "", Fault(f"a hardness of steel, up to that of {most.name}", shown(text)))
    row = first[0]
    soft = not set(words.soft_states).isdisjoint(said.states)
    if _hardened(row, materials) and (soft or (hardness.brinell < row.softest and "pre-hardened" in said.states)):
        return Meant(None, "", Fault(f"state and hardness that fit: {listed(said.states)} is softer", shown(text)))
    converted = f"{hardness.text} is about {hardness.brinell:.0f} HB, and " if hardness.scale == "N/mm²" else ""
    return Meant(row, f"material {text}: {converted}the data of {row.name} ({row.hardness}) are used")


def _hardened(row: Material, materials: Materials) -> bool:
    return materials.groups[row.group].hardened


def _not_steel(text: str, found: Material, hardness: Hardness, materials: Materials) -> Meant:
    words = materials.words
    if not materials.groups[found.group].hard_too and hardness.brinell >= words.brinell(words.steel_only_from):
        return Meant(
            None, "", Fault(f"a hardness that {found.name} can have; in the table {found.hardness}", shown(text))
        )
    return Meant(found, f"material {text}: the data of {found.name} at {found.hardness} are used")
