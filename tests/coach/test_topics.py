"""Every rule belongs to one topic, and every topic can be practised."""

from pathlib import Path

import pytest

from advisor.coach.exercise import KINDS, NoExercise
from advisor.coach.topics import topic_of, topics
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.shipped import rule_base
from advisor.paths import shared_dir
from tests.coach.made import make


def test_every_rule_belongs_to_exactly_one_topic() -> None:
    found = [rule_id for topic in topics().values() for rule_id in topic.rules]
    assert sorted(found) == sorted(rule_base().by_id)


def test_every_name_of_the_table_is_a_rule_or_a_file_of_rules_and_stands_once() -> None:
    names = [name for entry in read_yaml(shared_dir() / "topics.yaml").value["topics"] for name in entry["rules"]]
    places = {f"{rule.stage}/{Path(rule.file).stem}" for rule in rule_base().rules}
    assert len(set(names)) == len(names)
    assert [name for name in names if name not in rule_base().by_id and name not in places] == []


def test_a_rule_named_by_its_id_belongs_there_and_not_where_its_file_does() -> None:
    assert topic_of(rule_base().by_id["slot-too-narrow-to-loop"]) == "narrow-slots"
    assert topic_of(rule_base().by_id["too-shallow-for-engagement"]) == "deep-narrow-cuts"


def test_a_rule_of_the_house_goes_with_the_first_topic_of_its_stage() -> None:
    own = rule_base().by_id["shank-rubs"]._replace(id="our-own", file="/shop/house/house.yaml", house=True)
    assert topic_of(own) == topic_of(rule_base().by_id["shank-rubs"])


SEEDS = {("levels", "trap"): 8, ("deep-narrow-cuts", "explain"): 5}  # where the seventh gives none


@pytest.mark.parametrize("topic", list(topics()))
def test_every_topic_gives_exercises_of_its_kinds(topic: str) -> None:
    kinds = topics()[topic].kinds
    for kind in {kinds[0], kinds[-1]}:  # the others cost time; tests/coach/thousand.py makes them all
        assert make(kind, SEEDS.get((topic, kind), 7), 3, topic).topic == topic


def test_a_kind_that_a_topic_does_not_have_is_refused_with_those_it_has() -> None:
    with pytest.raises(NoExercise, match="set"):
        make("choose", 1, 1, "levels")


@pytest.mark.parametrize(("kind", "level", "topic"), [("sing", 1, None), ("choose", 0, None), ("choose", 1, "tango")])
def test_what_there_is_not_is_refused(kind: str, level: int, topic: str | None) -> None:
    with pytest.raises(ValueError, match="wanted"):
        make(kind, 1, level, topic)


def test_every_kind_is_taught_by_some_topic() -> None:
    assert {kind for topic in topics().values() for kind in topic.kinds} == set(KINDS)
