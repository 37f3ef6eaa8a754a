"""The worked cases as the tests read them: what is expected, and what the program advises."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from advisor.choosing.job_advice import Advice
from advisor.model.answer import FeatureAdvice
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.service import advise
from tests import plain_yaml


def folders() -> list[Path]:
    """Return the folders of all cases, sorted."""
    return sorted(folder for folder in cases_dir().iterdir() if (folder / "expected.yaml").is_file())


@cache
def expected(name: str) -> dict[str, Any]:
    """Return what is expected of a case."""
    found: dict[str, Any] = plain_yaml.load(cases_dir() / name / "expected.yaml")
    return found


@cache
def advice(name: str) -> Advice:
    """Return what the program advises in a case; worked out once a run."""
    return advise(read_assignment(cases_dir() / name / "job.yaml"), quick=True)


@cache
def asked(name: str) -> Advice:
    """Return what the command advises in a case: with what would change each answer; worked out once a run."""
    return advise(read_assignment(cases_dir() / name / "job.yaml"))


def feature(name: str, feature_id: str) -> FeatureAdvice:
    """Return the advice for one feature of a case."""
    return next(found for found in advice(name).features if found.region.id == feature_id)


def every_feature() -> Iterator[tuple[str, FeatureAdvice]]:
    """Yield the name of the case and the advice, for every feature of every case."""
    for folder in folders():
        for found in advice(folder.name).features:
            yield folder.name, found


def as_list(value: Any) -> list[Any]:
    """Return a list, of one where a single value is given."""
    return value if isinstance(value, list) else [value]
