"""What the coach teaches: a topic for each family of rules, from ``shared/topics.yaml``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from advisor.coach.table import table
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.paths import shared_dir


class Topic(NamedTuple):
    """A topic: ``what`` it is about in one sentence, the ids of its rules, the kinds of exercise made of it.

    ``chooses`` is what of a way is chosen where one is chosen, ``sets`` are the numbers that are settled,
    ``features`` the kinds of feature that it is about, all where it names none.
    """

    id: str
    title: str
    what: str
    rules: frozenset[str]
    kinds: tuple[str, ...] = ()
    chooses: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    features: tuple[str, ...] = ()


@cache
def topics() -> Mapping[str, Topic]:
    """Every topic by its id, in the order of the table, with the rules of the shipped rule base."""
    base = rule_base()
    found: dict[str, list[str]] = {entry["id"]: [] for entry in _table()}
    for rule in base.rules:
        found[topic_of(rule)].append(rule.id)
    return {
        entry["id"]: Topic(
            entry["id"],
            entry["title"],
            entry["what"],
            frozenset(found[entry["id"]]),
            tuple(entry["kinds"]),
            tuple(entry.get("chooses", ())),
            tuple(entry.get("sets", ())),
            tuple(entry.get("features", ())),
        )
        for entry in _table()
    }


def topic_of(rule: Rule) -> str:
    """The topic of a rule; one of the house that stands in no file of ours goes by its stage."""
    named, of_stage = _named(), f"{rule.stage}/"
    place = f"{of_stage}{Path(rule.file).stem}"
    return (
        named.get(rule.id)
        or named.get(place)
        or next(topic for key, topic in named.items() if key.startswith(of_stage))
    )


def of_topic(rules: Iterable[Rule], topic: str) -> tuple[Rule, ...]:
    """Those of some rules that belong to a topic, in their order, each once."""
    return tuple(dict.fromkeys(rule for rule in rules if topic_of(rule) == topic))


def worth_asking(rules: Iterable[Rule], topic: str) -> tuple[Rule, ...]:
    """Those of some rules that belong to a topic, where one of them is more than what is plain to see; else none."""
    found = of_topic(rules, topic)
    return found if any(rule.id not in (*table().not_alone, *table().not_offered) for rule in found) else ()


def asked_about(topic: str | None, kind: str, feature: str, rng: Random) -> tuple[str, ...]:
    """The topics that a question of a kind about a kind of feature may be about, in any order; the one that is named
    alone, if it is.
    """
    fitting = (one for one in topics().values() if kind in one.kinds and feature in (one.features or (feature,)))
    found = [one.id for one in fitting if topic in (None, one.id)]
    rng.shuffle(found)
    return tuple(found)


@cache
def _table() -> list[dict[str, Any]]:
    table: list[dict[str, Any]] = read_yaml(shared_dir() / "topics.yaml").value["topics"]
    return table


@cache
def _named() -> dict[str, str]:
    """The topic of each name of the table: the id of a rule, or stage/file for all of a file."""
    return {name: entry["id"] for entry in _table() for name in entry["rules"]}
