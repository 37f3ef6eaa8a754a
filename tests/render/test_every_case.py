"""What a reader may expect of the report on every feature of every worked case."""

import re
from functools import cache

import jsonschema
import pytest

from advisor.choosing.time_parts import time_parts
from advisor.files.unit_scales import showing
from advisor.render import markdown, terminal
from advisor.render.record import AdviceRecord, FeatureRecord, advice_schema
from advisor.render.recording import record
from advisor.text.advice import advice_blocks
from advisor.text.feature import feature_blocks
from advisor.text.reasons import for_every_feature
from advisor.text.why import why_blocks
from tests.cases import worked

CASES = [folder.name for folder in worked.folders()]
FEATURES = [(name, found.region.id) for name, found in worked.every_feature()]
each_case = pytest.mark.parametrize("name", CASES)
each_feature = pytest.mark.parametrize(("name", "feature"), FEATURES)


@cache
def recorded(name: str) -> AdviceRecord:
    return record(worked.advice(name))


def feature_record(name: str, feature: str) -> FeatureRecord:
    return next(found for found in recorded(name).features if found.id == feature)


@cache
def report(name: str, columns: int = 80) -> str:
    return terminal.text(advice_blocks(worked.advice(name)), columns)


@each_case
def test_the_json_of_every_case_fits_the_published_schema(name: str) -> None:
    schema = advice_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    found = recorded(name).model_dump(mode="json", by_alias=True)
    jsonschema.Draft202012Validator(schema).validate(found)


def test_the_schema_refuses_what_is_no_advice() -> None:
    found = recorded("winch-side-plate").model_dump(mode="json", by_alias=True)
    found["features"][0]["grade"] = "splendid"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(advice_schema()).validate(found)


@each_feature
def test_an_answer_says_what_to_do_with_what_and_why(name: str, feature: str) -> None:
    found = feature_record(name, feature)
    assert found.alternatives
    if found.method is None:
        assert found.grade == "forbidden"
        assert found.cutter is found.settings is found.time_s is None
        assert found.ways_out
        return
    assert found.cutter
    assert found.entry
    assert found.settings
    assert found.cautions
    assert any(re.search(r"\d", reason.text) for reason in found.reasons)


@each_feature
def test_the_parts_of_the_time_sum_to_it(name: str, feature: str) -> None:
    best = worked.feature(name, feature).best
    if best is not None:
        parts = time_parts(best)
        assert sum(parts.values()) == pytest.approx(best.time)
        assert min(parts.values()) >= 0


@each_feature
def test_every_fact_told_in_a_reason_is_in_the_json(name: str, feature: str) -> None:
    found = feature_record(name, feature)
    for said in (*found.reasons, *found.cautions):
        if said.rule is None:
            continue
        numbers = re.findall(r"\d", said.text)
        named = [fact for fact in said.facts.values() if isinstance(fact.value, float)]
        template = worked.advice(name).bench.base.by_id[said.rule].because
        assert not numbers or named or "{" not in template, said.rule


@each_case
@pytest.mark.parametrize("columns", [50, 80])
def test_no_line_is_wider_than_the_terminal(name: str, columns: int) -> None:
    wide = [line for line in report(name, columns).splitlines() if len(line) > columns]
    assert not wide


@each_case
def test_a_narrow_terminal_loses_no_word(name: str) -> None:
    assert after_overview(report(name, 50)) == after_overview(report(name, 80))


def after_overview(told: str) -> list[str]:
    """The words of a report without the overview, whose heads give way on a narrow terminal."""
    return words(told).partition("Total ")[2].split() or told.split()


@each_case
def test_no_sentence_shows_a_number_that_is_not_there(name: str) -> None:
    for told in (report(name), markdown.text(advice_blocks(worked.advice(name)))):
        assert not re.search(r"\b(None|nan|inf|True|False)\b|\{|\}", told)


@each_case
def test_text_and_markdown_tell_the_same(name: str) -> None:
    advice = worked.advice(name)
    told = markdown.text(advice_blocks(advice))
    once = {rule.id for rule, _ in for_every_feature(advice.features, advice.bench.base)}
    with showing(advice.assignment.job.units):
        features = record(advice).features
    for found in features:
        for said in (*found.reasons, *(said for said in found.cautions if said.rule not in once)):
            assert markdown.escaped(said.text) in told
            assert words(said.text) in words(report(name))


def words(told: str) -> str:
    """The words of a text, wherever its lines break."""
    return " ".join(told.split())


@each_feature
def test_no_caution_about_safety_is_cut_for_length(name: str, feature: str) -> None:
    answer = worked.feature(name, feature)
    told = words(report(name))
    found = {said.rule: said for said in feature_record(name, feature).cautions}
    for rule in answer.cautions:
        if rule.harm:
            assert f"[{rule.id}]" in told
            assert words(found[rule.id].remedy) in told


@each_feature
def test_every_setting_of_the_answer_stands_in_its_block(name: str, feature: str) -> None:
    answer = worked.feature(name, feature)
    if answer.best is None:
        return
    told = terminal.text(feature_blocks(answer, worked.advice(name)), 100)
    for label in ("axial depth", "allowances", "feed", "spindle", "load", "time"):
        assert f"    {label} " in told


@each_feature
def test_the_evidence_shows_a_source_for_every_rule(name: str, feature: str) -> None:
    advice, answer = worked.advice(name), worked.feature(name, feature)
    told = words(terminal.text(why_blocks(answer, advice), 100))
    for said in (*feature_record(name, feature).reasons, *answer.cautions):
        rule = getattr(said, "rule", None) or getattr(said, "id", None)
        assert rule is None or f"[{rule}]" in told
    assert told.count("Source: ") > len(answer.cautions)


@each_feature
def test_the_evidence_fits_a_narrow_terminal(name: str, feature: str) -> None:
    told = terminal.text(why_blocks(worked.feature(name, feature), worked.advice(name)), 50)
    assert max(len(line) for line in told.splitlines()) <= 50


@each_feature
def test_every_formula_of_the_evidence_can_be_worked_out_again(name: str, feature: str) -> None:
    from math import acos, atan, ceil, cos, degrees, pi, radians, sin, tan

    from advisor.text.why import Evidence

    by_hand = {
        "sin": lambda x: sin(radians(x)), "cos": lambda x: cos(radians(x)), "tan": lambda x: tan(radians(x)), "pi": pi,
        "acos": lambda x: degrees(acos(x)), "atan": lambda x: degrees(atan(x)),
        "rad": radians, "min": min, "max": max, "ceil": ceil, "__builtins__": {},
    }  # fmt: skip
    answer = worked.feature(name, feature)
    for item in Evidence(answer, worked.advice(name)).worked:
        if not item.formula:
            continue
        numbers = item.numbers.replace("\u00a0", "").replace("\u2212", "-")
        again = eval(numbers, by_hand)  # the text is our own formula
        actual = float(answer.best.facts[item.name])
        assert again == pytest.approx(actual, rel=2e-3, abs=1e-4), f"{item.name} = {item.formula} = {item.numbers}"
