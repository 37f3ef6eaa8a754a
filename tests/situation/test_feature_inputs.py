"""What a feature may have in a file stands in one table, and what rules read of a feature follows from it."""

from collections.abc import Iterator
from typing import get_args

import pytest

from advisor.analysis.inputs import changed_feature
from advisor.analysis.sensitivity import feature_changes
from advisor.choosing.advice import advise_feature
from advisor.knowledge.formulas import names
from advisor.knowledge.schema import reads
from advisor.knowledge.shipped import rule_base
from advisor.model.feature_inputs import ASKED, INPUTS, VARIED, inputs_behind
from advisor.model.features import FEATURE_KINDS
from advisor.situation.bench import bench_of
from tests.jobs.small import job, solid

BASE = rule_base()
ROUGH = BASE.measures["rough"].words
# Numbers of a feature that rules read and no input of it moves, each with its reason.
OF_OTHERS = {
    "count": "how many alike: nothing that is told of time and order opens or shuts a way",
    "entry_feed_share": "concluded by rules",
    "k_c11": "of the material",
    "m_c": "of the material",
    "radial_share_high": "of the cutting data",
    "radial_share_low": "of the cutting data",
    "ramp_angle_high": "of the cutting data",
    "ramp_angle_low": "of the cutting data",
    "rapid": "of the machine",
    "axis_acceleration": "of the machine",
    "sharp_diameter": "of the crib",
    "tool_change": "of the machine",
    "torque_most": "of the machine",
}


def feature_numbers() -> frozenset[str]:
    """Every number of a feature that a rule reads, at once or through formulas, and that has no formula itself."""
    wanted, seen = [fact for rule in BASE.rules for fact in reads(rule)], set[str]()
    while wanted:
        fact = wanted.pop()
        if fact in BASE.measures and fact not in seen:
            seen.add(fact)
            wanted += [part for _, formula in BASE.measures[fact].formulas for part in names(formula)]
    measures = [BASE.measures[fact] for fact in seen]
    return frozenset(
        one.name
        for one in measures
        if one.level == "feature" and one.numeric and not one.formulas and not one.concluded
    )


def fields() -> Iterator[tuple[str, str]]:
    """Every field that a kind of feature may have."""
    for kind, model in FEATURE_KINDS.items():
        yield from ((kind, name) for name in model.model_fields if name not in ("id", "kind"))


@pytest.mark.parametrize("fact", sorted(feature_numbers()))
def test_a_number_of_a_feature_that_a_rule_reads_has_an_input(fact: str) -> None:
    moved = any(inputs_behind(fact, {"rough": rough}) for rough in ("", *ROUGH))
    assert moved is (fact not in OF_OTHERS)


def test_the_table_has_every_field_of_every_kind_and_no_other() -> None:
    assert {name for _, name in fields()} == set(INPUTS)


def test_what_is_moved_is_a_number_of_the_register() -> None:
    for name, one in INPUTS.items():
        assert set(one.of_casting) <= set(ROUGH)
        for fact in (*one.moves, *(fact for facts in one.of_casting.values() for fact in facts)):
            assert BASE.measures[fact].numeric, (name, fact)


def test_what_is_varied_is_a_length() -> None:
    for kind, name in fields():
        if name in VARIED:
            annotation = FEATURE_KINDS[kind].model_fields[name].annotation
            assert float in (annotation, *(part for arg in get_args(annotation) for part in (arg, *get_args(arg))))


def test_what_is_asked_for_may_be_left_out_and_has_words_for_that() -> None:
    for kind, every in ASKED.items():
        for name in every:
            assert not FEATURE_KINDS[kind].model_fields[name].is_required()
            assert name in BASE.measures[name].needs


def test_the_depth_of_a_floor_with_stock_is_that_stock() -> None:
    assert inputs_behind("depth", {"rough": "floor"}) == ("stock_floor",)
    assert inputs_behind("depth", {"rough": "walls"}) == ("depth",)
    assert inputs_behind("opening", {"rough": "walls"}) == ("width", "stock_wall")


def test_the_stock_of_a_casting_is_named_where_another_would_change_the_advice() -> None:
    """With 5 mm on its walls a slot of 20 mm has an opening of 10 mm, too narrow for the cutters: it is ramped as from
    the solid. With less the narrower one goes in, and takes the skin.
    """
    slot = {"kind": "slot", "length": 60, "width": 20, "depth": 12, "floor": True, "open_ends": 2}
    small = job(slot | {"stock_wall": 5, "stock_floor": 0}, [solid(12, 26), solid(16, 34)], "EN-GJL-250")
    feature, bench = small.job.features[0], bench_of(small)
    answer = advise_feature(feature, small.crib, bench)
    found = feature_changes(answer, feature, small.crib, bench)
    change = next(one for one in found if one.name == "stock_wall")
    assert 3 < change.at < 5
    other = changed_feature(feature, "stock_wall", change.at)
    assert other is not None
    assert answer.best is not None
    then = advise_feature(other, small.crib, bench).best
    assert then is not None
    assert (answer.best.method, then.method) == ("ramped_slotting", "engagement_limited_clearing")
    assert then.facts["rough"] == "walls"
