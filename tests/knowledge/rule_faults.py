"""Slips in a rule: the stage, the text of the file, and the word that must be told."""

import pytest

from tests.knowledge.spoiling import GOOD, HERE, changed, concluding, when

RULE_FAULTS = [
    # stage, text of the file, word that must be told
    pytest.param("clearing", changed("  title: A new rule\n", ""), "a-new-rule.title nothing text", id="no title"),
    pytest.param(
        "clearing",
        changed("  because: The narrowest width is {width_ratio} times the cutter.\n", ""),
        "a-new-rule.because nothing text",
        id="no because",
    ),
    pytest.param(
        "clearing",
        changed("  source: {common_practice: true}\n", ""),
        "a-new-rule.source nothing {common_practice: true} or",
        id="no source",
    ),
    pytest.param(
        "clearing", GOOD[: GOOD.index("  examples")], "a-new-rule.examples nothing fires and silent", id="no examples"
    ),
    pytest.param(
        "clearing",
        changed("because: The", f"because: ''{HERE}\n  remedy: The"),
        "a-new-rule.because empty text",
        id="an empty because",
    ),
    pytest.param(
        "clearing",
        changed("  verdict:", f"  verdikt: against{HERE}\n  verdict:"),
        "verdikt' as a field",
        id="a key that nobody knows",
    ),
    pytest.param(
        "clearing",
        changed("verdict: against", f"verdict: dislikes{HERE}"),
        "dislikes",
        id="a verdict that nobody knows",
    ),
    pytest.param(
        "clearing", changed("verdict: against", f"verdict: cautions{HERE}"), "cautions", id="a verdict of another stage"
    ),
    pytest.param(
        "caution",
        changed("verdict: against", f"verdict: against{HERE}"),
        "against",
        id="a verdict against in the cautions",
    ),
    pytest.param(
        "entry", changed("verdict: against", "verdict: concludes"), "concludes", id="concludes without a conclusion"
    ),
    pytest.param(
        "clearing",
        changed("verdict: against", "verdict: against\n  concludes: {fact: way_in, value: straight_down}"),
        "against",
        id="a conclusion with another verdict",
    ),
    pytest.param(
        "clearing",
        changed("verdict: against", f"verdict: against\n  outright: true{HERE}"),
        "with the verdict forbids",
        id="outright without forbidding",
    ),
    pytest.param(
        "clearing",
        changed("about: {method: layered_pocketing}", f"about: {{methode: layered_pocketing}}{HERE}"),
        "methode",
        id="about a fact that is not registered",
    ),
    pytest.param(
        "clearing", changed("about: {method: layered_pocketing}", f"about: {{DC: 12}}{HERE}"), "DC", id="about a number"
    ),
    pytest.param(
        "clearing",
        changed("about: {method: layered_pocketing}", f"about: {{method: [layered_pocketing, layers]}}{HERE}"),
        "layers",
        id="about a word that is none of the fact's",
    ),
    pytest.param(
        "clearing",
        changed("when: [width_ratio < loop_width_ratio_least]", f"when: width_ratio < 1{HERE}"),
        "a-new-rule.when 'width_ratio < 1' a list",
        id="when is no list",
    ),
    pytest.param("clearing", when("width_ratio less than 1"), "less than", id="a condition the grammar does not know"),
    pytest.param("clearing", when("either: [width_ratio < 1]"), "either", id="a branch the grammar does not know"),
    pytest.param("clearing", when("widht_ratio < 1"), "widht_ratio", id="a fact that is not registered"),
    pytest.param(
        "clearing",
        when("any: [width_ratio < 1, not: {known: depht}]"),
        "depht",
        id="a fact not registered, deep in the tree",
    ),
    pytest.param(
        "clearing",
        when("width_ratio < loop_width_ratio_lest"),
        "loop_width_ratio_lest",
        id="a threshold that is not there",
    ),
    pytest.param("clearing", when("group = steel"), "steel", id="a word that the fact cannot be"),
    pytest.param("clearing", when("group < S"), "< S", id="less than a word"),
    pytest.param("clearing", when("group = 3"), "= 3", id="a number where the fact is a word"),
    pytest.param("clearing", when("helix_time > 3"), "helix_time", id="a fact of a later stage"),
    pytest.param(
        "settings",
        concluding("bottom_policy", "leave_a_skin", condition="flute_cover > 1")
        .replace(HERE, "")
        .replace("  when: [flute_cover > 1]", f"  when: [flute_cover > 1]{HERE}"),
        "flute_cover",
        id="settings that read what follows from them",
    ),
    pytest.param(
        "settings",
        concluding("bottom_policy", "leave_a_skin", condition="bottom_policy = leave_a_skin")
        .replace(HERE, "")
        .replace("  when: [bottom_policy = leave_a_skin]", f"  when: [bottom_policy = leave_a_skin]{HERE}"),
        "bottom_policy",
        id="a conclusion read in the stage that draws it",
    ),
    pytest.param(
        "settings", concluding("depth", "3"), "concluded in stage settings", id="a conclusion on a given fact"
    ),
    pytest.param(
        "settings", concluding("room_kind", "close"), "concluded in stage settings", id="a conclusion of another stage"
    ),
    pytest.param(
        "settings", concluding("nothing", "close"), "nothing", id="a conclusion on a fact that is not registered"
    ),
    pytest.param(
        "settings", concluding("bottom_policy", "go_deep"), "go_deep", id="a conclusion that the fact cannot be"
    ),
    pytest.param(
        "settings", concluding("side_allowance_usual", "plenty"), "plenty", id="a conclusion that is no number"
    ),
    pytest.param("settings", concluding("side_allowance_usual", ".nan"), "nan", id="a conclusion of no number at all"),
    pytest.param(
        "settings", concluding("side_allowance_usual", "true"), "true", id="a conclusion of yes where a number belongs"
    ),
    pytest.param(
        "settings",
        concluding("bottom_policy", "leave_a_skin", condition="DC > 1"),
        "level",
        id="a conclusion on the feature out of a fact of the cutter",
    ),
    pytest.param(
        "settings",
        concluding("bottom_policy", "leave_a_skin").replace(
            "{fact: bottom_policy, value: leave_a_skin}", "leave_a_skin"
        ),
        "leave_a_skin",
        id="a conclusion without fact and value",
    ),
    pytest.param(
        "clearing",
        changed("because: The narrowest width is {width_ratio}", f"because: The width is {{width}} of {{wdith}}{HERE}"),
        "{wdith}",
        id="a placeholder that is no measure",
    ),
    pytest.param(
        "clearing",
        changed("  source:", "  remedy: Take {a_smaller_one}.\n  source:")
        .replace(HERE, "")
        .replace("  remedy: Take {a_smaller_one}.", "  remedy: Take {a_smaller_one}. # here"),
        "{a_smaller_one}",
        id="a placeholder of the remedy that is no measure",
    ),
    pytest.param(
        "clearing",
        changed("is {width_ratio} times the", f"is {{width_ratio times the{HERE}"),
        "because '{width_ratio times the' that belongs to no such name",
        id="a placeholder that is never closed",
    ),
    pytest.param(
        "clearing",
        changed("is {width_ratio} times", f"is width_ratio}} times{HERE}"),
        "because 'width_ratio}' that belongs to no such name",
        id="a placeholder that is never begun",
    ),
    pytest.param(
        "clearing",
        changed("  source:", f"  remedy: Take {{DC{HERE}\n  source:"),
        "remedy '{DC' that belongs to no such name",
        id="a placeholder of the remedy that is never closed",
    ),
    pytest.param(
        "clearing",
        changed("is {width_ratio} times", f"is {{width ratio}} times{HERE}"),
        "because '{width ratio}' that",
        id="a placeholder of two words",
    ),
    pytest.param(
        "review",
        changed("verdict: against", "verdict: finds"),
        "weight nothing one of stop, change or consider",
        id="a finding without weight",
    ),
    pytest.param(
        "caution",
        changed("verdict: against", f"verdict: against{HERE}"),
        "verdict against cautions in stage caution",
        id="the only verdict of a stage is told in words",
    ),
    pytest.param(
        "entry",
        changed("verdict: against", f"verdict: cautions{HERE}"),
        "verdict cautions against, concludes, for or forbids in stage entry",
        id="the verdicts of a stage are told in words",
    ),
    pytest.param(
        "clearing",
        changed("about: {method: layered_pocketing}", f"about: {{method: [layered_pocketing, layers]}}{HERE}"),
        "about.method layers one of engagement_limited_clearing, ",
        id="words that a fact cannot be are told in words",
    ),
    pytest.param(
        "clearing",
        changed("source: {common_practice: true}", f"source: {{work: a_book}}{HERE}"),
        "a_book",
        id="a work not in the bibliography",
    ),
    pytest.param(
        "clearing",
        changed("source: {common_practice: true}", f"source: {{common_practice: 7}}{HERE}"),
        "{common_practice: 7}",
        id="a source of neither kind",
    ),
    pytest.param(
        "clearing",
        changed("source: {common_practice: true}", f"source: my own{HERE}"),
        "my own",
        id="a source in free words",
    ),
    pytest.param(
        "clearing",
        changed(
            "examples: {fires: [{width_ratio: 1}], silent: [{width_ratio: 3}]}",
            f"examples: {{fires: [{{width_ratio: 1}}]}}{HERE}",
        ),
        "silent",
        id="no example of silence",
    ),
    pytest.param(
        "clearing",
        changed(
            "fires: [{width_ratio: 1}], silent: [{width_ratio: 3}]}", f"fires: [], silent: [{{width_ratio: 3}}]}}{HERE}"
        ),
        "at least one",
        id="an empty list of examples",
    ),
    pytest.param(
        "clearing",
        changed("silent: [{width_ratio: 3}]}", f"silent: [{{width_ration: 3}}]}}{HERE}"),
        "width_ration",
        id="an example with a fact that is not registered",
    ),
    pytest.param(
        "clearing",
        changed("  source:", "  overrides: [no-such-rule]\n  source:"),
        "no-such-rule",
        id="overriding a rule that is not there",
    ),
    pytest.param("clearing", GOOD.replace(HERE, "") + GOOD, "second time", id="one id twice in a file"),
    pytest.param("clearing", "- a-new-rule # here\n", "a mapping", id="a rule that is only a word"),
    pytest.param(
        "clearing", "a-new-rule: {title: A new rule} # here\n", "a list of rules", id="a file that is no list"
    ),
    pytest.param(
        "clearing", "- id: a-new-rule\n  title: 'A new rule # here\n", "YAML", id="a quote that is never closed"
    ),
    pytest.param(
        "clearing",
        GOOD.replace(HERE, "").replace("  title: A new rule\n", "  title: A new rule\n  title: Another # here\n"),
        "twice",
        id="one key twice",
    ),
]
