"""A plan in a line of speech: ``S1: layered pocketing T07 ae 6 ap 4``, or ``P1 T02 ap=17 S5500 F3000``."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from advisor.files.checking import raise_if_any
from advisor.files.decimals import signs_of
from advisor.files.ids import Ids
from advisor.files.problems import Misfit, Problem, listed, misfit, nearest_word, shown
from advisor.files.units import Units, number_or_text, to_mm
from advisor.knowledge.assumptions import load_assumptions
from advisor.knowledge.trade_words import Words, asked_back, folded, meanings, trade_words, units_pattern, words_of
from advisor.model.cutter import Cutter
from advisor.model.entry import entry_kind
from advisor.model.operations import OperationRow, Plan
from advisor.readers.plan_rows import Known, in_order, refuse, row_of
from advisor.readers.plan_table import cell_value
from advisor.readers.ways import Parts

WHERE = "--say"
WANTED = "an operation such as: S1: layered pocketing T07 ae 6 ap 4"
LONGEST = 4000
MOST_COMPARED = 6  # words of a line that are held against the ids of a crib for one that is much alike
MOST_TOGETHER = 5  # words that are one of the trade's, or of an id
_APART = re.compile(r"[;\n]+")
_JOINED = re.compile(r"\s*[,+&]\s*")
_BEHIND = re.compile(r",+(?=\s|$)")
_NUMBER = re.compile(r"[-+]?(\d|[.,]\d)")
_LIKE_ONE = re.compile(r"[-+]?(nan|inf(inity)?)$", re.IGNORECASE)  # what is told as a number that cannot be read
_FIGURES = r"[-+]?(?:(?:\d+[ -])?\d+/\d+|(?:\d[\d.,]*|[.,]\d+)(?:e[-+]?\d{1,3})?)"


def plan_said(
    texts: Sequence[str],
    cutters: Collection[str] | Mapping[str, Cutter | None],
    units: Units,
    features: Mapping[str, str] | None = None,
    parts: Parts | None = None,
) -> Plan:
    """The plan of spoken operations, set apart by semicolons or line breaks.

    Args:
        texts: what was said.
        cutters: the ids of the crib; or its cutters by id, which is what lengths in diameters and a cutting speed want.
        units: those of plain numbers.
        features: the kinds of the features of the job by id, where that is known.
        parts: those that a feature with stock on walls and floor is answered as, as ``Known`` has them.

    Raises:
        BadInput: with everything that cannot be understood.
    """
    crib: Mapping[str, Cutter | None] = cutters if isinstance(cutters, Mapping) else dict.fromkeys(cutters)
    known = Known(features or {}, crib, parts or {})
    problems: list[Problem] = []
    rows: list[tuple[OperationRow, int | None]] = []
    notes: list[str] = []
    spoken = [part.strip() for text in texts for part in _APART.split(text) if part.strip()]
    if not spoken or sum(map(len, spoken)) > LONGEST:
        raise refuse(WHERE, None, "", "nothing" if not spoken else f"more than {LONGEST} characters", WANTED)
    for place, part in enumerate(spoken, 1):
        name = f"operation {place}"
        given, commas = _given(part, name, known, problems)
        if commas:
            notes.append(f"{WHERE}: in {shown(part)} decimal commas are read as points.")
        asked = _feed_asked(given, units)
        if asked is not None:
            problems.append(Problem(WHERE, None, f"{name}.feed_rate", *asked))
        row = row_of(given, units, (WHERE, None, name), problems, known, notes) if given and not asked else None
        if row is not None:
            rows.append((row, None))
    operations = in_order(rows, WHERE, problems)
    raise_if_any(problems)
    return Plan(WHERE, None, operations, tuple(notes), units)


def _given(part: str, name: str, known: Known, problems: list[Problem]) -> tuple[dict[str, Any], bool]:
    """What an operation says, by field, and whether its numbers have decimal commas; nothing, and the problems with it,
    where it cannot be understood.
    """
    features, rest = _head(part, known)
    tokens = _tokens(rest, known.cutter_ids)
    if not features or not tokens:
        problems.append(Problem(WHERE, None, name, shown(part), WANTED))
        return {}, False
    line = _Line(tokens, known.cutter_ids, signs_of(tokens))
    try:
        if not any(line.id_at(at) for at in range(len(tokens))):
            alike = ((token, nearest_word(token, known.cutters)) for token in tokens[:MOST_COMPARED])
            typed, near = next(((token, found) for token, found in alike if found), (rest.strip(), None))
            raise misfit("the id of a cutter of the crib", found=shown(typed), field="cutter", nearest=near)
        line.read()
        line.name_cutters()
        line.name_ways()
    except Misfit as error:
        for fault in error.faults:
            place = name if fault.field is None else f"{name}.{fault.field}"
            problems.append(Problem(WHERE, None, place, fault.found or shown(part), fault.wanted, fault.nearest))
        return {}, False
    return {"feature": features} | line.given, "," in line.signs


def _feed_asked(given: Mapping[str, Any], units: Units) -> tuple[str, str] | None:
    """What is found and wanted where a plain feed is so little a minute that one a turn or a tooth is meant by it."""
    feed = given.get("feed_rate")
    if isinstance(feed, str):
        feed = number_or_text(feed)
    if not isinstance(feed, int | float) or isinstance(feed, bool) or feed <= 0:
        return None
    if to_mm(feed, units) >= load_assumptions().value("bounds", "feed_rate_asked"):
        return None
    length = "in" if units == "inch" else "mm"
    wanted = f"'fn {feed:g}' for {length} a turn, 'fz {feed:g}' for {length} a tooth, or '{feed:g} {length}/min'"
    return f"a feed of {feed:g}", wanted


def _head(part: str, known: Known) -> tuple[list[str], str]:
    """The ids of the features, and what is said of them. The colon between may be missing."""
    before, colon, rest = part.partition(":")
    names = [one for one in _JOINED.split(before.strip()) if one]
    inner = [word for name in names for word in name.split()[1:]]
    if colon and not any(_is_setting(word) or _ids(word, known.cutter_ids) for word in inner):
        return _features_alone(names, rest, known)
    words = part.split()
    for count in range(min(len(words), MOST_TOGETHER), 1, -1):
        if _ids(" ".join(words[:count]), known.feature_ids):
            return [" ".join(words[:count])], " ".join(words[count:])
    joined = re.match(r"[^\s,+&]+(?:\s*[,+&]\s*[^\s,+&]+)*", part)
    if joined is None:
        return [], ""
    return _features_alone(_JOINED.split(joined[0]), part[joined.end() :].removeprefix(":"), known)


def _features_alone(names: list[str], rest: str, known: Known) -> tuple[list[str], str]:
    """Features, and what is said of them, where some of that stands among the features: ``P1, T02, ap 17``."""
    for place, name in enumerate(names):
        other = _ids(name, known.cutter_ids) or _means_something(name)
        if place and known.features and other and not _ids(name, known.feature_ids):
            return names[:place], f"{', '.join(names[place:])} {rest}"
    return names, rest


def _ids(word: str, known: Ids) -> bool:
    """Whether a word is an id, or might be one of several."""
    try:
        return known.meant(word) is not None
    except Misfit:
        return True


def _is_setting(word: str) -> bool:
    return bool(meanings("settings", word))


@cache
def _with_units() -> re.Pattern[str]:
    """A number with the unit that stands behind it, or any word."""
    every = units_pattern(*trade_words().units).split("|")
    units = "|".join(unit for unit in every if not _is_setting(unit))  # rpm may begin the next setting
    of = units_pattern("diameter")
    share = rf"(?:%(?:\s*of)?|[x×*·])\s*(?:{of})"
    return re.compile(rf"{_FIGURES}(?:\s*{share}|\s*%|\s*(?:{units}))(?=[\s,]|$)|\S+", re.IGNORECASE)


@cache
def _glued() -> re.Pattern[str]:
    """A symbol with its number."""
    symbols = "|".join(sorted(trade_words().glued, key=len, reverse=True))
    return re.compile(rf"({symbols})({_FIGURES}\S*)", re.IGNORECASE)


def _tokens(text: str, cutters: Ids) -> list[str]:
    """The words of a line: symbols apart from their numbers, but numbers together with their units."""
    words: list[str] = []
    for word in text.split():
        if word not in cutters.known:
            word = _BEHIND.sub(" ,", re.sub(r"[=:]", " ", word))  # a comma behind a word sets it apart from the next
            word = " ".join(
                f"{one[1]} {one[2]}" if (one := _symbol(each, cutters)) is not None else each for each in word.split()
            )
        words.append(word)
    return [token.strip() for token in _with_units().findall(" ".join(words)) if token.strip()]


def _symbol(word: str, cutters: Ids) -> re.Match[str] | None:
    """A symbol with its number in one word, unless it is the id of a cutter."""
    found = _glued().fullmatch(word.replace("_", "", 1))
    return None if found is None or _ids(word, cutters) else found


def _meant_for_number(token: str) -> bool:
    """Whether somebody meant a number, be it one that cannot be read: nan, or ½."""
    bare = token.lstrip("+-")
    return _NUMBER.match(token) is not None or _LIKE_ONE.match(token) is not None or bare[:1].isnumeric()


@dataclass
class _Line:
    """A line as it is read, word by word. ``ids`` are cutters, each with whether it is the drill of a hole by what
    stands before it; ``ways`` are words for a method or a way in.
    """

    tokens: list[str]
    crib: Ids
    signs: frozenset[str]  # the decimal signs that its numbers surely have
    given: dict[str, Any] = field(default_factory=dict)
    ids: list[tuple[str, bool]] = field(default_factory=list)
    ways: list[tuple[str, str]] = field(default_factory=list)  # the field that is meant, if that is said; the word
    drill_next: bool = False
    drill_word: str = ""  # the word by which a drill was named: drill D13
    either: list[str] = field(default_factory=list)  # ids that might as well be a symbol with its number

    def put(self, name: str, value: Any) -> None:
        """Keep a setting. Raises Misfit if there is one already."""
        if name in self.given:
            raise misfit("each setting once", found="a second value", field=name)
        self.given[name] = value

    def read(self) -> None:
        """Read all the words. Raises Misfit."""
        at = 0
        while at < len(self.tokens):
            apart = self.tokens[at] == ","
            at += apart or self._id(at) or self._setting(at) or self._number(at) or self._way(at)

    def id_at(self, at: int) -> tuple[str, int] | None:
        """The cutter whose id stands here, and of how many words it is. Raises Misfit where it may be several."""
        for count in range(min(MOST_TOGETHER, len(self.tokens) - at), 0, -1):
            typed = " ".join(self.tokens[at : at + count])
            if typed not in self.crib.known and (_means_something(typed) or _meant_for_number(typed)):
                continue
            if (found := self.crib.meant(typed)) is not None:
                return found, count
        return None

    def _id(self, at: int) -> int:
        """How many words from here are the id of a cutter, which is kept."""
        if (found := self.id_at(at)) is None:
            return 0
        name, count = found
        if _glued().fullmatch(self.tokens[at]):
            self.either.append(name)
        self.ids.append((name, self.drill_next))
        self.drill_next = False
        return count

    def _setting(self, at: int) -> int:
        """How many words from here are a setting with its value, which is kept."""
        words = words_of("settings")
        for count in range(min(MOST_TOGETHER, len(self.tokens) - at), 0, -1):
            typed = " ".join(self.tokens[at : at + count])
            found = words.meanings(typed)
            if not found or _longer_way(self.tokens[at:], count):
                continue
            behind = self.tokens[at + count :]
            if _is_way(typed) and not (behind and (_meant_for_number(behind[0]) or self._drill(found, behind))):
                return 0
            return count + self._value(words, typed, found, behind)
        return 0

    def _drill(self, found: Sequence[str], behind: Sequence[str]) -> bool:
        return found[0] == "entry_cutter" and _ids(behind[0], self.crib)

    def _value(self, words: Words, typed: str, found: Sequence[str], behind: Sequence[str]) -> int:
        """Keep the value that stands behind a setting; how many words it is."""
        if len(found) > 1:
            found = [name for name in found if behind and name in _of_unit(behind[0])] or found
        if len(found) > 1:
            raise asked_back(words, typed, found)
        name = found[0]
        if name in _FEEDS and behind and len(by_unit := [one for one in _of_unit(behind[0]) if one in _FEEDS]) == 1:
            name = by_unit[0]  # f 0.18 mm/rev
        if not behind:
            raise misfit("a value behind every symbol", found=f"{shown(typed)} at the end")
        if name in ("method", "entry"):
            return self._way(len(self.tokens) - len(behind), name)
        here = self.id_at(len(self.tokens) - len(behind)) if name in ("cutter", "entry_cutter") else None
        if here is not None and name == "cutter":
            self.put("cutter", here[0])
            return here[1]
        if here is not None:
            self.drill_next, self.drill_word = True, typed
            return 0
        if name in ("feature", "programmer"):
            raise misfit(f"no {name} behind the first words of a line", found=shown(typed))
        count = next((n for n in range(MOST_TOGETHER, 1, -1) if meanings("coolants", " ".join(behind[:n]))), 1)
        count = min(count, len(behind)) if name == "coolant" else 1
        if len(behind) > 1 and _meant_for_number(behind[0]) and name in _of_unit(f"1{behind[1]}"):
            count = 2
        self.put(name, cell_value(name, " ".join(behind[:count]), self.signs))
        return count

    def _number(self, at: int) -> int:
        """How many words from here are a number that says by its unit, or the word behind it, what it is."""
        token, behind = self.tokens[at], self.tokens[at + 1 :]
        if not _meant_for_number(token):
            return 0
        if behind and meanings("settings", behind[0]) == ("levels",) and not (behind[1:] and _is_plain(behind[1])):
            if at and self.tokens[at - 1].casefold().endswith(" in"):  # ap 4 in 2 levels
                wanted = f"{self.tokens[at - 1]}ch, or the number without in behind it"
                raise misfit(wanted, found=shown(" ".join(self.tokens[at - 1 : at + 2])))
            self.put("levels", cell_value("levels", token, self.signs))
            return 2
        for count in (1, 2):
            value = " ".join(self.tokens[at : at + count])
            settings = [name for name in _of_unit(value) if name in OperationRow.model_fields]
            if len(settings) == 1:
                self.put(settings[0], cell_value(settings[0], value, self.signs))
                return count
        raise misfit(
            "before every number what it is, such as ap, ae, fz, vf, n, levels, side, bottom", found=shown(token)
        )

    def _way(self, at: int, name: str = "") -> int:
        """How many words from here name a method, a way in or a coolant, which is kept; 1 for what nobody knows."""
        for count in range(min(MOST_TOGETHER, len(self.tokens) - at), 0, -1):
            typed = " ".join(self.tokens[at : at + count])
            if _is_way(typed, name) and not self._into_setting(at, count, name):
                self.ways.append((name, typed))
                self.drill_next = any(entry_kind(entry).needs_drill for entry in meanings("entries", typed))
                return count
            if not name and (coolant := _coolant_alone(typed)):
                self.put("coolant", coolant)
                return count
        word = folded(self.tokens[at])
        behind_number = at > 0 and _meant_for_number(self.tokens[at - 1]) and _of_unit(f"1{word}")
        if name or behind_number or word not in trade_words().fillers:
            raise self._unknown(at, name)
        self.drill_next = self.drill_next or word in trade_words().drill_follows
        return 1

    def _into_setting(self, at: int, count: int, name: str) -> bool:
        """Whether the last of some words begin a setting with its number, and those before name a way by themselves:
        ``helix ramp angle 3``.
        """
        for inside in range(1, count):
            for size in range(count - inside, MOST_TOGETHER):
                after = at + inside + size
                if after < len(self.tokens) and _meant_for_number(self.tokens[after]):
                    typed = " ".join(self.tokens[at + inside : after])
                    if _is_setting(typed) and _is_way(" ".join(self.tokens[at : at + inside]), name):
                        return True
        return False

    def _unknown(self, at: int, name: str) -> Misfit:
        """The complaint about a word that nobody knows: a symbol where a number follows, else one of a way."""
        typed, behind = self.tokens[at], self.tokens[at + 1 :]
        if behind and _meant_for_number(behind[0]):
            wanted = "a symbol such as ap, ae, fz, vf, n, levels, side, bottom, overcut, ramp"
            return misfit(wanted, found=shown(typed), nearest=nearest_word(typed, words_of("settings").known))
        for count in range(min(MOST_TOGETHER, len(self.tokens) - at), 0, -1):
            word = " ".join(self.tokens[at : at + count])
            if (other := words_of("methods").instead.get(folded(word))) is not None:
                return misfit(other, found=shown(word), field=name or "method")
        before = self.ways[-1][1] if self.ways and " ".join(self.tokens[:at]).endswith(self.ways[-1][1]) else ""
        said = f"{before} {typed}".strip()
        places = [name] if name else ["entry", "method"] if self.ids or self.given else ["method", "entry"]
        near = nearest_word(said, [word for place in places for word in words_of(_SECTIONS[place]).known])
        place = next((one for one in places if near and meanings(_SECTIONS[one], near)), "")
        near = near or nearest_word(said, words_of("settings").known)
        if not place:  # a method is what most words of a line are, unless there is one
            named = any(meanings("methods", typed) and not meanings("entries", typed) for _, typed in self.ways)
            place = name or ("entry" if named or "method" in self.given else "method")
        ours = words_of(_SECTIONS[place]).ours
        rest = "a cutter of the crib, or a symbol such as ap, ae, fz, vf, n"
        wanted = (
            f"one of {listed(ours)}; or {rest}" if place == "entry" else f"one of {listed(ours)}; or a way in, {rest}"
        )
        return misfit(wanted, found=shown(said), field=place, nearest=near)

    def name_cutters(self) -> None:
        """Keep the cutter and the drill of its hole, of the ids in the line. Raises Misfit."""
        named = self.given.pop("cutter", None)
        sure = [one for one, _ in self.ids if one not in self.either]
        if self.either and (sure or named or len(self.either) > 1):
            one = self.either[0]
            wanted = f"'cutter {one}' for the cutter, or the symbol apart from its number"
            raise misfit(wanted, found=f"{one!r}, which is a cutter and may be a setting")
        plain = [one for one, drill in self.ids if not drill]
        cutter = named or (plain or [one for one, _ in self.ids])[0]
        if not named and not plain and self.drill_word:
            self.ways.append(("method", self.drill_word))
        rest = [one for one, _ in self.ids]
        if not named:
            rest.remove(cutter)
        if len(rest) > 1:
            raise misfit("a cutter, and at most the drill of its hole", found=listed(one for one, _ in self.ids))
        self.put("cutter", cutter)
        if rest:
            self.put("entry_cutter", rest[0])

    def name_ways(self) -> None:
        """Keep method and way in, of the words that may be one of them. Raises Misfit."""
        found: dict[str, list[str]] = {"method": [], "entry": []}
        either = []
        for name, typed in self.ways:
            may_be = [each for each, section in _SECTIONS.items() if meanings(section, typed) and name in ("", each)]
            if len(may_be) == 1:
                found[may_be[0]].append(typed)
            elif may_be:
                either.append(typed)
            else:
                raise misfit(f"a word for the {name}", found=shown(typed), field=name)
        for typed in either:
            open_still = [each for each, words in found.items() if not words]
            if len(open_still) != 1:
                raise misfit(_both(typed), found=f"{shown(typed)}, which has several meanings")
            found[open_still[0]].append(typed)
        for name, words in found.items():
            same = {meanings(_SECTIONS[name], typed) for typed in words}
            for typed in words[:1] if len(same) == 1 else words:  # roll in from outside: the same in two words
                self.put(name, typed)


_FEEDS = ("feed_rate", "feed_per_tooth", "feed_per_revolution")
_SECTIONS: Mapping[str, Any] = {"method": "methods", "entry": "entries"}


def _is_way(typed: str, name: str = "") -> bool:
    """Whether this is a word for a method or a way in, or for the one of them that is named."""
    return any(meanings(section, typed) for one, section in _SECTIONS.items() if name in ("", one))


def _means_something(typed: str) -> bool:
    return _is_way(typed) or _is_setting(typed) or folded(typed) in trade_words().fillers


def _longer_way(tokens: Sequence[str], count: int) -> bool:
    """Whether more words than these are a word for a method or a way in: ``side entry`` is no side allowance."""
    return any(_is_way(" ".join(tokens[:more])) for more in range(count + 1, min(MOST_TOGETHER, len(tokens)) + 1))


def _of_unit(token: str) -> list[str]:
    """The settings that the unit behind a number may belong to."""
    unit = folded(re.sub(rf"^{_FIGURES}", "", token))
    return [name for name, units in trade_words().units.items() if unit and unit in map(folded, units)]


def _is_plain(token: str) -> bool:
    """Whether a word is a number and nothing else."""
    return re.fullmatch(_FIGURES, token) is not None


def _coolant_alone(typed: str) -> str | None:
    """The coolant that a word means by itself: not ``through`` or ``none``, which may mean anything."""
    found = meanings("coolants", typed)
    return found[0] if found and folded(typed) in map(folded, words_of("coolants").ours[found[0]]) else None


def _both(typed: str) -> str:
    method, entry = (listed(meanings(section, typed)) for section in _SECTIONS.values())
    return f"'method {typed}' ({method}), or 'entry {typed}' ({entry})"
