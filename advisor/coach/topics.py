"""What the coach teaches: a topic for each family of rules, from ``shared/topics.yaml``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.paths import shared_dir


class Topic(NamedTuple):
    """A topic: ``what`` it is about in one sentence, the ids of its rules, the kinds of exercise made of it."""

    id: str
    title: str
    what: str
    rules: frozenset[str]
    kinds: tuple[str, ...] = ()


@cache
def topics() -> Mapping[str, Topic]:
    """Every topic by its id, in the order of the table, with the rules of the shipped rule base."""
    base = rule_base()
    found: dict[str, list[str]] = {entry["id"]: [] for entry in _table()}
    for rule in base.rules:
        found[topic_of(rule)].append(rule.id)
    return {
        entry["id"]: Topic(
            entry["id"], entry["title"], entry["what"], frozenset(found[entry["id"]]), tuple(entry["kinds"])
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


def topics_of(ids: Iterable[str], base: RuleBase) -> tuple[str, ...]:
    """The topics of some rules, the one with the most rules first; of as many, in the order of the rules."""
    counts: dict[str, int] = {}
    for rule_id in ids:
        topic = topic_of(base.by_id[rule_id])
        counts[topic] = counts.get(topic, 0) + 1
    return tuple(sorted(counts, key=lambda topic: -counts[topic]))


@cache
def _table() -> list[dict[str, str]]:
    table: list[dict[str, str]] = read_yaml(shared_dir() / "topics.yaml").value["topics"]
    return table


@cache
def _named() -> dict[str, str]:
    """The topic of each name of the table: the id of a rule, or stage/file for all of a file."""
    return {name: entry["id"] for entry in _table() for name in entry["rules"]}
