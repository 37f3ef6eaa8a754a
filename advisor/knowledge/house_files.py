"""Reading ``house.yaml``: what the shop changes, each change with its reason, every slip with its line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any as Anything
from typing import NamedTuple

from advisor.files.problems import MOST_PROBLEMS, Problem, listed, nearest_word, shown
from advisor.files.yaml_reader import Document
from advisor.knowledge.conditions import is_number
from advisor.knowledge.faults import Faults
from advisor.knowledge.measures import STAGES
from advisor.knowledge.preference_reader import PreferenceReader
from advisor.knowledge.rule_reader import VERDICTS_OF_STAGE, RuleReader
from advisor.knowledge.schema import Change, ChangeKind, Preference, Rule, RuleBase, Source, Threshold

Path = tuple[Anything, ...]
PARTS: dict[str, type] = {"thresholds": dict, "off": list, "replace": list, "add": list, "prefer": list}
NAMED = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)+")  # the engine keeps plain words for itself
LONGEST_REASON = 300
LONGEST_TEXTS = {"id": 80, "title": 150, "because": 1000, "remedy": 1000}
MOST_RULES = 1000  # some 5 s and 160 MB an answer; were each as long as it may be, half a minute and 850 MB
MOST_OVERRIDES = 50
MOST_PREFERENCES = 50
NOTHING = shown(None)
LONGEST_WHAT = 150


class Own(NamedTuple):
    """A rule of the shop's own, and what it changes."""

    rule: Rule
    change: Change


def change_of(preference: Preference) -> Change:
    """A preference as what the shop changes."""
    where = preference.file, preference.line
    return Change(ChangeKind.PREFERENCE, preference.id, preference.reason, *where, preference=preference)


class House(NamedTuple):
    """What could be read of a shop's changes. ``named`` are the ids of all its rules, also of those with faults."""

    document: Document
    thresholds: dict[str, Threshold]
    moved: tuple[Change, ...]
    off: tuple[Change, ...]
    replaced: tuple[Own, ...]
    added: tuple[Own, ...]
    preferred: tuple[Preference, ...]
    named: frozenset[str]


class HouseReader:
    """Reads one ``house.yaml``; what is wrong is added to the problems."""

    def __init__(self, document: Document, base: RuleBase, works: set[str], problems: list[Problem]) -> None:
        self.document, self.base, self.works, self.problems = document, base, works, problems
        self.limits = dict(base.limits)
        self.alone: dict[str, Document] = {}

    def fault(self, path: Path, field: str, found: str, wanted: str, known: Iterable[str] = (), word: str = "") -> None:
        near = nearest_word(word, known) if word and len(self.problems) < MOST_PROBLEMS else None
        self.problems.append(Problem(self.document.name, self.document.line(path), field, found, wanted, near))

    def part(self, name: str) -> Anything:
        """A part of the file, empty where it is left out or no part of that kind."""
        value = self.document.value.get(name)
        if value is None or isinstance(value, PARTS[name]):
            return value or PARTS[name]()
        wanted = "names of thresholds, each with value and reason" if PARTS[name] is dict else "a list"
        self.fault((name,), name, shown(value), wanted)
        return PARTS[name]()

    def reason(self, path: Path, name: str, entry: Mapping[str, Anything]) -> str:
        """Why the shop changes it; empty where it does not say, which is noted."""
        reason = entry.get("reason")
        told = " ".join(reason.split()).removesuffix(".") if isinstance(reason, str) else ""  # texts put it there
        if not told or not told.isprintable() or len(told) > LONGEST_REASON:
            wanted = f"why the house changes it, in at most {LONGEST_REASON} printable characters"
            self.fault((*path, "reason") if "reason" in entry else path, f"{name}.reason", shown(reason), wanted)
        return told

    def thresholds(self) -> Iterator[tuple[Threshold, Change]]:
        """The thresholds that are moved; from here on rules are read with the new values."""
        for name, entry in self.part("thresholds").items():
            path, shipped = ("thresholds", name), self.base.thresholds.get(name)
            if shipped is None:
                known = self.base.thresholds
                self.fault(path, f"thresholds.{name}", shown(name), "the name of a threshold", known, name)
            elif not isinstance(entry, dict) or set(entry) - {"value", "reason"} or "value" not in entry:
                self.fault(path, f"thresholds.{name}", _told(entry), "{value: a number, reason: why}")
            else:
                before = len(self.problems)
                value, reason = self.value(path, shipped, entry["value"]), self.reason(path, name, entry)
                if len(self.problems) == before:
                    line = self.document.line(path)
                    self.limits[name] = value
                    moved = shipped._replace(
                        value=value, source=Source(house=reason), file=self.document.name, line=line
                    )
                    yield (
                        moved,
                        Change(ChangeKind.MOVED, name, reason, self.document.name, line, shipped.value, value),
                    )

    def value(self, path: Path, shipped: Threshold, value: Anything) -> float:
        """The value of a threshold, inside its range, and whole where it counts something."""
        good = is_number(value) and shipped.least <= value <= shipped.greatest
        if not good or (shipped.unit == "count" and value != round(value)):
            self.fault((*path, "value"), f"{shipped.name}.value", shown(value), _range_of(shipped))
            return shipped.value
        return float(value)

    def off(self) -> Iterator[Change]:
        """The rules that are switched off."""
        for number, entry in enumerate(self.part("off")):
            path = ("off", number)
            if not isinstance(entry, dict) or set(entry) - {"id", "reason"} or not isinstance(entry.get("id"), str):
                self.fault(path, f"off[{number + 1}]", _told(entry), "{id: a rule, reason: why}")
                continue
            name = entry["id"]
            if name not in self.base.by_id:
                self.fault((*path, "id"), "off", shown(name), "the id of a rule", self.base.by_id, name)
            reason = self.reason(path, name, entry)
            line, rule = self.document.line(path), self.base.by_id.get(name)
            yield Change(ChangeKind.OFF, name, reason, self.document.name, line, rule=rule)

    def rules(self, part: str, kind: ChangeKind) -> Iterator[Own]:
        """The rules that are replaced or added, in the normal form with a reason; added ones say their stage."""
        entries = self.part(part)
        if len(entries) > MOST_RULES:
            wanted = f"at most {MOST_RULES}: each is asked of every way, and more take too long"
            self.fault((part,), part, f"{len(entries)} rules", wanted)
            return
        for number, entry in enumerate(entries):
            path = (part, number)
            if not isinstance(entry, dict):
                self.fault(path, f"{part}[{number + 1}]", shown(entry), "a rule in the normal form, with a reason")
                continue
            before = len(self.problems)
            name = str(entry.get("id", f"{part}[{number + 1}]"))
            stage = self.stage(path, name, entry, kind)
            reason = self.reason(path, name, entry)
            rule = self.rule(path, stage or self.stage_meant(name, entry, kind), entry)
            if rule is not None and len(self.problems) == before:
                made = rule._replace(title=" ".join(rule.title.split()), house=True, reason=reason)
                yield Own(made, Change(kind, name, reason, made.file, made.line))

    def preferences(self) -> Iterator[Preference]:
        """What the shop prefers among ways of one rating, the first before the others."""
        entries, part = self.part("prefer"), "prefer"
        if len(entries) > MOST_PREFERENCES:
            wanted = f"at most {MOST_PREFERENCES}: each is asked of every way, and nobody keeps more in mind"
            self.fault((part,), part, f"{len(entries)} preferences", wanted)
            return
        for number, entry in enumerate(entries):
            path = (part, number)
            if not isinstance(entry, dict):
                wanted = "a preference: {id: …, what: what is preferred, when: a list of conditions, reason: why}"
                self.fault(path, f"{part}[{number + 1}]", shown(entry), wanted)
                continue
            before, name = len(self.problems), str(entry.get("id", f"{part}[{number + 1}]"))
            self.own_name(path, name, entry)
            reason = self.reason(path, name, entry)
            for key in ("what", "reason"):
                self.plain_text(path, name, key, entry.get(key, ""))
            document, faults = self.part_alone(part), Faults()
            reader = PreferenceReader(document, self.base.measures, self.limits, faults)
            found = reader.preference(number, document.value[number], reason)
            self.problems += (self.hinted(problem) for problem in faults.problems)
            if found is not None and len(self.problems) == before:
                yield found

    def plain_text(self, path: Path, name: str, key: str, text: Anything) -> None:
        """Note a text that no sentence can be made of."""
        if isinstance(text, str) and ("{" in text or "}" in text):
            self.fault((*path, key), f"{name}.{key}", shown(text), "words and numbers without braces")
        elif key == "what" and isinstance(text, str) and not (len(text) <= LONGEST_WHAT and printed(text)):
            wanted = f"text of at most {LONGEST_WHAT} printable characters"
            self.fault((*path, key), f"{name}.{key}", shown(text), wanted)

    def own_name(self, path: Path, name: str, entry: Mapping[str, Anything]) -> None:
        """Note an id that a rule of the house cannot have."""
        if not NAMED.fullmatch(name) or len(name) > LONGEST_TEXTS["id"]:
            wanted = "an id of plain small words with hyphens, such as our-own-rule"
            self.fault((*path, "id") if "id" in entry else path, name, shown(entry.get("id")), wanted)

    def stage(self, path: Path, name: str, entry: Mapping[str, Anything], kind: ChangeKind) -> str | None:
        """The stage of a rule: that of the one it replaces, or the one it says; none where that is a fault."""
        if kind is ChangeKind.REPLACED:
            shipped, said = self.base.by_id.get(name), entry.get("stage")
            if shipped is None:
                self.fault((*path, "id"), name, shown(name), "the id of a rule to replace", self.base.by_id, name)
            elif said is not None and said != shipped.stage:
                self.fault((*path, "stage"), f"{name}.stage", shown(said), f"{shipped.stage}, as the one it replaces")
            return shipped.stage if shipped else None
        self.own_name(path, name, entry)
        stage = entry.get("stage")
        if stage not in STAGES:
            word = stage if isinstance(stage, str) else ""
            where = (*path, "stage") if "stage" in entry else path
            self.fault(where, f"{name}.stage", shown(stage), f"one of {', '.join(STAGES)}", STAGES, word)
            return None
        return str(stage)

    def stage_meant(self, name: str, entry: Mapping[str, Anything], kind: ChangeKind) -> str:
        """The stage that a rule without one most likely has, so that its other faults are told as well."""
        if kind is ChangeKind.REPLACED and (near := nearest_word(name, self.base.by_id)):
            return self.base.by_id[near].stage
        near = nearest_word(str(entry.get("stage", "")), STAGES)
        only = [stage for stage, verdicts in VERDICTS_OF_STAGE.items() if [*verdicts] == [entry.get("verdict")]]
        return near or ["clearing", *only][-1]

    def rule(self, path: Path, stage: str, entry: Mapping[str, Anything]) -> Rule | None:
        """The rule itself, read like a shipped one."""
        for key, longest in LONGEST_TEXTS.items():
            text = entry.get(key, "")
            if not isinstance(text, str) or not " ".join(text.split()).isprintable() or len(text) > longest:
                wanted = f"text of at most {longest} printable characters"
                self.fault((*path, key), f"{entry.get('id')}.{key}", shown(text), wanted)
        if isinstance(overrides := entry.get("overrides"), list) and len(overrides) > MOST_OVERRIDES:
            wanted = f"at most {MOST_OVERRIDES}"
            self.fault((*path, "overrides"), f"{entry.get('id')}.overrides", f"{len(overrides)} of them", wanted)
        if not str(entry.get("source")).isprintable():
            self.fault(
                (*path, "source"),
                f"{entry.get('id')}.source",
                "characters that cannot be shown",
                "printable characters",
            )
        part, number = path
        document, faults = self.part_alone(part), Faults()
        reader = RuleReader(document, stage, self.base.measures, self.limits, self.works, faults)
        rule = reader.rule(number, document.value[number])
        self.problems += (self.hinted(problem) for problem in faults.problems)
        return rule

    def part_alone(self, part: str) -> Document:
        """A part of the file as a file of rules in the normal form, with the lines where they stand."""
        if part not in self.alone:
            lines = {place[1:]: line for place, line in self.document.lines.items() if place[:1] == (part,)}
            texts = {place[1:]: text for place, text in self.document.texts.items() if place[:1] == (part,)}
            entries = [plain(entry) for entry in self.part(part)]
            self.alone[part] = Document(self.document.name, entries, lines, texts)
        return self.alone[part]

    def hinted(self, problem: Problem) -> Problem:
        """A problem with the nearest known word to what was found, where one is near."""
        if len(self.problems) >= MOST_PROBLEMS:  # nobody reads it
            return problem
        known = {*self.base.measures, *self.limits, *self.works}
        word = "" if problem.found.strip("{}") in (*known, NOTHING) else problem.found.strip("{}")
        return Problem(
            problem.file, problem.line, problem.field, problem.found, problem.wanted, nearest_word(word, known)
        )


def read_house(document: Document, base: RuleBase, works: set[str], problems: list[Problem]) -> House:
    """What a shop's file changes, as far as it can be read; what is wrong with it is added to the problems."""
    reader = HouseReader(document, base, works, problems)
    value = document.value
    if not isinstance(value, dict):
        reader.fault((), "", shown(value), f"any of {listed(PARTS)}")
        return House(document, {}, (), (), (), (), (), frozenset())
    for strange in set(value) - set(PARTS):
        reader.fault((strange,), strange, f"{shown(strange)} as a field", f"any of {listed(PARTS)}", PARTS, strange)
    moved = list(reader.thresholds())
    off = tuple(reader.off())
    replaced, added = tuple(reader.rules("replace", ChangeKind.REPLACED)), tuple(reader.rules("add", ChangeKind.ADDED))
    preferred = tuple(reader.preferences())
    named = {
        str(entry.get("id")) for part in ("replace", "add") for entry in reader.part(part) if isinstance(entry, dict)
    }
    thresholds, changes = {threshold.name: threshold for threshold, _ in moved}, tuple(change for _, change in moved)
    return House(document, thresholds, changes, off, replaced, added, preferred, frozenset(named))


def plain(entry: Anything) -> Anything:
    """A rule without what only house rules say: its normal form."""
    if not isinstance(entry, dict):
        return entry
    return {key: value for key, value in entry.items() if key not in ("reason", "stage")}


def printed(text: str) -> bool:
    """Whether a text can be shown, line ends aside."""
    return " ".join(text.split()).isprintable()


def _range_of(shipped: Threshold) -> str:
    """What a threshold may be moved to, and why no further."""
    unit = {"": "", "share": "", "count": " as a whole number"}.get(shipped.unit, f" {shipped.unit}")
    why = f" ({shipped.beyond})" if shipped.beyond else ""
    return f"{shipped.least:g} to {shipped.greatest:g}{unit}{why}; shipped: {shipped.value:g}"


def _told(entry: Anything) -> str:
    """A mapping by its fields, anything else as it is."""
    return f"the fields {listed(map(shown, entry))}" if isinstance(entry, dict) and entry else shown(entry)
