"""How numbers and reasons are written: short, with units, and never rounded past the comparison they stand for."""

import re
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.choosing import ranking
from advisor.choosing.ranking import standing
from advisor.knowledge.conditions import Compare, Facts, Known, quantise
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import (
    PLACEHOLDER,
    apart,
    comparison_text,
    fact_text,
    fill,
    known_text,
    number,
    quantity,
    with_article,
)
from advisor.model.answer import FeatureAdvice
from tests.cases import worked

BASE = rule_base()
GAP = "\u00a0"

# Where the words "not given" are what the sentence means to say.
SAID_ON_PURPOSE = {
    *(
        (rule, "assumed_reach") for rule in ("shank-rubs", "drill-shank-beside-higher-stock", "little-reach-left")
    ),  # else a fact of the crib
    ("cutter-cannot-ramp", "RMPX"),
    ("stop-with-a-skin", "clearance_below"),
    ("marked-speed", "RPMX"),
}


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (12, "12"),
        (12.34, "12.3"),
        (0.01234, "0.0123"),
        (123.4, "123"),
        (999.96, f"1{GAP}000"),
        (1234, f"1{GAP}230"),
        (12000, f"12{GAP}000"),
        (1234567, f"1{GAP}230{GAP}000"),
        (-0.5, "−0.5"),
        (-1234, f"−1{GAP}230"),
        (0.00001234, "0.0000123"),
        (1e-12, "0"),
    ],
)
def test_a_number_has_three_figures_and_its_thousands_apart(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12, "mm", f"12{GAP}mm"),
        (0.153, "share", f"15.3{GAP}%"),
        (3, "count", "3"),
        (2.9999, "count", "3"),
        (12, "deg", "12°"),
        (1.35, "", "1.35"),
        (4.25, "kW", f"4.25{GAP}kW"),
        ("slot", "", "slot"),
        ("closed_pocket", "", "closed pocket"),
        (4, "m/s²", f"4{GAP}m/s²"),
    ],
)
def test_a_quantity_carries_its_unit(value: float | str, unit: str, text: str) -> None:
    assert quantity(value, unit) == text


@pytest.mark.parametrize(
    ("value", "limit", "unit", "shown"),
    [
        (1.149, 1.15, "", ("1.149", "1.15")),
        (1.1499, 1.15, "", ("1.1499", "1.15")),
        (1.15, 1.15, "", ("1.15", "1.15")),
        (2.0, 1.15, "", ("2", "1.15")),
        (0.39996, 0.4, "share", (f"39.996{GAP}%", f"40{GAP}%")),
        (1199.6, 1200, "1/min", (f"1{GAP}199.6{GAP}/min", f"1{GAP}200{GAP}/min")),
    ],
)
def test_a_number_close_to_its_limit_is_told_apart(
    value: float, limit: float, unit: str, shown: tuple[str, str]
) -> None:
    assert apart(value, limit, unit) == shown


@given(st.floats(0, 100).map(quantise), st.floats(0, 100).map(quantise))
def test_what_differs_to_a_hundred_thousandth_is_never_written_alike(value: float, limit: float) -> None:
    one, other = apart(value, limit, "")
    assert (one == other) is (value == limit)


def test_a_reason_shows_its_number_apart_from_the_limit_it_met() -> None:
    text = fill(
        BASE,
        BASE.by_id["no-room-to-loop"],
        BASE.by_id["no-room-to-loop"].because,
        {"width_ratio": 1.1499},
    )
    assert "1.1499 times the cutter" in text
    assert "Below 1.15 " in text


@pytest.mark.parametrize(
    ("worn", "available", "told"),
    [
        (5.513, 5.507, ("5.513", "5.507")),  # three figures would say that 5.51 is more than 5.51
        (5.6, 5.5, ("5.6", "5.5")),
        (5.51, 5.51, ("5.51", "5.51")),
    ],
)
def test_two_numbers_of_a_reason_that_differ_are_told_apart(
    worn: float, available: float, told: tuple[str, str]
) -> None:
    rule = BASE.by_id["spindle-short-of-power"]
    facts = {
        "DC": 10.0,
        "worn_power": worn,
        "power_available": available,
        "torque_available": 9.0,
        "spindle_speed": 3e3,
    }
    text = fill(BASE, rule, rule.because, facts)
    assert re.findall(rf"([\d.]+){GAP}kW", text) == list(told)


def test_a_comparison_says_the_value_the_limit_and_whether_it_was_met() -> None:
    leaf = Compare("width_ratio", "<", 1.15, "loop_room_ratio_least")
    assert comparison_text(BASE, leaf, {"width_ratio": 1.1499}) == "width ratio 1.1499 < 1.15 (loop_room_ratio_least)"
    assert comparison_text(BASE, leaf, {"width_ratio": 1.2}).endswith(": not so")
    assert comparison_text(BASE, leaf, {}) == "width ratio not given"
    assert (
        comparison_text(BASE, Compare("feature", "=", "closed_pocket"), {"feature": "slot"})
        == "feature is slot, not closed pocket"
    )


def test_a_number_takes_its_noun_in_the_plural_unless_it_is_one() -> None:
    rule = BASE.by_id["too-many-levels-for-engagement"]
    assert fill(BASE, rule, "{levels:level}", {"levels": 1.0}) == f"1{GAP}level"
    assert fill(BASE, rule, "{levels:level}", {"levels": 4.0}) == f"4{GAP}levels"
    assert fill(BASE, rule, "{passes:pass}", {"passes": 2.0}) == f"2{GAP}passes"


@pytest.mark.parametrize(
    ("shown", "text"),
    [
        ("10 mm", "a 10 mm"),
        ("8 mm", "an 8 mm"),
        ("80 mm", "an 80 mm"),
        ("11.5 mm", "an 11.5 mm"),
        ("18 mm", "an 18 mm"),
        ("110 mm", "a 110 mm"),
        ("1.8 mm", "a 1.8 mm"),
        ("open pocket", "an open pocket"),
        ("slot", "a slot"),
    ],
)
def test_an_article_is_the_one_that_is_spoken(shown: str, text: str) -> None:
    assert with_article(shown) == text
    rule = BASE.by_id["shank-rubs"]
    assert fill(BASE, rule, "A {body}, no more than a {feature}.", {"body": shown, "feature": shown, "DC": 1.0}) == (
        f"{text[0].upper()}{text[1:]}, no more than {text}."
    )


def test_a_fact_that_nobody_gave_is_said_to_be_so() -> None:
    assert fact_text(BASE, "RPMX", {}) == "not given"


def placeholders(rule: Rule) -> list[str]:
    return [match.group(1) for match in PLACEHOLDER.finditer(f"{rule.because} {rule.remedy}")]


def _told(found: FeatureAdvice) -> list[tuple[Rule, Facts]]:
    """What is told of a feature: of a forbidden way only what forbids it, and the rest only where there is a way."""
    told: list[tuple[Rule, Facts]] = []
    for candidate in found.candidates:
        rules = ranking.against(candidate) if candidate.grade == "forbidden" else standing(candidate.fired)
        told += [(rule, candidate.facts) for rule in rules]
    if found.best:
        told += [(rule, found.best.facts) for rule in (*found.about_feature, *found.cautions)]
    return told


@cache
def _holes() -> dict[str, set[tuple[str, str, str]]]:
    """Return, by rule, where a placeholder has no value: the placeholder, the case and the feature."""
    holes: dict[str, set[tuple[str, str, str]]] = {}
    for case, found in worked.every_feature():
        for rule, facts in _told(found):
            for name in placeholders(rule):
                if name in BASE.measures and name not in facts and (rule.id, name) not in SAID_ON_PURPOSE:
                    holes.setdefault(rule.id, set()).add((name, case, found.region.id))
    return holes


@pytest.mark.parametrize("rule_id", [rule.id for rule in BASE.rules])
def test_no_reason_has_a_hole_where_a_number_should_be(rule_id: str) -> None:
    assert not _holes().get(rule_id)


def test_every_reason_of_the_cases_is_filled_to_the_last_placeholder() -> None:
    count = 0
    for _, found in worked.every_feature():
        for rule, facts in _told(found):
            text = fill(BASE, rule, f"{rule.because} {rule.remedy}", facts)
            count += 1
            assert not re.search(r"[{}_]|\bnan\b|\binf\b|\d[eE][-+]?\d", text), text
    assert count > 1000


def test_only_reasons_that_can_meet_an_absent_fact_are_excused() -> None:
    for rule_id, fact in SAID_ON_PURPOSE:
        rule = BASE.by_id[rule_id]
        assert fact in placeholders(rule), rule_id


@pytest.mark.parametrize("rule", [rule for rule in BASE.rules if rule.level == "feature"], ids=lambda rule: rule.id)
def test_where_no_cutter_is_chosen_nothing_is_told_of_one(rule: Rule) -> None:
    """What a rule about the feature alone says where every way is forbidden: no hole for the missing cut."""
    known: Facts = {name: 1.0 for name, measure in BASE.measures.items() if measure.level == "feature"}
    text = fill(BASE, rule, rule.because, known)
    assert text
    assert "not given" not in text
    assert text.endswith(".")
    assert text[0].isupper()


def test_a_clause_without_its_number_is_left_out_whole() -> None:
    rule = BASE.by_id["flood-needed"]
    alone = fill(BASE, rule, rule.because, {"group": "S"})
    assert alone == "In group S the chip carries little heat off."
    assert fill(BASE, rule, rule.because, {"group": "S", "cutting_speed": 60.0, "DC": 10.0}).startswith(f"{alone} The")


ABSENT = (
    # a clause of its own, the first of a text, the last, and the only one
    (
        "rest-left-in-the-corners",
        {"DC": 40.0, "corner_radius": 6.0},
        "reach into the 6\xa0mm corners. Add an operation",
    ),
    ("marked-speed", {"RPMX": 12000.0}, "12\xa0000"),
    ("chip-too-thick", {"DC": 10.0}, "The chip wears the edge quickly."),
    ("bends-part-of-the-allowance", {"DC": 10.0}, "The allowance hardly covers the deflection. Check the first wall"),
)


@pytest.mark.parametrize(("rule_id", "facts", "told"), ABSENT)
def test_a_number_that_is_not_known_takes_its_clause_with_it(rule_id: str, facts: Facts, told: str) -> None:
    rule = BASE.by_id[rule_id]
    text = fill(BASE, rule, f"{rule.because} {rule.remedy}", facts)
    assert told in text
    assert "not given" not in text


@pytest.mark.parametrize("rule", BASE.rules, ids=lambda rule: rule.id)
def test_not_given_is_only_said_after_the_name_of_what_somebody_could_have_given(rule: Rule) -> None:
    """Of a drawing or a crib: `clearance beneath: not given`; never `not given stays there`."""
    text = fill(BASE, rule, f"{rule.because} {rule.remedy}", {})
    for before in [] if "not given" in rule.because else text.split("not given")[:-1]:
        assert before.endswith((": ", " is ")), text
    assert text.strip() or not rule.because
    assert text[:1] == text[:1].upper()


def test_a_cutter_and_a_width_that_print_alike_are_told_apart() -> None:
    base = rule_base()
    rule = base.by_id["cutter-does-not-fit"]
    assert "17.5\xa0mm cutter does not fit a width of 17.499\xa0mm" in fill(
        base, rule, rule.because, {"DC": 17.5, "fit_width": 17.499}
    )
    assert "18\xa0mm cutter does not fit a width of 17.5\xa0mm" in fill(
        base, rule, rule.because, {"DC": 18.0, "fit_width": 17.5}
    )


@pytest.mark.parametrize(
    ("least", "most", "told"),
    [(39.2, 39.2, "a drill of 39.2 mm, or"), (39.2, 39.21, "a drill of 39.2 mm to 39.21 mm, or")],
)
def test_a_range_with_nothing_in_it_is_told_as_one_value(least: float, most: float, told: str) -> None:
    rule = next(one for one in BASE.rules if "{drill_size_least} to {drill_size_most}, or" in one.remedy)
    facts = {"DC": 10.0, "drill_size_least": least, "drill_size_most": most}
    assert told in fill(BASE, rule, rule.remedy, facts).replace(GAP, " ")


def test_presence_and_absence_of_a_fact_are_told_apart() -> None:
    for present, told in ((True, "corner radius is known"), (False, "corner radius is not known")):
        leaf = Known("corner_radius", present)
        assert known_text(leaf) == told
        assert known_text(leaf, verb="") == told.replace(" is", "")
        assert known_text(leaf, word="given") == told.replace("known", "given")
