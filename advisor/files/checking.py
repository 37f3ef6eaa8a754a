"""From pydantic's errors to problems with file, line, field, what was found, what is wanted and the nearest word."""

import re
from collections.abc import Iterator, Mapping
from itertools import islice
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from advisor.files.problems import MORE, MOST_PROBLEMS, BadInput, Fault, Misfit, Problem, listed, nearest_word, shown
from advisor.files.unit_scales import showing, shown_units
from advisor.files.yaml_reader import Document, YamlPath

Model = TypeVar("Model", bound=BaseModel)

_PLAIN_WANTS = {
    "string_type": "text",
    "tuple_type": "a list",
    "list_type": "a list",
    "dict_type": "a mapping of names to values",
    "model_type": "a mapping of names to values",
    "float_type": "a number",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_parsing_size": "a whole number of fewer digits",
    "int_from_float": "a whole number",
    "timezone_aware": "a time with its time zone, such as 2026-01-31T08:00:00Z",
    "datetime_type": "a date and time, such as 2026-01-31T08:00:00Z",
    "datetime_parsing": "a date and time, such as 2026-01-31T08:00:00Z",
    "datetime_from_date_parsing": "a date and time, such as 2026-01-31T08:00:00Z",
    "datetime_object_invalid": "a date and time, such as 2026-01-31T08:00:00Z",
}
# What is wanted where {width: 14,5} or {speed: 10,000} was split.
COMMA_BEGINS = "a decimal point, or nothing between thousands: a comma begins the next field"
_QUOTED = re.compile(r"'([^']*)'")


def checked(
    model: type[Model],
    document: Document,
    path: YamlPath,
    value: Any,
    problems: list[Problem],
    context: Mapping[str, Any] | None = None,
) -> Model | None:
    """Return the model of a value that stands at `path` in a document, or None with its problems added to the list.

    The context may say `units`: those of plain numbers, in which limits are told too.
    """
    given = dict(context or {})
    try:
        with showing(given.get("units", shown_units())):
            return model.model_validate(value, context=given)
    except ValidationError as error:
        told = islice(faults(error, model), MOST_PROBLEMS + 1)
        problems.extend(problem_at(document, (*path, *place), fault) for place, fault in told)
        return None


def problem_at(document: Document, path: YamlPath, fault: Fault) -> Problem:
    """Return the problem that a fault at a path of a document is."""
    found = fault.found if fault.found is not None else shown(value_at(document.value, path))
    name = field_name(document.value, path)
    return Problem(document.name, document.line(path), name, found, fault.wanted, fault.nearest)


def value_at(value: Any, path: YamlPath) -> Any:
    """Return what stands at a path, or None."""
    for step in path:
        if isinstance(value, dict):
            value = value.get(str(step))
        elif isinstance(value, list) and isinstance(step, int) and step < len(value):
            value = value[step]
        else:
            return None
    return value


def field_name(value: Any, path: YamlPath) -> str:
    """Return a path as people read it: an entry of a list by its id or name where it has one, else by its number."""
    name = ""
    for step in path:
        value = value_at(value, (step,))
        if isinstance(step, str):
            name += f".{step}" if name else step
            continue
        own = (value.get("id") or value.get("name")) if isinstance(value, dict) else None
        if isinstance(own, str) and len(own) < 40:
            name += f".{own}" if name else own
        else:
            name += f"[{step + 1}]"
    return name


def respelt(document: Document, path: YamlPath, keys: frozenset[str]) -> Any:
    """Return the mapping at a path with the fields that are text as they were spelt: 1.2080 stays "1.2080"."""
    value = value_at(document.value, path)
    if not isinstance(value, dict):
        return value
    return {key: document.texts.get((*path, key), held) if key in keys else held for key, held in value.items()}


def raise_if_any(problems: list[Problem]) -> None:
    """Raise BadInput if there are problems: each file in the order of its lines."""
    if not problems:
        return
    files = list(dict.fromkeys(problem.file for problem in problems))

    def place(problem: Problem) -> tuple[int, bool, int]:
        return files.index(problem.file), problem.found == MORE, problem.line or 0

    raise BadInput(sorted(problems, key=place))


def faults(error: ValidationError | Misfit, model: type[BaseModel]) -> Iterator[tuple[YamlPath, Fault]]:
    """Yield the faults of a failed validation, each with its path relative to the value that was validated."""
    if isinstance(error, Misfit):
        yield from (((fault.field,) if fault.field else (), fault) for fault in error.faults)
        return
    for details in error.errors(include_url=False):
        place = tuple(step for step in details["loc"] if step != "[key]")  # of a name in a mapping
        raised = details.get("ctx", {}).get("error")
        if isinstance(raised, Misfit):
            for fault in raised.faults:
                inner = place if fault.field is None else (*place, fault.field)
                found = shown(details["input"]) if fault.found is None else fault.found
                yield inner, Fault(fault.wanted, found, None, fault.nearest)
        else:
            yield place, _fault(details, model)


def _fault(details: ErrorDetails, model: type[BaseModel]) -> Fault:
    kind, value, place = details["type"], details["input"], details["loc"]
    owner, description = _owner(model, place)
    if kind == "missing":
        return Fault(description or "a value", "nothing")
    if kind == "extra_forbidden":
        return _unknown_field(str(place[-1]), owner)
    if kind == "literal_error":
        choices = _QUOTED.findall(details["ctx"]["expected"])
        nearest = nearest_word(value, choices) if isinstance(value, str) else None
        return Fault(description if not choices else f"one of {listed(choices)}", shown(value), None, nearest)
    if kind in ("tuple_type", "list_type") and isinstance(value, int | float) and not isinstance(value, bool):
        return Fault(_PLAIN_WANTS[kind], shown(value), None, f"[{shown(value)}]")
    if kind in _PLAIN_WANTS:
        return Fault(_PLAIN_WANTS[kind], shown(value))
    return Fault(description or details["msg"].removeprefix("Input should be ").lower(), shown(value))


def _unknown_field(name: str, owner: type[BaseModel]) -> Fault:
    known = [field for field in owner.model_fields if field != "assumed"]
    found = shown(name)
    if name.isdecimal():  # {width: 14,5} splits at the comma
        return Fault(COMMA_BEGINS, f"{found} as a field")
    near = getattr(owner, "meant_by", {}).get(name.strip().casefold()) or nearest_word(name, known)
    return Fault(f"a known field ({listed(known)})", f"{found} as a field", None, near)


def _owner(model: type[BaseModel], place: tuple[int | str, ...]) -> tuple[type[BaseModel], str]:
    """Return the model in which the last step of a place stands, and the description of that field."""
    description = ""
    for step in place:
        info = model.model_fields.get(step) if isinstance(step, str) else None
        if info is None:
            continue
        description = info.description or ""
        if step != place[-1] and isinstance(info.annotation, type) and issubclass(info.annotation, BaseModel):
            model = info.annotation
    return model, description if place and place[-1] in model.model_fields else ""


def repeated(document: Document, paths: Mapping[YamlPath, str], problems: list[Problem]) -> None:
    """Add a problem for each word that stands at two of the paths."""
    first: dict[str, YamlPath] = {}
    for path, word in paths.items():
        if word in first:
            wanted = f"another word (line {document.line(first[word])} has it already)"
            problems.append(problem_at(document, path, Fault(wanted, f"{shown(word)} twice")))
        first.setdefault(word, path)


def as_list(document: Document, path: YamlPath, wanted: str, problems: list[Problem]) -> list[Any]:
    """Return the list at a path; if it is none or empty, return an empty one and add a problem."""
    value = value_at(document.value, path)
    if isinstance(value, list) and value:
        return value
    found = "an empty list" if isinstance(value, list) else None
    problems.append(problem_at(document, path, Fault(wanted, found)))
    return []
