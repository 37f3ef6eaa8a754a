"""A small house file that is read, to copy from where another was not: fitted to what was tried there.

What of the tried entry is sound is kept: its id, stage, verdict, comparisons and texts; the rest is put in. Every
sample is read before it is given, and where a closer one has a fault itself a plainer one takes its place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any as Anything

from advisor.files.checking import value_at
from advisor.files.problems import BadInput, Problem, nearest_word
from advisor.files.yaml_reader import Document, YamlPath, parse_yaml
from advisor.files.yaml_writer import yaml_text
from advisor.knowledge.conditions import (
    COMPARISON,
    All,
    Any,
    Compare,
    Condition,
    ConditionError,
    Facts,
    Value,
    holds,
    is_number,
    parse,
)
from advisor.knowledge.house_files import LONGEST_REASON, LONGEST_TEXTS, LONGEST_WHAT, NAMED, PARTS, printed
from advisor.knowledge.measures import EARLY, JUDGING, LEVELS, RANKING, STAGES, Measure
from advisor.knowledge.rule_reader import VERDICTS_OF_STAGE
from advisor.knowledge.schema import WEIGHTS, Rule, RuleBase
from advisor.knowledge.wording import PLACEHOLDER, misnamed

HEAD = "# To copy: a small house.yaml without faults."
WIDTH = 90
USUAL = {"appraisal": "concludes", "settings": "concludes", "caution": "cautions", "review": "finds"}
MOST_LEAVES = 3
REASON = "why the shop wants it so"
Sound = Callable[[str], bool]


def sample(document: Document, base: RuleBase, problems: Sequence[Problem], sound: Sound) -> str:
    """A file like the one tried that ``sound`` tells to be without fault, with an entry for each part that has faults;
    empty where there is none.
    """
    told = ""
    for part, path in _tried(document, problems).items():
        held = value_at(document.value, path) if path else None
        entry = {str(key): value for key, value in held.items()} if isinstance(held, dict) else {}
        name = str(path[1]) if part == "thresholds" and path else str(entry.get("id", held))
        for found in _samples(part, entry, name, base):
            text = found if isinstance(found, str) else _text_of(found)
            if sound(text) and sound(told + text):
                told += text
                break
    return f"{HEAD}\n{told}" if told else ""


def _text_of(value: Mapping[str, Anything]) -> str:
    """A part as text; ``off`` is no truth value to our reader, and needs no quotes."""
    return yaml_text(dict(value), flow=None, width=WIDTH).replace("'off':", "off:", 1)


def _tried(document: Document, problems: Sequence[Problem]) -> dict[str, YamlPath]:
    """The parts of a file that have faults, each with the path of its first entry that has one, if it has entries."""
    places = sorted(
        (line, len(path), path)
        for path, line in document.lines.items()
        if len(path) in (1, 2) and path[0] in PARTS and isinstance(path[-1], str if len(path) == 1 else str | int)
    )
    found: dict[str, YamlPath] = {}
    for problem in problems:
        before = [path for line, _, path in places if problem.line is not None and line <= problem.line]
        if before:
            part, path = str(before[-1][0]), before[-1] if len(before[-1]) == 2 else ()
            found[part] = found.get(part) or path
    return found or {"add": ()}


def _samples(
    part: str, entry: Mapping[str, Anything], name: str, base: RuleBase
) -> Iterator[dict[str, Anything] | str]:
    """Samples of a part, the one that is most like what was tried first."""
    if part == "thresholds":
        yield from _thresholds(entry, name, base)
    elif part == "off":
        yield from ({"off": [{"id": found, "reason": _reason(entry)}]} for found in (*_rules(name, base), *base.by_id))
    elif part == "replace":
        yield from (_replacing(base.by_id[found], entry) for found in (*_rules(name, base), *base.by_id))
    elif part == "prefer":
        yield {"prefer": [_preference(entry, base)]}
        yield {"prefer": [_preference({}, base)]}
    else:
        yield {"add": [_rule(entry, base)]}
        yield {"add": [_rule({"stage": entry.get("stage")}, base)]}
        yield {"add": [_rule({}, base)]}


def _reason(entry: Mapping[str, Anything]) -> str:
    return _text(entry, "reason", LONGEST_REASON) or REASON


def _text(entry: Mapping[str, Anything], key: str, longest: int) -> str:
    """A text of the entry, if it is one that is taken."""
    text = entry.get(key)
    good = isinstance(text, str) and 0 < len(text) <= longest and printed(text)
    return " ".join(text.split()) if good and isinstance(text, str) else ""


def _rules(name: str, base: RuleBase) -> tuple[str, ...]:
    """The shipped rule that is meant by a name, if one is like it."""
    found = name if name in base.by_id else nearest_word(name, base.by_id)
    return () if found is None else (found,)


def _thresholds(entry: Mapping[str, Anything], name: str, base: RuleBase) -> Iterator[dict[str, Anything]]:
    """The threshold that was meant with the value that was tried, as near as its range allows, else as shipped."""
    near = name if name in base.thresholds else nearest_word(name, base.thresholds)
    threshold = base.thresholds[near or next(iter(base.thresholds))]
    tried = entry.get("value")
    values = [threshold.value]
    if is_number(tried):
        inside = min(max(float(tried), threshold.least), threshold.greatest)
        values.insert(0, float(round(inside)) if threshold.unit == "count" else inside)
    for value in values:
        yield {"thresholds": {threshold.name: {"value": _number(value), "reason": _reason(entry)}}}


def _number(value: float) -> float | int:
    return int(value) if value == int(value) else value


def _replacing(rule: Rule, entry: Mapping[str, Anything]) -> str:
    """The shipped rule as it stands in its file, with a reason: what is other is to be changed in it."""
    try:
        lines = Path(rule.file).read_text(encoding="utf-8").splitlines()
    except OSError:
        return ""
    first = (rule.line or 1) - 1
    last = next((at for at in range(first + 1, len(lines)) if lines[at].startswith("- ")), len(lines))
    own = [line for line in lines[first:last] if not line.startswith("#")]
    while own and not own[-1].strip():
        own.pop()
    reason = yaml_text({"reason": _reason(entry)}, width=2 * LONGEST_REASON).strip()
    return "\n".join(["replace:", *(f"  {line}" for line in (*own, f"  {reason}"))]) + "\n"


def _preference(entry: Mapping[str, Anything], base: RuleBase) -> dict[str, Anything]:
    about, leaves = _asked(entry, RANKING, base)
    facts = {*about, *(leaf.fact for leaf in leaves)}
    if all(base.measures[fact].level == LEVELS[0] for fact in facts):
        about = about | {"method": ["layered_pocketing"]}
    what = _text(entry, "what", LONGEST_WHAT)
    found: dict[str, Anything] = {"id": _id(entry, base, "our-own-preference")}
    usual = "layers" if set(facts) <= {"method"} else "these ways"
    found["what"] = what if what and not set(what) & set("{}") else usual
    if about:
        found["about"] = {fact: words[0] if len(words) == 1 else words for fact, words in about.items()}
    if leaves:
        found["when"] = [_written(leaf) for leaf in leaves]
    reason = _reason(entry)
    return found | {"reason": REASON if set(reason) & set("{}") else reason}


def _id(entry: Mapping[str, Anything], base: RuleBase, usual: str) -> str:
    name = entry.get("id")
    good = isinstance(name, str) and NAMED.fullmatch(name) and len(name) <= LONGEST_TEXTS["id"]
    return str(name) if good and name not in base.by_id else usual


def _rule(entry: Mapping[str, Anything], base: RuleBase) -> dict[str, Anything]:
    """A rule with what of the entry is sound."""
    tried = entry.get("stage")
    stage = tried if tried in STAGES else nearest_word(str(tried or ""), STAGES) or "clearing"
    verdict = entry.get("verdict")
    if verdict not in VERDICTS_OF_STAGE[stage] or (verdict == "concludes" and stage not in EARLY):
        verdict = USUAL.get(stage, "against")
    about, leaves = _asked(entry, stage, base)
    if not about and not leaves:
        about, leaves = {"method": ["ramped_slotting"]}, [Compare("depth_ratio", ">", 2.5)]
        if stage in EARLY:
            about, leaves = {"group": ["K"]}, [Compare("DC", ">", 10.0)]
    found: dict[str, Anything] = {
        "id": _id(entry, base, "our-own-rule"),
        "title": _text(entry, "title", LONGEST_TEXTS["title"]) or "We do it our own way",
        "stage": stage,
        "reason": _reason(entry),
    }
    if about:
        found["about"] = {fact: words[0] if len(words) == 1 else words for fact, words in about.items()}
    if leaves:
        found["when"] = [_written(leaf) for leaf in leaves]
    found["verdict"] = verdict
    if verdict == "finds":
        found["weight"] = entry["weight"] if entry.get("weight") in WEIGHTS else WEIGHTS[-1]
    if verdict == "concludes":
        found |= _conclusion(entry, stage, base)
    found["because"] = _because(entry, leaves, base)
    found["source"] = {"common_practice": True}
    return found | {"examples": _examples(about, leaves, base)}


def _because(entry: Mapping[str, Anything], leaves: Sequence[Compare], base: RuleBase) -> str:
    text = _text(entry, "because", LONGEST_TEXTS["because"])
    names = {*base.measures, *base.thresholds}
    known = all(match.group(1) in names for match in PLACEHOLDER.finditer(text))
    if text and known and not list(misnamed(text, names)):
        return text
    numbers = [leaf.fact for leaf in leaves if base.measures[leaf.fact].numeric]
    return f"At {{{numbers[0]}}} our shop does otherwise." if numbers else "Our shop does otherwise here."


def _conclusion(entry: Mapping[str, Anything], stage: str, base: RuleBase) -> dict[str, Anything]:
    """What a rule concludes, before the shipped rules that conclude otherwise."""
    tried = entry.get("concludes")
    fact, value = (tried.get("fact"), tried.get("value")) if isinstance(tried, dict) else (None, None)
    rules = [rule for rule in base.of(stage) if rule.concludes is not None]
    facts = {rule.concludes[0]: rule for rule in rules if rule.concludes}
    near = fact if fact in facts else nearest_word(str(fact or ""), facts) or "side_allowance_usual"
    shipped = facts.get(near) or rules[0]
    near, own, _ = shipped.concludes or ("", 0.0, None)
    measure = base.measures[near]
    if measure.numeric and is_number(value):
        own = float(value)
    elif isinstance(value, str) and measure.can_be(value):
        own = value
    others = [rule.id for rule in rules if rule.concludes and rule.concludes[0] == near and rule.concludes[1] != own]
    told = {"concludes": {"fact": near, "value": _number(own) if isinstance(own, float) else own}}
    return told | ({"overrides": others} if others else {})


def _asked(entry: Mapping[str, Anything], stage: str, base: RuleBase) -> tuple[dict[str, list[str]], list[Compare]]:
    """What of an entry's condition is sound in a stage: facts of words with their words, and comparisons."""
    about: dict[str, list[str]] = {}
    tried = entry.get("about")
    for fact, words in tried.items() if isinstance(tried, dict) else ():
        measure = _meant(str(fact), stage, base)
        if measure is not None and not measure.numeric:
            near = [_word(measure, word) for word in (words if isinstance(words, list) else [words])]
            if good := [word for word in dict.fromkeys(near) if word is not None]:
                about[measure.name] = good
    leaves = list[Compare]()
    when = entry.get("when")
    for item in when if isinstance(when, list) else [when]:
        leaf = _leaf(item, stage, base) if isinstance(item, str) else None
        if leaf is not None and leaf.fact not in (*about, *(other.fact for other in leaves)):
            leaves.append(leaf)
    return about, leaves[:MOST_LEAVES]


def _meant(name: str, stage: str, base: RuleBase) -> Measure | None:
    """The fact that is meant by a name, if rules of the stage may read it."""
    near = name if name in base.measures else nearest_word(name, base.measures)
    if near is None:
        return None
    measure = base.measures[near]
    since, last = STAGES.index(measure.since), STAGES.index(JUDGING[-1] if stage == RANKING else stage)
    late = since > last or (measure.concluded and since == last and stage != RANKING)
    level = stage in EARLY and LEVELS.index(measure.level) > LEVELS.index("cutter")
    return None if late or level else measure


def _word(measure: Measure, word: object) -> str | None:
    text = str(word)
    return text if measure.can_be(text) else nearest_word(text, measure.words)


def _leaf(text: str, stage: str, base: RuleBase) -> Compare | None:
    """The comparison that is meant by a text, with names set right."""
    match = COMPARISON.match(text.replace("==", "=").replace("=>", ">=").replace("=<", "<="))
    measure = _meant(match["fact"], stage, base) if match else None
    if match is None or measure is None:
        return None
    value = match["word"] or match["double"] or match["single"]
    if measure.numeric:
        named = value if value in base.limits else nearest_word(value, base.limits)
        try:
            leaf = parse(f"{measure.name} {match['operator']} {value}", base.limits)
            if isinstance(leaf, Compare) and isinstance(leaf.value, str) and named is not None:
                leaf = parse(f"{measure.name} {match['operator']} {named}", base.limits)
        except ConditionError:
            return None
        return leaf if isinstance(leaf, Compare) and isinstance(leaf.value, float) else None
    word = _word(measure, value)
    return (
        None if word is None or match["operator"] not in ("=", "!=") else Compare(measure.name, match["operator"], word)
    )


def _written(leaf: Compare) -> str:
    value = leaf.threshold or (f"{leaf.value:g}" if isinstance(leaf.value, float) else leaf.value)
    quoted = isinstance(leaf.value, str) and not value.isidentifier()
    return f"{leaf.fact} {leaf.operator} " + (f'"{value}"' if quoted else value)


def _examples(about: Mapping[str, Sequence[str]], leaves: Sequence[Compare], base: RuleBase) -> dict[str, Anything]:
    """Facts under which the condition holds, and others under which it does not."""
    conditions: list[Condition] = [
        Any(tuple(Compare(fact, "=", word) for word in words)) for fact, words in about.items()
    ]
    condition = All((*conditions, *leaves))
    fires: dict[str, Value] = {fact: words[0] for fact, words in about.items()}
    fires |= {leaf.fact: _value(leaf, base.measures[leaf.fact], True) for leaf in leaves}
    for leaf in leaves:
        silent = fires | {leaf.fact: _value(leaf, base.measures[leaf.fact], False)}
        if not holds(condition, silent):
            return {"fires": [_shown(fires)], "silent": [_shown(silent)]}
    for fact, words in about.items():
        other = next((word for word in (*base.measures[fact].words, "another") if word not in words), "another")
        return {"fires": [_shown(fires)], "silent": [_shown(fires | {fact: other})]}
    return {"fires": [_shown(fires)], "silent": [_shown(fires)]}


def _shown(facts: Facts) -> dict[str, Anything]:
    return {fact: _number(value) if isinstance(value, float) else value for fact, value in facts.items()}


def _value(leaf: Compare, measure: Measure, met: bool) -> Value:
    """A value with which a comparison holds, or does not."""
    if isinstance(leaf.value, str):
        others = [word for word in (*measure.words, "another") if word != leaf.value]
        return leaf.value if (leaf.operator == "=") is met else others[0]
    step = max(0.01, round(abs(leaf.value) / 20, 2))
    tries = (leaf.value, round(leaf.value + step, 4), round(leaf.value - step, 4))
    return next((value for value in tries if holds(leaf, {leaf.fact: value}) is met), leaf.value)


def sound_by(check: Callable[[Document], Sequence[Problem]]) -> Sound:
    """Whether a text is a house file without fault, as ``check`` tells of its document."""

    def sound(text: str) -> bool:
        try:
            return not check(parse_yaml(text, "house.yaml"))
        except BadInput:
            return False

    return sound
