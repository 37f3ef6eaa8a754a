"""How numbers, units and reasons are written: short, with units, and never rounded past the comparison they stand
for.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from math import ceil, floor, log10

from advisor.files.unit_scales import MARKED, WHOLE_TO, in_prose, scale_of
from advisor.knowledge.conditions import OPERATORS, Compare, Facts, Known, Value
from advisor.knowledge.measures import Measure
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.trade_words import trade_words

FIGURES = 3
MOST_FIGURES = 7
GAP = "\u00a0"
PLACEHOLDER = re.compile(r"\{(\w+)(?::(\w+))?\}")  # {DC}, or {levels:level} for "1 level", "2 levels"
LONE_BRACE = re.compile(r"[{}][\w: ]{0,40}\}?|\w{0,40}\}")
ONE_OF_MANY = re.compile(r"(?<![\d.,])\b1 diameters\b")
TO_FILL = re.compile(r"(\b[Aa] )?" + PLACEHOLDER.pattern)  # with its article
SAME_TWICE = re.compile(r"(?<![\w.])(\d[\d.]*\s[\w·]+) to \1(?!\w)")  # a range with nothing in it: 39.2 mm to 39.2 mm
SPOKEN_VOWEL = re.compile(r"[aeio]|8|1[18](?!\d)", re.IGNORECASE)  # an inserted mill, an 8 mm drill; not: a unit
CLAUSE_END = re.compile(r"(?<=[.;]) ")
IN_WORDS = {"<": "below", "<=": "at most", ">": "above", ">=": "at least", "=": "of", "!=": "other than"}
TENTHS_BELOW = 10  # s: a time is told in whole seconds from here on, in tenths below
WHOLE = ("1/min",)  # shown without a part, but where that tells two numbers apart
TYPED_EXACT = {"deg": 2}  # decimals that a setting of this unit is never rounded beyond, since it is typed
GIVEN_FIGURES = 6
DOWN, UP, NEAREST = "down", "up", ""
MOST_DECIMALS = 10
NO_DIFFERENCE = 1e-6  # share: a typed length that is turned into other units and back is off by less
SAME = 1e-5  # share: two numbers that differ by less are told as equal
NOISE = 1e-6  # of a step: what the arithmetic of a computer leaves


def in_words(name: str) -> str:
    """An identifier as words: ``inserted_high_feed_mill`` is an inserted high-feed mill."""
    for word in trade_words().hyphens:
        name = name.replace(word.replace("-", "_"), word)
    return name.replace("_", " ")


def number(value: float, figures: int = FIGURES) -> str:
    """A number with three significant figures, no exponent, thousands set apart by a no-break space."""
    if value == 0:
        return "0"
    text = f"{value:.{figures}g}"
    if "e" in text:
        text = f"{float(text):.10f}".rstrip("0").rstrip(".") if abs(value) < 1 else f"{float(text):.0f}"
    return _set_apart(text)


def _set_apart(text: str) -> str:
    """Digits with a minus sign and their thousands set apart by a no-break space."""
    sign, digits = ("\u2212", text[1:]) if text.startswith("-") else ("", text)
    whole, dot, rest = digits.partition(".")
    if len(whole) > 3:
        whole = f"{int(whole):,}".replace(",", GAP)
    return f"{sign}{whole}{dot}{rest}"


def exact(value: float, decimals: int, figures: int = FIGURES, towards: str = NEAREST) -> str:
    """A number with no fewer decimals than these nor fewer figures, closing zeros left out.

    ``towards`` says which way it is rounded: ``down`` towards zero, as a depth or a width is, so that what is typed
    never cuts deeper than planned; ``up`` away from it, as an allowance is; else to the nearest.
    """
    if value == 0:
        return "0"
    places = min(MOST_DECIMALS, max(decimals, figures - 1 - floor(log10(abs(value)))))
    steps = abs(value) * 10.0**places
    if towards == DOWN:
        steps = floor(steps * (1 + 1e-12) + NOISE)
    elif towards == UP:
        steps = ceil(steps * (1 - 1e-12) - NOISE)
    text = f"{steps / 10.0**places:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return _set_apart(f"-{text}" if value < 0 and text != "0" else text)


def length(value: float, towards: str = NEAREST) -> str:
    """A length [mm] without its unit, exact to what a machine takes."""
    return quantity(value, "mm", typed=towards, bare=True)


def label_length(value: float) -> str:
    """A length [mm] without its unit, as the parts of a cutter are labelled with it."""
    scale = scale_of("mm")
    return number(value * scale.factor, scale.figures)


def given(value: float, unit: str = "mm", bare: bool = False) -> str:
    """A number as it was given: nothing of it is rounded away; ``bare`` leaves out the unit.

    One that was given in other units than it is shown in, and is no round number in these, is told to what a machine
    takes.
    """
    scale = scale_of(unit)
    shown = value * scale.factor
    if not scale.rounds_given:
        return quantity(value, unit, GIVEN_FIGURES, bare=bare)
    if abs(shown - (meant := round(shown, GIVEN_FIGURES))) > WHOLE_TO:
        return quantity(value, unit, bare=bare)
    text = exact(meant, GIVEN_FIGURES)
    return text if bare else f"{text}{GAP}{scale.unit}"


def stepped(value: float, unit: str, towards: str = NEAREST, figures: int = MOST_FIGURES) -> str:
    """A number with its unit that was found in steps, to its last figure, or in other units to the places of these.

    One that is the first beyond a limit is rounded ``towards`` what lies beyond: ``down`` or ``up``.
    """
    scale = scale_of(unit)
    if scale.factor != 1:
        return f"{exact(value * scale.factor, scale.places, 1, towards)}{GAP}{scale.unit}"
    return quantity(value if towards else round(value, scale.places), unit, figures)


def share_of(part: float, whole: float, unit: str) -> str:
    """What is asked of what there is, with the unit once: ``2.28 of 15 kW``."""
    return f"{quantity(part, unit, bare=True)} of {quantity(whole, unit)}"


def quantity(value: Value, unit: str, figures: int = FIGURES, typed: str | None = None, bare: bool = False) -> str:
    """A value of one of our units in the unit that it is shown in; a share is shown in per cent, a count as a whole
    number, a word without underscores; ``bare`` leaves out the unit.

    Lengths, feeds and speeds are exact to what a machine takes. ``typed`` says which way one that is typed is rounded.
    """
    if isinstance(value, str):
        return in_words(value)
    if unit == "share":
        return f"{number(value * 100, figures)}{GAP}%"
    if unit == "count":
        return number(round(value), MOST_FIGURES)
    if unit == "s" and figures <= FIGURES and 0 < abs(value) < 10**FIGURES:
        told = exact(value, 0 if abs(value) >= TENTHS_BELOW else 1, 1)
        return told if bare else f"{told}{GAP}s"
    scale = scale_of(unit)
    value, decimals = value * scale.factor, scale.decimals
    if decimals is None and typed is not None:
        decimals = TYPED_EXACT.get(unit)
    if figures <= FIGURES and (unit in WHOLE or (typed == UP and scale.stops_at_decimals)):
        figures = 1
    shown = number(value, figures) if decimals is None else exact(value, decimals, figures, typed or NEAREST)
    if bare or not unit:
        return shown
    return f"{shown}°" if unit == "deg" else f"{shown}{GAP}{scale.unit}"


def apart(value: float, limit: float, unit: str, typed: str | None = None) -> tuple[str, str]:
    """Both numbers with as many figures as it takes to tell them apart (1.149 against 1.15)."""
    for figures in range(FIGURES, MOST_FIGURES + 1):
        shown = quantity(value, unit, figures, typed), quantity(limit, unit, figures, typed)
        if shown[0] != shown[1] or abs(value - limit) <= NO_DIFFERENCE * abs(limit):
            return shown
    return shown


def value_text(measure: Measure, value: Value) -> str:
    """A value of a measure as text with unit; a name exactly as it is spelt."""
    return value if measure.named and isinstance(value, str) else quantity(value, measure.unit, typed=measure.typed)


def looks_equal(one: float, other: float, unit: str) -> bool:
    """Whether two numbers are shown alike, so that one must not be compared with the other."""
    return quantity(one, unit) == quantity(other, unit)


def fact_text(
    base: RuleBase, fact: str, facts: Facts, limit: Compare | None = None, others: Collection[float] = ()
) -> str:
    """The value of a fact as text with unit, told apart from the limit it was compared with and from ``others``."""
    if fact not in facts:
        return "not given"
    value, measure = facts[fact], base.measures[fact]
    if limit is not None and not isinstance(value, str) and not isinstance(limit.value, str):
        return apart(value, limit.value, measure.unit, measure.typed)[0]
    if isinstance(value, str) or not others:
        return value_text(measure, value)
    return max((apart(value, other, measure.unit, measure.typed)[0] for other in others), key=len)


def _beside(base: RuleBase, fact: str, template: str, facts: Facts) -> list[float]:
    """The other numbers of a text that have the unit of a fact, and differ from it."""
    value, unit = facts.get(fact), base.measures[fact].unit
    if value is None or isinstance(value, str) or unit in ("", "count"):
        return []
    names = {name for name, _ in PLACEHOLDER.findall(template) if name in base.measures} - {fact}
    found = [facts[name] for name in names if name in facts and base.measures[name].unit == unit]
    return [other for other in found if not isinstance(other, str) and abs(other - value) > SAME * abs(value)]


def counted(shown: str, noun: str) -> str:
    """A number with its noun, in the plural unless it is one."""
    plural = f"{noun}es" if noun.endswith(("s", "sh", "ch")) else f"{noun}s"
    return f"{shown}{GAP}{noun if shown == '1' else plural}"


def capitalised(text: str) -> str:
    """A text with its first letter as that of a sentence."""
    return text[:1].upper() + text[1:]


def lower_first(text: str) -> str:
    """A sentence as it stands behind a colon."""
    return text[:1].lower() + text[1:]


def misnamed(text: str, names: Collection[str]) -> Iterator[tuple[str, str]]:
    """What cannot be filled in a rule's text: what was found and what is wanted, for each wrong name or lone brace."""
    for word, _ in PLACEHOLDER.findall(text):
        if word not in names:
            yield f"{{{word}}}", "the name of a measure or a threshold"
    if alone := LONE_BRACE.search(MARKED.sub("", PLACEHOLDER.sub("", text))):
        wanted = "one name of a measure or a threshold between { and }, such as {depth_ratio}"
        yield f"{alone[0]!r} that belongs to no such name", wanted


def fill(base: RuleBase, rule: Rule, template: str, facts: Facts) -> str:
    """A rule's text with this feature's numbers put in, without the clauses whose numbers are not known; the rule's
    title where nothing is left of its reason.
    """
    limits = rule.limits
    reason = rule.because if rule.because and template.startswith(rule.because) else ""
    said = _known_clauses(base, reason, facts) or (f"{rule.title}." if reason else "")
    template = f"{said} {_known_clauses(base, template[len(reason) :].strip(), facts)}".strip()

    def put(match: re.Match[str]) -> str:
        article, name, noun = match.groups()
        if name in base.measures:
            shown = fact_text(base, name, facts, limits.get(name), _beside(base, name, template, facts))
            shown = counted(shown, noun) if noun else shown
        else:
            threshold = base.thresholds[name]
            shown = quantity(threshold.value, threshold.unit)
        return with_article(shown, article[0]) if article else shown

    return ONE_OF_MANY.sub("1 diameter", SAME_TWICE.sub(r"\1", in_prose(TO_FILL.sub(put, template))))


def with_article(shown: str, article: str = "a") -> str:
    """A word or number with ``a`` or ``an`` before it, as it is spoken: a 10 mm drill, an 8 mm drill."""
    return f"{article}{'n' if SPOKEN_VOWEL.match(shown) else ''} {shown}"


def _known_clauses(base: RuleBase, template: str, facts: Facts) -> str:
    """The clauses of a text whose numbers are known, or are asked for as what somebody could have given."""

    def known(clause: str) -> bool:
        return all(
            match[2] in facts
            or match[2] not in base.measures
            or _may_be_absent(base, match[2], clause[: match.start()])
            for match in TO_FILL.finditer(clause)
        )

    clauses = CLAUSE_END.split(template)
    kept = [place for place, clause in enumerate(clauses) if known(clause)]
    if len(kept) == len(clauses):
        return template
    told = [clauses[place] for place in kept]
    for at, place in enumerate(kept):  # what ended a sentence may be gone
        following = kept[at + 1] if at + 1 < len(kept) else len(clauses)
        if told[at].endswith(";") and any(not clause.endswith(";") for clause in clauses[place + 1 : following]):
            told[at] = f"{told[at].removesuffix(';')}."
        if place > 0 and (at == 0 or told[at - 1].endswith(".")):
            told[at] = capitalised(told[at])
    return " ".join(told)


def _may_be_absent(base: RuleBase, name: str, before: str) -> bool:
    """Whether a text may say that a fact is not given: one of drawing or crib, after what names it."""
    measure = base.measures[name]
    return measure.level != "candidate" and not measure.formulas and before.endswith((": ", " is "))


def wanted_text(base: RuleBase, leaf: Compare, facts: Mapping[str, Value]) -> str:
    """What a comparison asks for beside what there is: ``depth ratio at least 1, here 0.625``."""
    name, value = leaf.fact.replace("_kind", "").replace("_", " "), facts.get(leaf.fact)
    measure = base.measures[leaf.fact]
    if isinstance(value, str) or isinstance(leaf.value, str):
        wanted, here = "" if leaf.operator == "=" else "not ", "none" if value is None else value_text(measure, value)
        return f"{name} {wanted}{value_text(measure, leaf.value)}, here {here}"
    unit = measure.unit
    if value is None:
        return f"{name} {IN_WORDS[leaf.operator]} {quantity(leaf.value, unit)}, here not known"
    shown, limit = apart(value, leaf.value, unit)
    return f"{name} {IN_WORDS[leaf.operator]} {limit}, here {shown}"


def known_text(leaf: Known, verb: str = "is", word: str = "known") -> str:
    """A condition on the presence or absence of a fact: ``corner radius is not known``; without the ``verb`` as what is
    wanted.
    """
    return " ".join(part for part in (in_words(leaf.fact), verb, "" if leaf.present else "not", word) if part)


def comparison_text(base: RuleBase, leaf: Compare, facts: Mapping[str, Value]) -> str:
    """A comparison with the value it met: ``width ratio 1.21 < 1.35 (loop_width_ratio_least)``."""
    measure = base.measures[leaf.fact]
    value = facts.get(leaf.fact)
    name = leaf.fact.replace("_", " ")
    if value is None:
        return f"{name} not given"
    if isinstance(value, str) or isinstance(leaf.value, str):
        met = OPERATORS[leaf.operator](value, leaf.value)
        here, wanted = value_text(measure, value), value_text(measure, leaf.value)
        if leaf.operator == "=":
            return f"{name} is {here}{'' if met else f', not {wanted}'}"
        return f"{name} is {here}{f', not {wanted}' if met else ', as it must not be'}"
    shown, limit = apart(value, leaf.value, measure.unit)
    met = OPERATORS[leaf.operator](value, leaf.value)
    named = f" ({leaf.threshold})" if leaf.threshold else ""
    return f"{name} {shown} {leaf.operator} {limit}{named}{'' if met else ': not so'}"
