"""A learner's record: what was asked, what was answered, when. A file a learner, in the user's own data folder.

Everything else, such as what is due, is worked out of it. Every change writes the file whole or not at all.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import unicodedata
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from typing import Annotated, Any, TypeVar

from pydantic import AfterValidator, AwareDatetime, BaseModel, Field, ValidationError

from advisor.coach.exercise import DIFFICULTIES, KINDS
from advisor.files.checking import faults, field_name
from advisor.files.problems import BadInput, Problem, listed, misfit, shown
from advisor.files.reading import read_bytes, read_text
from advisor.files.whole_file import sweep, write_whole, writing
from advisor.files.yaml_reader import YamlPath
from advisor.model.fields import Frozen, PathText, Word
from advisor.paths import APP

Model = TypeVar("Model", bound=BaseModel)
VERSION = 1
# From an older version, how its values become those of the next; none is older yet.
UPGRADES: Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}
PLACE = "ROUGHING_DATA"
LARGEST = 10_000_000
MOST_VALUES = 1000  # of one answer, and of all that stands beside the answers
NAME = re.compile(r"\w[\w -]{0,39}")
DEVICES = re.compile(r"con|prn|aux|nul|(com|lpt)\d", re.IGNORECASE)  # what Windows takes for something else
FIRST_YEAR, LAST_YEAR = 1970, 2999  # what can be reckoned with: a topic may be due a century later


def _kind(found: str) -> str:
    if found not in KINDS:
        raise misfit(f"one of {listed(KINDS)}")
    return found


def _when(found: datetime) -> datetime:
    first, last = (datetime(year, 1, 1, tzinfo=UTC) for year in (FIRST_YEAR, LAST_YEAR + 1))
    if not first <= found < last:
        raise misfit(f"a time in the years {FIRST_YEAR} to {LAST_YEAR}", found=found.isoformat())
    return found


Kind = Annotated[str, AfterValidator(_kind)]
When = Annotated[AwareDatetime, AfterValidator(_when)]


class Question(Frozen):
    """What makes an exercise anew: kind, seed, difficulty, topic asked for, and the jobs that it was made of.

    ``feature`` is the one feature of the job that was meant, ``course`` the place of the exercise in its course.
    """

    kind: Kind
    seed: int
    difficulty: int = Field(ge=DIFFICULTIES[0], le=DIFFICULTIES[-1])
    topic: Word | None
    source: tuple[PathText, ...] = ()
    feature: Word | None = None
    course: PathText | None = None


class Answered(Frozen):
    """A question that was asked and how it ended. Scores are 0 to 1; nothing where it was passed over.

    ``first`` is the score of the first try, ``score`` that of the last; ``missed`` are rules behind a wrong answer.
    """

    question: Question
    topic: Word
    first: float | None = Field(default=None, ge=0, le=1)
    score: float | None = Field(default=None, ge=0, le=1)
    tries: int = Field(default=0, ge=0)
    missed: tuple[Word, ...] = ()
    when: When


class Pending(Frozen):
    """The question that waits for its answer, with the score of the first try if there was one."""

    question: Question
    first: float | None = Field(default=None, ge=0, le=1)
    missed: tuple[Word, ...] = ()


class Record(Frozen):
    """All that is kept of a learner."""

    version: int = VERSION
    who: str
    answers: tuple[Answered, ...] = ()
    pending: Pending | None = None


def name_of(who: str) -> str:
    """The learner's name as it is kept. Raises BadInput where it could not be the name of a file."""
    name = unicodedata.normalize("NFC", " ".join(who.split()))
    if not NAME.fullmatch(name) or DEVICES.fullmatch(name):
        wanted = "a name of 1 to 40 letters, digits, spaces, - and _, such as anna"
        raise BadInput([Problem("command line", None, "--who", repr(who), wanted)])
    return name


def folder() -> Path:
    """Where the records lie: in the user's data folder, or below what ROUGHING_DATA names."""
    named = os.environ.get(PLACE)
    if named:
        return Path(named) / "coach"
    from platformdirs import user_data_path

    return user_data_path(APP, appauthor=False) / "coach"


def file_of(who: str) -> Path:
    """The file of a learner; names that differ by case alone share it."""
    return folder() / f"{name_of(who).casefold()}.json"


def read(who: str) -> Record:
    """The record of a learner, an empty one where there is none yet.

    Raises:
        BadInput: the file is damaged, of a newer version or of another learner. It stays as it is, and a copy is put
            aside.
    """
    path = file_of(who)
    try:
        os.stat(path)
    except FileNotFoundError:
        return Record(who=name_of(who))
    except OSError:
        pass  # the reader says so
    try:
        text = read_text(path, limit_bytes=LARGEST, plain=True)
    except BadInput as error:
        raise BadInput([_kept(path, problem.found, problem.wanted) for problem in error.problems]) from None
    record = parse(text, path)
    if not _is_of(record, path):
        raise BadInput([_kept(path, shown(record.who), f"{path.stem}, as the file is named", field="who")])
    return record


def _is_of(record: Record, path: Path) -> bool:
    """Whether a record belongs into its file: one that was copied from another learner does not."""
    try:
        return file_of(record.who) == path
    except BadInput:
        return False


def parse(text: str, path: Path) -> Record:
    """The record that a text is. Raises BadInput as ``read`` does."""
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        raise BadInput([_kept(path, f"a damaged record ({error})", "a record as the coach wrote it", line)]) from None
    version = found.get("version") if isinstance(found, dict) else None
    if not isinstance(version, int) or version < 1:
        raise BadInput([_kept(path, "no version of a record", f"version 1 to {VERSION}")])
    if version > VERSION:
        wanted = f"version {VERSION} or older: bring the advisor up to date"
        raise BadInput([_kept(path, f"a record of version {version}", wanted)])
    try:
        for step in range(version, VERSION):
            found = UPGRADES[step](found) | {"version": step + 1}
        return _checked(found, path)
    except (KeyError, TypeError, AttributeError) as error:
        told = f"a damaged record ({type(error).__name__}: {error})"
        raise BadInput([_kept(path, told, "a record as the coach wrote it")]) from None


def _checked(found: dict[str, Any], path: Path) -> Record:
    """The record of such values. The answers are looked at one by one, up to the first that is none: what is told of
    all faults of a long record at once fills the memory. Raises BadInput.
    """
    answers = found.get("answers", ())
    if not isinstance(answers, list | tuple):
        return _valid(Record, found, found, (), path)
    whole = _valid(Record, found | {"answers": ()}, found, (), path)
    told = tuple(_valid(Answered, one, found, ("answers", place), path) for place, one in enumerate(answers))
    return whole.model_copy(update={"answers": told})


def _valid(model: type[Model], value: Any, found: dict[str, Any], place: YamlPath, path: Path) -> Model:
    """The model of a value that stands at a place of what was found. Raises BadInput with its first fault."""
    if _more_than(MOST_VALUES, value):
        field = field_name(found, place)
        raise BadInput([_kept(path, f"more than {MOST_VALUES} values", "a record as the coach wrote it", field=field)])
    try:
        return model.model_validate(value)
    except ValidationError as error:
        inner, fault = next(faults(error, model))
        field = field_name(found, (*place, *inner))
        raise BadInput([_kept(path, fault.found or "nothing", fault.wanted, field=field)]) from None


def _more_than(most: int, value: Any) -> bool:
    waiting, seen = [value], 0
    while waiting and seen <= most:
        one = waiting.pop()
        seen += 1
        inner = one.values() if isinstance(one, dict) else one if isinstance(one, list | tuple) else ()
        waiting.extend(islice(inner, most + 1))
    return seen > most


def _kept(path: Path, found: str, wanted: str, line: int | None = None, field: str = "") -> Problem:
    """The problem with a record, which says where it was copied to."""
    copy = None
    with suppress(OSError):
        content = read_bytes(path, LARGEST, plain=True)
        if len(content) <= LARGEST:
            aside = path.with_suffix(f".aside-{hashlib.sha256(content).hexdigest()[:8]}")
            if not aside.exists():
                write_whole(aside, content)
            copy = aside
    told = f"; it stays as it is, a copy is {copy}" if copy else "; it stays as it is"
    return Problem(
        str(path), line, field, found, f"{wanted}{told}; mend it, move it away, or practise as another --who"
    )


def write(record: Record, who: str) -> None:
    """Write the record of a learner whole or not at all. Raises Unwritable where it cannot be written.

    It goes to the file of ``who``, which the session holds the lock of. An interrupt that comes meanwhile is raised
    once all is written.
    """
    path = file_of(who)
    with writing(path):
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    text = as_text(record)
    try:
        write_whole(path, text)
    except KeyboardInterrupt:
        write_whole(path, text)
        raise


def as_text(record: Record) -> str:
    """The record as it stands in its file."""
    return json.dumps(record.model_dump(mode="json"), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def delete(who: str) -> bool:
    """Delete the record of a learner; whether there was one. Copies put aside go with it."""
    path = file_of(who)
    there = os.path.exists(path)
    with writing(path):
        for one in (path, *path.parent.glob(f"{path.stem}.aside-*")):
            one.unlink(missing_ok=True)
    sweep(path)
    return there


def with_answer(record: Record, answer: Answered) -> Record:
    """The record with an answer more, and nothing pending."""
    return record.model_copy(update={"answers": (*record.answers, answer), "pending": None})


def with_pending(record: Record, pending: Pending | None) -> Record:
    """The record with another question that waits."""
    return record.model_copy(update={"pending": pending})
