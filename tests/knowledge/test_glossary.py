"""The glossary explains the words that the rules use, in two sentences each, and nothing that nobody says."""

import re
from pathlib import Path

import pytest

from advisor.files.problems import BadInput
from advisor.knowledge.glossary import Term, by_form, explained, folded, glossary, occurring, read_glossary
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import PLACEHOLDER
from advisor.paths import shared_dir

BASE, WORDS = rule_base(), glossary()
PLAIN = (Path(__file__).parent / "plain_words.txt").read_text(encoding="utf-8")
KINDS = ("method", "entry", "body", "feature")
GRADES = ("good", "workable", "poor", "forbidden")
every_term = pytest.mark.parametrize("term", WORDS.terms.values(), ids=list(WORDS.terms))


def rule_texts() -> list[str]:
    """What the rules say, without the numbers put in."""
    return [
        PLACEHOLDER.sub(" 0 ", text) for rule in BASE.rules for text in (rule.title, rule.because, rule.remedy) if text
    ]


def without_terms(text: str) -> str:
    """A text with every word of the glossary taken out."""
    forms = sorted(by_form(WORDS), key=len, reverse=True)
    return re.sub(rf"(?<!\w)(?:{'|'.join(map(re.escape, forms))})(?!\w)", "|", folded(text))


def test_there_are_words_enough() -> None:
    assert len(WORDS.terms) >= 70


@pytest.mark.parametrize("kind", KINDS)
def test_every_method_way_in_body_and_feature_is_explained(kind: str) -> None:
    assert {folded(word) for word in BASE.measures[kind].words} <= set(by_form(WORDS))


def test_every_grade_is_explained() -> None:
    assert set(GRADES) <= set(WORDS.terms)


def test_every_word_of_the_rules_is_plain_or_in_the_glossary() -> None:
    plain = set(re.sub(r"(?m)^#.*$", "", PLAIN).split())
    unknown = {
        (word, text)
        for text in rule_texts()
        for word in re.findall(r"[a-z][a-z'’]*", without_terms(text))
        if word not in plain
    }
    assert not unknown, "put words of the trade into shared/glossary.yaml, others into tests/knowledge/plain_words.txt"


def test_no_word_is_called_plain_that_no_rule_says() -> None:
    said = " ".join(map(folded, rule_texts()))
    idle = [
        word for word in re.sub(r"(?m)^#.*$", "", PLAIN).split() if not re.search(rf"(?<!\w){re.escape(word)}", said)
    ]
    assert not idle


def test_every_word_is_said_somewhere_or_names_a_choice() -> None:
    whats = [item.what for item in (*BASE.measures.values(), *BASE.thresholds.values())]
    said = {term.name for term in occurring([*rule_texts(), *whats], WORDS)}
    choices = {word for kind in KINDS for word in map(folded, BASE.measures[kind].words)}
    idle = [
        name
        for name, term in WORDS.terms.items()
        if name not in said and name not in GRADES and folded(name) not in choices and not by_symbol(term)
    ]
    assert not idle


def by_symbol(term: Term) -> bool:
    """Whether a word stands for a measure that rules compare, so that the evidence names it."""
    names = {folded(name) for name in BASE.measures}
    return any(folded(form) in names for form in term.forms)


@every_term
def test_a_word_is_told_in_two_sentences(term: Term) -> None:
    for sentence in explained(term, BASE):
        assert sentence[0].isupper()
        assert sentence.endswith(".")
        assert not re.search(r"[.!?]\s", sentence), "one sentence each"
        assert len(sentence) <= 220
        assert "{" not in sentence


@every_term
def test_a_number_of_the_trade_in_a_word_is_a_threshold(term: Term) -> None:
    written = PLACEHOLDER.sub("", f"{term.short} {term.long}")
    assert not re.search(r"\d", re.sub(r"\b(90|180)°", "", written))


@every_term
def test_the_measure_of_a_word_is_known(term: Term) -> None:
    assert term.measure is None or term.measure in BASE.measures


def test_no_form_belongs_to_two_words() -> None:
    forms = [folded(form) for term in WORDS.terms.values() for form in dict.fromkeys(map(folded, term.forms))]
    assert sorted(forms) == sorted(set(forms))


def test_the_longest_form_counts() -> None:
    assert [term.name for term in occurring(["Take a helix angle of 38."], WORDS)] == ["helix angle"]
    assert [term.name for term in occurring(["engagement-limited clearing"], WORDS)] == ["engagement-limited clearing"]


def test_a_form_inside_another_word_does_not_count() -> None:
    assert not occurring(["The sprocket corelates with scoreboards."], WORDS)


def test_a_moved_threshold_moves_the_sentence() -> None:
    from dataclasses import replace

    moved = BASE.thresholds["loop_room_ratio_least"]._replace(value=1.25)
    base = replace(BASE, thresholds={**BASE.thresholds, "loop_room_ratio_least": moved})
    assert "Below 1.25 nothing loops" in explained(WORDS.terms["width ratio"], base)[1]


@pytest.mark.parametrize(
    ("entry", "wanted"),
    [
        ("chip: {short: A., source: {common_practice: true}}", "short, long, source"),
        ("chip: {short: A., long: B., source: {common_practice: true}, longer: C.}", "short, long, source"),
        ("chip: {short: A., long: B., also: chips, source: {common_practice: true}}", "short, long, source"),
        ("chip: {short: A., long: B., source: {work: nobody_wrote_it}}", "nobody_wrote_it"),
        ("chip: A sentence.", "short, long, source"),
    ],
)
def test_a_damaged_entry_is_named_with_its_line(tmp_path: Path, entry: str, wanted: str) -> None:
    file = tmp_path / "glossary.yaml"
    file.write_text(f"# words\n{entry}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_glossary(file, shared_dir() / "sources.yaml")
    told = str(caught.value)
    assert "glossary.yaml:2" in told
    assert wanted in told
