"""What stands beneath the faults of a house file: a sound sample of each part that has some."""

from itertools import chain
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.files.problems import BadInput
from advisor.knowledge.house import house_base
from advisor.knowledge.house_files import PARTS
from advisor.knowledge.house_sample import samples
from advisor.knowledge.measures import STAGES
from advisor.knowledge.rule_reader import VERDICTS_OF_STAGE
from advisor.knowledge.shipped import rule_base
from advisor.paths import shared_dir

BASE = rule_base()
HALF = """add:
  - id: our-deep-slots
    title: We do not ramp deep slots
    stage: clering
    about: {methd: ramped_slotting}
    when:
      - depht_ratio > 2.5
      - axial_ratio == 0.5
    verdict: warn
    because: "{depth_ratio} diameters is deep for our air nozzle."
"""


def refused(text: str) -> BadInput:
    with pytest.raises(BadInput) as caught:
        house_base(BASE, Path("ours"), text)
    return caught.value


def test_every_fault_of_a_rule_is_told_in_one_run() -> None:
    told = [str(problem) for problem in refused(HALF).problems]
    for fault in (
        "ours/house.yaml:2: our-deep-slots.reason: found nothing",
        "ours/house.yaml:2: our-deep-slots.source: found nothing",
        "ours/house.yaml:2: our-deep-slots.examples: found nothing",
        "ours/house.yaml:4: our-deep-slots.stage: found 'clering'",
        "ours/house.yaml:5: our-deep-slots.about: found methd",
        "ours/house.yaml:7: our-deep-slots.when: found depht_ratio",
        "ours/house.yaml:8: our-deep-slots.when: found 'axial_ratio == 0.5'",
    ):
        assert sum(one.startswith(fault) for one in told) == 1, (fault, told)
    assert len(told) == 7, told


def test_the_verdict_is_told_as_well_once_the_rest_is_there() -> None:
    mended = HALF.replace("methd", "method") + "    reason: a\n    source: {common_practice: true}\n"
    mended += "    examples: {fires: [{depth_ratio: 3}], silent: [{depth_ratio: 2}]}\n"
    told = [str(problem) for problem in refused(mended).problems]
    assert any("verdict: found warn; wanted against, for or forbids in stage clearing" in one for one in told)
    assert any("when: found depht_ratio" in one for one in told)


def test_a_rule_at_odds_with_a_shipped_one_is_told_beside_the_slip_of_another() -> None:
    """What is found by holding rules together is told though another rule cannot be read."""
    odds = """  - id: our-allowance
    title: We leave more
    stage: settings
    reason: castings move
    when: [group = K, DC > 0]
    verdict: concludes
    concludes: {fact: side_allowance_usual, value: 0.9}
    because: Castings move.
    source: {common_practice: true}
    examples: {fires: [{group: K, DC: 10}], silent: [{group: N, DC: 10}]}
"""
    told = [str(problem) for problem in refused(HALF + odds).problems]
    assert any("at once" in one and "our-allowance" in one for one in told)
    assert any("our-deep-slots.stage" in one for one in told)


@pytest.mark.parametrize("number", range(1, 2 ** len(PARTS)))
def test_the_samples_of_any_parts_together_are_read_without_faults(number: int) -> None:
    parts = [part for place, part in enumerate(PARTS) if number >> place & 1]
    changes = house_base(BASE, Path("ours"), "".join(samples()[part] for part in parts)).changes
    assert len(changes) == len(parts)


def test_there_is_a_sample_of_every_part_and_nothing_else_in_the_file() -> None:
    text = (shared_dir() / "house_samples.yaml").read_text(encoding="utf-8")
    assert list(samples()) == list(PARTS)
    assert yaml.safe_load("".join(samples().values())) == yaml.safe_load(text)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("thresholds: {loop_width_ratio_lest: {value: 1.5, reason: a}}", ["thresholds"]),
        ("off: [axis-reversal]", ["off"]),
        ("replace: [{id: deep-slot-pack-chips}]", ["replace"]),
        ("prefer: [{id: our-own, when: [cutter_id = 12]}]", ["prefer"]),
        ("off: []\nadd:\n- {id: our-own, stage: review, verdict: finds}", ["add"]),
        ("add: yes", ["add"]),
        ("ad: []", ["add"]),
        ("[]", list(PARTS)),
        ("colour: red", list(PARTS)),
        (
            f"thresholds: {{loop_width: {{value: 1.5, reason: a}}}}\n{HALF}prefer: [{{id: our-own}}]\n",
            ["thresholds", "add", "prefer"],
        ),
    ],
)
def test_the_sample_is_of_the_parts_with_faults(text: str, parts: list[str]) -> None:
    assert refused(text).sample.startswith("# To copy: a small house.yaml without faults.\n")
    assert list(yaml.load(refused(text).sample, Loader=yaml.BaseLoader)) == parts


FACTS = st.sampled_from([*BASE.measures, "depht_ratio", "", "no_such"])
VALUES = st.one_of(
    st.sampled_from([*BASE.limits, "ramped_slotting", "slot", "E12", '"a b"', "'", '"', "{x}", "yes"]),
    st.floats(-1e6, 1e6, allow_nan=False).map(str),
)
CONDITIONS = st.one_of(
    st.builds("{} {} {}".format, FACTS, st.sampled_from(["<", "<=", ">", ">=", "=", "!=", "==", "is"]), VALUES),
    st.dictionaries(st.sampled_from(["any", "not", "known", "or"]), FACTS, max_size=2),
    st.text(max_size=8),
)
ANY: st.SearchStrategy[Any] = st.one_of(st.none(), st.booleans(), st.integers(), st.text(max_size=12), VALUES)
ENTRIES = st.fixed_dictionaries(
    {},
    optional={
        "id": st.one_of(st.sampled_from(["our-own", "axis-reversals", "Our own", *list(BASE.by_id)[:20]]), ANY),
        "title": ANY,
        "what": ANY,
        "stage": st.one_of(st.sampled_from([*STAGES, "clering"]), ANY),
        "verdict": st.one_of(st.sampled_from(sorted({*chain(*VERDICTS_OF_STAGE.values())})), ANY),
        "reason": ANY,
        "because": st.one_of(ANY, st.just("{depth_ratio} is much"), st.just("{no_such}")),
        "about": st.one_of(st.dictionaries(FACTS, st.one_of(VALUES, st.lists(VALUES, max_size=2)), max_size=3), ANY),
        "when": st.one_of(st.lists(CONDITIONS, max_size=4), ANY),
        "concludes": st.one_of(st.fixed_dictionaries({"fact": FACTS, "value": VALUES}), ANY),
        "weight": ANY,
        "value": st.one_of(st.floats(-1e3, 1e3, allow_nan=False), ANY),
        "overrides": st.lists(st.sampled_from(list(BASE.by_id)), max_size=2),
    },
)
HOUSES = st.fixed_dictionaries(
    {},
    optional={
        "thresholds": st.dictionaries(
            st.sampled_from([*BASE.thresholds, "no_such"]), st.one_of(ENTRIES, ANY), max_size=2
        ),
        "off": st.lists(st.one_of(ENTRIES, ANY), max_size=2),
        "replace": st.lists(st.one_of(ENTRIES, ANY), max_size=2),
        "add": st.lists(st.one_of(ENTRIES, ANY), max_size=2),
        "prefer": st.lists(st.one_of(ENTRIES, ANY), max_size=2),
        "ad": ANY,
    },
)


def fault_of(text: str) -> BadInput | None:
    try:
        house_base(BASE, Path("ours"), text)
    except BadInput as error:
        return error
    return None


@settings(max_examples=60, deadline=None)
@given(HOUSES)
def test_whatever_was_tried_is_refused_with_a_sample_that_is_read(house: dict[str, Any]) -> None:
    error = fault_of(yaml.safe_dump(house, allow_unicode=True))
    if error is not None and "the YAML" not in str(error):
        assert error.problems
        assert house_base(BASE, Path("ours"), error.sample).changes
