"""A job read from a YAML document: its head, and its features one by one."""

from itertools import islice
from typing import Any

from advisor.files.checking import as_list, checked, problem_at, repeated, respelt
from advisor.files.problems import MOST_PROBLEMS, Fault, Misfit, Problem, listed, nearest_word
from advisor.files.thousands import unclear_thousands
from advisor.files.units import Units, parse_units
from advisor.files.yaml_reader import Document, YamlPath
from advisor.model.features import FEATURE_KINDS, FeatureBase
from advisor.model.job import Job, JobHead

_TEXTS = frozenset({"part", "material", "state", "hardness", "machine", "shop", "id"})

_LARGE = frozenset({"length", "width", "depth", "diameter"})


def read_job(document: Document, problems: list[Problem]) -> Job | JobHead | None:
    """Return the job of a document, its head alone if a feature is wrong, None if the head is. Adds what is wrong."""
    if not isinstance(document.value, dict):
        problems.append(problem_at(document, (), Fault("a job: part, units, material, machine, features")))
        return None
    whole = respelt(document, (), _TEXTS)
    head = checked(JobHead, document, (), {key: value for key, value in whole.items() if key != "features"}, problems)
    features = _read_features(document, _units(whole.get("units", "mm")), problems)
    if head is None or features is None:
        return head
    return Job(**{name: getattr(head, name) for name in JobHead.model_fields}, features=features)


def _units(word: Any) -> Units:
    try:
        return parse_units(word)
    except Misfit:  # told by the check of the head; the features are read all the same
        return "mm"


def _read_features(document: Document, units: Units, problems: list[Problem]) -> tuple[Any, ...] | None:
    before = len(problems)
    entries = as_list(document, ("features",), "a list of features", problems)
    features: list[FeatureBase | None] = []
    for index in range(len(entries)):
        features.append(_read_feature(document, ("features", index), units, problems))
        if len(problems) > MOST_PROBLEMS:
            return None
    ids: dict[YamlPath, str] = {
        ("features", index, "id"): feature.id for index, feature in enumerate(features) if feature is not None
    }
    repeated(document, ids, problems)
    if units == "mm":
        problems.extend(islice(unclear_thousands(document, "features", frozenset(), _LARGE), MOST_PROBLEMS + 1))
    return tuple(features) if len(problems) == before else None


def _read_feature(document: Document, path: YamlPath, units: Units, problems: list[Problem]) -> FeatureBase | None:
    value = respelt(document, path, _TEXTS)
    if not isinstance(value, dict):
        problems.append(problem_at(document, path, Fault("a feature: a mapping with id, kind and sizes")))
        return None
    kind = value.get("kind")
    model = FEATURE_KINDS.get(kind) if isinstance(kind, str) else None
    if model is None:
        nearest = nearest_word(kind, FEATURE_KINDS) if isinstance(kind, str) else None
        wanted = f"one of {listed(FEATURE_KINDS)}"
        problems.append(problem_at(document, (*path, "kind"), Fault(wanted, None, None, nearest)))
        return None
    return checked(model, document, path, value, problems, {"units": units})
