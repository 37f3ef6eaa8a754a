"""Hints are written for every topic, have their numbers, and do not say the answer."""

import pytest

from advisor.coach.exercise import KINDS
from advisor.coach.hints import ANY, Clues, hint_table, hints_of
from advisor.coach.telling import material_text, shop_names
from advisor.coach.topics import topics
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.wording import PLACEHOLDER
from advisor.readers.materials import load_materials


def test_every_topic_has_hints_and_for_each_of_its_kinds() -> None:
    assert set(hint_table()) == {*topics(), ANY}
    for topic in topics().values():
        told = {kind for entry in hint_table()[topic.id] for kind in entry.get("kinds", KINDS)}
        assert set(topic.kinds) == told, topic.id


def test_every_hint_is_a_question_of_a_few_lines_about_measures_that_there_are() -> None:
    for entries in hint_table().values():
        for entry in entries:
            for text in (entry["first"], entry["second"]):
                assert "?" in text
                assert len(text) < 260
                assert {match[1] for match in PLACEHOLDER.finditer(text)} <= set(rule_base().measures)
            assert entry["first"] != entry["second"]


CLUES = Clues(("method",), {"narrowest_width": 11.5, "DC": 10.0, "width_ratio": 1.15, "depth": 6.0, "depth_ratio": 0.6})


def test_a_hint_has_the_numbers_of_the_part() -> None:
    first, second = hints_of("narrow-slots", "choose", CLUES, rule_base())
    assert "11.5 mm wide and the cutter 10 mm" in first.replace("\u00a0", " ")
    assert "1.15" in second


def test_a_hint_that_would_say_the_answer_or_lacks_a_number_gives_way_to_another() -> None:
    leaking = CLUES._replace(hidden=("big could a loop be",))
    plain = hints_of("narrow-slots", "choose", leaking, rule_base())
    assert "loop" not in " ".join(plain)
    few = CLUES._replace(facts={"depth": 6.0})
    assert hints_of("narrow-slots", "choose", few, rule_base()) == plain


def test_the_cutters_to_choose_from_are_told_each_with_its_number() -> None:
    each = {"E10": {"LU": 22.0}, "E12": {"LU": 26.0}, "E12R": {"LU": 26.0}}
    clues = Clues(("cutter",), {"depth": 24.0}, each)
    _, second = hints_of("reach", "choose", clues, rule_base())
    assert "22 mm (E10); 26 mm (E12 or E12R)" in second.replace("\u00a0", " ")


def test_every_material_has_a_name_that_a_shop_uses() -> None:
    assert set(shop_names()) == {material.name for material in load_materials().all}


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("X5CrNi18-10", "304 stainless (X5CrNi18-10), group M"),
        ("S235JR", "mild steel S235 (S235JR), group P"),
        ("16MnCr5", "case-hardening steel 16MnCr5, group P"),
    ],
)
def test_a_material_is_told_by_the_name_of_the_shop_with_its_group(name: str, told: str) -> None:
    material = next(one for one in load_materials().all if one.name == name)
    assert material_text(material) == told
    assert material_text(material.model_copy(update={"name": "our own"})) == f"our own, group {material.group}"


def test_a_change_of_width_is_asked_about_the_room_and_no_cutter_has_a_wrong_article() -> None:
    facts = {"DC": 8.0, "width_ratio": 4.0, "depth_ratio": 1.5}
    first, second = hints_of("deep-narrow-cuts", "turn", Clues(("way", "line", "width"), facts), rule_base())
    assert "The width changes" in first
    assert "room" in second
    texts = [entry[name] for entries in hint_table().values() for entry in entries for name in ("first", "second")]
    assert not [text for text in texts if " a {DC}" in text or text.startswith("A {DC}")]
