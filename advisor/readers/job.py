"""A job read from a YAML document: its head, and its features one by one."""

from collections.abc import Callable, Mapping, Sequence
from itertools import islice
from typing import Any

from advisor.files.checking import as_list, checked, problem_at, repeated, respelt
from advisor.files.problems import MOST_PROBLEMS, Fault, Misfit, Problem, listed, shown
from advisor.files.thousands import unclear_thousands
from advisor.files.units import Units, units_or
from advisor.files.yaml_reader import Document, YamlPath
from advisor.knowledge.trade_words import meanings, meant, refused_kind, written_as
from advisor.model.features import FEATURE_KINDS, FeatureBase, parts_of
from advisor.model.fields import yes_no_or_same
from advisor.model.job import Job, JobHead
from advisor.readers.drawing_marks import Marked, marks_read, width_read

_TEXTS = frozenset({"part", "material", "state", "hardness", "machine", "shop", "id", "marked"})

_MARKS: Mapping[str, Callable[[dict[str, Any]], Marked]] = {
    "round_hole": marks_read,
    **dict.fromkeys(("slot", "closed_pocket", "open_pocket"), width_read),
}
_LARGE = frozenset({"length", "width", "depth", "diameter"})


def read_job(document: Document, problems: list[Problem], notes: list[str] | None = None) -> Job | JobHead | None:
    """Return the job of a document, its head alone if a feature is wrong, None if the head is.

    Adds what is wrong to the problems, and what was made of a mark of a drawing to the notes.
    """
    if not isinstance(document.value, dict):
        problems.append(problem_at(document, (), Fault("a job: part, units, material, machine, features")))
        return None
    whole = respelt(document, (), _TEXTS)
    head = checked(JobHead, document, (), {key: value for key, value in whole.items() if key != "features"}, problems)
    features = _read_features(document, units_or(whole.get("units"), "mm"), problems, notes)
    if head is None or features is None:
        return head
    return Job(**{name: getattr(head, name) for name in JobHead.model_fields}, features=features)


def _read_features(
    document: Document, units: Units, problems: list[Problem], notes: list[str] | None
) -> tuple[Any, ...] | None:
    before = len(problems)
    entries = as_list(document, ("features",), "a list of features", problems)
    features: list[FeatureBase | None] = []
    for index in range(len(entries)):
        features.append(_read_feature(document, ("features", index), units, problems, notes))
        if len(problems) > MOST_PROBLEMS:
            return None
    ids: dict[YamlPath, str] = {
        ("features", index, "id"): feature.id for index, feature in enumerate(features) if feature is not None
    }
    repeated(document, ids, problems)
    if units == "mm":
        problems.extend(islice(unclear_thousands(document, "features", frozenset(), _LARGE), MOST_PROBLEMS + 1))
    if len(problems) > before:
        return None
    every = tuple(feature for feature in features if feature is not None)
    _parts_named_apart(document, every, problems)
    return every if len(problems) == before else None


def _parts_named_apart(document: Document, features: Sequence[FeatureBase], problems: list[Problem]) -> None:
    """Add a problem for each feature that is answered in parts, as stock on walls and floor is two cuts, and one of
    whose parts has the id of another feature.
    """
    ids = {feature.id for feature in features}
    for index, feature in enumerate(features):
        parts = parts_of(feature)
        if taken := [part.id for part in parts if len(parts) > 1 and part.id in ids]:
            wanted = f"another id: {taken[0]} is that of another feature, and of a part of this one"
            problems.append(problem_at(document, ("features", index, "id"), Fault(wanted)))


def _read_feature(
    document: Document, path: YamlPath, units: Units, problems: list[Problem], notes: list[str] | None
) -> FeatureBase | None:
    value = respelt(document, path, _TEXTS)
    if not isinstance(value, dict):
        problems.append(problem_at(document, path, Fault("a feature: a mapping with id, kind and sizes")))
        return None
    typed = value.get("kind")
    if isinstance(typed, str) and (other := refused_kind(typed)) is not None:
        found = f"{shown(typed)}, which is not roughed here: {other.because}"
        problems.append(problem_at(document, (*path, "kind"), Fault(other.instead, found)))
        return None
    if isinstance(typed, str):
        value = _with_what_it_says(document, path, typed, value, problems)
    try:
        kind = meant("kinds", typed, _possible(typed, value, units)) if isinstance(typed, str) else None
    except Misfit as error:
        problems.append(problem_at(document, (*path, "kind"), error.faults[0]))
        return None
    if kind is None:
        problems.append(problem_at(document, (*path, "kind"), Fault(f"one of {listed(FEATURE_KINDS)}")))
        return None
    marked = _MARKS.get(kind, Marked)(value)
    if marked.faults:
        problems.extend(problem_at(document, (*path, fault.field or ""), fault) for fault in marked.faults)
        return None
    if marked.note and notes is not None:
        notes.append(marked.note)
    return checked(FEATURE_KINDS[kind], document, path, marked.fields | {"kind": kind}, problems, {"units": units})


def _with_what_it_says(
    document: Document, path: YamlPath, typed: str, value: dict[str, Any], problems: list[Problem]
) -> dict[str, Any]:
    """The fields of a feature with those that its word says: a counterbore has a flat floor. One that is given
    otherwise is a problem.
    """
    said = written_as(typed)
    if said is None:
        return value
    for name, fixed in said.fixed.items():
        if name in value and yes_no_or_same(value[name]) != fixed:
            wanted = f"{name}: {shown(fixed)}, as a {said.word} has it, or kind: {said.kind}"
            problems.append(problem_at(document, (*path, name), Fault(wanted)))
    return {**said.usual, **value, **said.fixed}


def _possible(typed: str, value: dict[str, Any], units: Units) -> tuple[str, ...]:
    """The kinds that a word may mean: of several the one that alone can have the fields beside it, as a pocket with
    open sides is an open one. All kinds where that leaves none or several.
    """
    from pydantic import ValidationError

    found, several = [], meanings("kinds", typed)
    for kind in several if len(several) > 1 and set(several) <= set(FEATURE_KINDS) else ():
        try:
            FEATURE_KINDS[kind].model_validate(value | {"kind": kind}, context={"units": units})
        except ValidationError:
            continue
        found.append(kind)
    return (found[0],) if len(found) == 1 else tuple(FEATURE_KINDS)
