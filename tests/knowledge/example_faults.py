"""Slips in a file of examples beside the good rule: the text of the file, and what must be told."""

import pytest

from advisor.knowledge.examples import ENDING

OWN = f"own{ENDING}"
MORE = """\
a-new-rule:
  fires:
    - {width_ratio: 1.1}
    - {width_ratio: 1.2}
  silent:
    - {width_ratio: 2}
"""


def spoilt(old: str, new: str) -> str:
    """Return the good examples with one place changed."""
    assert old in MORE
    return MORE.replace(old, new)


EXAMPLE_FAULTS = [
    pytest.param(
        spoilt("a-new-rule:", "a-new-rul: # here"), "the id of no rule the id of a rule in", id="no such rule"
    ),
    pytest.param(
        spoilt("a-new-rule:", "narrow-slot-is-ramped: # here"), "clearing/slots.yaml", id="a rule of another file"
    ),
    pytest.param(
        f"{MORE}a-new-rule: {{fires: [{{width_ratio: 1}}]}} # here\n", "'a-new-rule' twice", id="a rule twice"
    ),
    pytest.param(spoilt("  silent:", "  fires: # here"), "'fires' twice", id="examples that fire given in two places"),
    pytest.param(
        spoilt("  silent:", "  quiet:").replace("rule:", "rule: # here"), "silent or both", id="a strange key"
    ),
    pytest.param("a-new-rule: # here\n", "silent or both", id="a rule with nothing beside it"),
    pytest.param("a-new-rule: {} # here\n", "silent or both", id="a rule with an empty mapping"),
    pytest.param("a-new-rule: {fires: []} # here\n", "at least one set", id="an empty list"),
    pytest.param("a-new-rule: [{width_ratio: 1}] # here\n", "silent or both", id="examples that do not say which"),
    pytest.param(
        "a-new-rule:\n  fires: {width_ratio: 1} # here\n", "a list of sets of facts", id="one example without a list"
    ),
    pytest.param(spoilt("{width_ratio: 2}", "{widht_ratio: 2} # here"), "widht_ratio", id="a fact not registered"),
    pytest.param(spoilt("{width_ratio: 2}", "{width_ratio: wide} # here"), "a number", id="a word for a number"),
    pytest.param(
        spoilt("{width_ratio: 2}", "{width_ratio: 2, group: steel} # here"), "steel", id="no word of the fact"
    ),
    pytest.param(spoilt("{width_ratio: 2}", "{} # here"), "facts and their values", id="an example without facts"),
    pytest.param(spoilt("{width_ratio: 2}", "2 # here"), "facts and their values", id="an example of a bare number"),
    pytest.param("- a-new-rule # here\n", "ids of rules in own.yaml", id="a list"),
    pytest.param("3 # here\n", "ids of rules in own.yaml", id="a bare number"),
    pytest.param(MORE.replace("- {width_ratio: 2}", "- {width_ratio: 2 # here"), "YAML", id="a brace never closed"),
]
