"""Slips in the tables, and subtle slips in a rule."""

import pytest

from tests.knowledge.spoiling import changed, when

TABLE_FAULTS = [
    pytest.param(
        "thresholds.yaml",
        "own_limit: {value: 3, range: [1, 5], what: x, source: {common_practice: true}} # here",
        "unit",
        id="a threshold without a unit",
    ),
    pytest.param(
        "thresholds.yaml",
        "own_limit: {unit: mm, range: [1, 5], what: x, source: {common_practice: true}} # here",
        "value",
        id="a threshold without a value",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: three, unit: "", range: [1, 5], what: x, source: {common_practice: true}} # here',
        "three",
        id="a threshold in words",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: true, unit: "", range: [1, 5], what: x, source: {common_practice: true}} # here',
        "a number",
        id="a threshold of true",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", range: [1, 5], what: x} # here',
        "source",
        id="a threshold without a source",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", range: [1, 5], what: x, source: {work: a_book}} # here',
        "a_book",
        id="a threshold out of a book that is not in the bibliography",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", what: x, source: {common_practice: true}} # here',
        "range",
        id="a threshold without a range",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", range: [4, 5], what: x, source: {common_practice: true}} # here',
        "with 3 between them",
        id="a threshold outside its range",
    ),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", range: [4], what: x, source: {common_practice: true}} # here',
        "two numbers",
        id="a range of one end",
    ),
    pytest.param("thresholds.yaml", "own_limit: 3 # here", "a mapping of names to values", id="a bare number"),
    pytest.param(
        "thresholds.yaml",
        'own_limit: {value: 3, unit: "", range: [1, 5], what: x, source: {common_practice: true}, at_most: ou} # here',
        "ou",
        id="a threshold at most one that is not there",
    ),
    pytest.param(
        "thresholds.yaml",
        "skin: {value: 3, unit: mm, range: [1, 5], what: x, source: {common_practice: true}} # here",
        "twice",
        id="a threshold twice",
    ),
    pytest.param(
        "measures.yaml",
        "own: {level: tool, range: [0, 1], what: x} # here",
        "tool",
        id="a measure of a level that is not there",
    ),
    pytest.param(
        "measures.yaml",
        "own: {level: cutter, since: later, range: [0, 1], what: x} # here",
        "later",
        id="a measure of an unknown stage",
    ),
    pytest.param(
        "measures.yaml", "own: {level: cutter, what: x} # here", "range", id="a measure of neither numbers nor words"
    ),
    pytest.param(
        "measures.yaml",
        "own: {level: cutter, range: [0, 1], words: [a], what: x} # here",
        "range",
        id="a measure of both",
    ),
    pytest.param(
        "measures.yaml", "own: {level: cutter, range: [0, 1]} # here", "what", id="a measure that says not what it is"
    ),
    pytest.param(
        "measures.yaml",
        "own: {level: cutter, range: [0, 1], what: x, colour: red} # here",
        "colour",
        id="a measure with a strange key",
    ),
    pytest.param("measures.yaml", "own: yes # here", "own", id="a measure that is only a word"),
]


# Slips that would pass for something else, or end the program, if nobody looked for them.
SUBTLE = [
    pytest.param(
        changed("about: {method: layered_pocketing}", "about: layered_pocketing"),
        id="about without a fact: the rule is then about everything",
    ),
    pytest.param(changed("fires: [{width_ratio: 1}]", "fires: [1]"), id="an example that is a bare number: a crash"),
    pytest.param(
        changed("fires: [{width_ratio: 1}]", "fires: {width_ratio: 1}"), id="examples that are no list: a crash"
    ),
    pytest.param(
        changed("fires: [{width_ratio: 1}]", "fires: [{width_ratio: wide}]"),
        id="an example of a word where the fact is a number",
    ),
    pytest.param(
        changed("fires: [{width_ratio: 1}]", "fires: [{width_ratio: null}]"), id="an example without a value: a crash"
    ),
    *(
        pytest.param(
            changed("silent: [{width_ratio: 3}]", f"silent: [{{width_ratio: {value}}}]"),
            id=f"an example of {value}: it would count as the greatest number there is",
        )
        for value in (".nan", ".inf", "1e400", "1e13")
    ),
    pytest.param(
        changed("fires: [{width_ratio: 1}]", "fires: [{width_ratio: 1, group: steel}]"),
        id="an example of a word the fact cannot be",
    ),
    pytest.param(changed("  source:", "  harm: no\n  source:"), id="harm: no is text, and counts as yes"),
    pytest.param(
        changed("source: {common_practice: true}", "source: {work: nfpa_660, from_memory: no}"),
        id="from_memory: no is text, and counts as yes",
    ),
    pytest.param(
        changed("  source:", "  overrides: [a-new-rule]\n  source:"), id="a rule that overrides itself is mute"
    ),
    pytest.param(when("width_ratio < nan"), id="a limit that is not a number"),
    pytest.param(
        changed("source: {common_practice: true}", "source: {work: [nfpa_660]}"), id="a list of works: a crash"
    ),
    pytest.param(
        changed("  about: {method: layered_pocketing}\n", "").replace(
            "  when: [width_ratio < loop_width_ratio_least]\n", ""
        ),
        id="neither about nor when: a rule about everything",
    ),
    pytest.param(changed("  source:", "  overrides: 3\n  source:"), id="overrides that is a number"),
    pytest.param(changed("  source:", "  overrides: other\n  source:"), id="overrides that is no list"),
    pytest.param(changed("  source:", "  overrides: [[other]]\n  source:"), id="overrides with a list in the list"),
    pytest.param(changed("when: [width_ratio < loop_width_ratio_least]", "when: [3]"), id="a condition of a number"),
    pytest.param(changed("about: {method: layered_pocketing}", "about: {method: {a: b}}"), id="about a mapping"),
    pytest.param(changed("about: {method: layered_pocketing}", "about: {method: []}"), id="about one of no words"),
    pytest.param(changed("verdict: against", "verdict: [against]"), id="a list of verdicts"),
]
