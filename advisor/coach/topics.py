"""What the coach teaches: a topic for each family of rules, from ``shared/topics.yaml``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from random import Random
from typing import Literal, NamedTuple

from advisor.coach.table import table
from advisor.files.checking import checked, raise_if_any
from advisor.files.problems import Problem
from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.model.fields import Frozen
from advisor.paths import shared_dir


class Entry(Frozen):
    """An entry of the table, as it stands there: ``rules`` are ids of rules, or stage/file for all of a file."""

    id: str
    title: str
    what: str
    rules: tuple[str, ...]
    kinds: tuple[str, ...]
    chooses: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    features: tuple[str, ...] = ()
    tells: tuple[Literal["tool_change", "coolant", "drills", "made_for"], ...] = ()
    asks_what_for: bool = False
    turns_entry: bool = False
    turns_to_nothing: bool = False
    differs_in_all: bool = False
    shows_crib: bool = False


class Entries(Frozen):
    """The whole table."""

    topics: tuple[Entry, ...]


class Topic(NamedTuple):
    """A topic: ``what`` it is about in one sentence, the ids of its rules, the kinds of exercise made of it.

    ``chooses`` is what of a way is chosen where one is chosen, ``sets`` are the numbers that are settled,
    ``features`` the kinds of feature that it is about, all where it names none. ``tells`` is what of machine and crib
    is told with the job. ``asks_what_for`` is there where it is the question which cutter is made for the material,
    ``turns_entry`` where the way in alone may turn, ``turns_to_nothing`` where a turn may leave no way,
    ``differs_in_all`` where ways that differ in more than one thing are compared, ``shows_crib`` where the crib is
    shown with a plan.
    """

    id: str
    title: str
    what: str
    rules: frozenset[str]
    kinds: tuple[str, ...]
    chooses: tuple[str, ...]
    sets: tuple[str, ...]
    features: tuple[str, ...]
    tells: tuple[str, ...]
    asks_what_for: bool
    turns_entry: bool
    turns_to_nothing: bool
    differs_in_all: bool
    shows_crib: bool


@cache
def topics() -> Mapping[str, Topic]:
    """Every topic by its id, in the order of the table, with the rules of the shipped rule base."""
    base = rule_base()
    found: dict[str, list[str]] = {entry.id: [] for entry in _table()}
    for rule in base.rules:
        found[topic_of(rule)].append(rule.id)
    return {entry.id: Topic(**(dict(entry) | {"rules": frozenset(found[entry.id])})) for entry in _table()}


def asks_what_for(topic: str | None) -> bool:
    """Whether it is the question which cutter is made for the material; not where no topic is named."""
    return topic is not None and topics()[topic].asks_what_for


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
def _table() -> tuple[Entry, ...]:
    problems: list[Problem] = []
    document = read_yaml(shared_dir() / "topics.yaml")
    found = checked(Entries, document, (), document.value, problems)
    raise_if_any(problems)
    assert found is not None
    return found.topics


@cache
def _named() -> dict[str, str]:
    """The topic of each name of the table: the id of a rule, or stage/file for all of a file."""
    return {name: entry.id for entry in _table() for name in entry.rules}
