"""Which files are meant where jobs and folders of jobs are named."""

import os
import re
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from advisor.inputs.problems import Problem

SUFFIXES = (".yaml", ".yml")
LOOKED_INTO = 1_000_000  # bytes of a file in which the keys of a job are looked for
KEY = r"^[ \t]*[{{]?[ \t]*[\"']?{}[\"']?[ \t]*:"
FEATURES = re.compile(KEY.format("features").encode(), re.MULTILINE)
JOB_KEYS = re.compile(KEY.format("(?:part|material)").encode(), re.MULTILINE)


class JobFiles(NamedTuple):
    """The job files meant, each once, in order; what was left out in folders; folders without a job."""

    files: tuple[Path, ...]
    notes: tuple[str, ...]
    problems: tuple[Problem, ...]


def job_files(named: Sequence[Path]) -> JobFiles:
    """The job files that are named, and those in the folders that are named, in this order.

    Of a folder: every YAML file in or below it that is a job, sorted by path; what has a leading dot is passed over.
    """
    files: dict[str, Path] = {}
    notes, problems = [], []
    for path in named:
        if not path.is_dir():
            files.setdefault(os.path.abspath(path), path)
            continue
        others = []
        before = len(files)
        known = False
        for file in _yaml_below(path):
            if is_job(file):
                known = True
                files.setdefault(os.path.abspath(file), file)
            else:
                others.append(file)
        if not known:
            problems.append(
                Problem(str(path), None, "", _found(others), "a YAML file with part, material and features")
            )
        elif others:
            one = len(others) == 1
            told = f"{len(others)} other YAML {'file is no job' if one else 'files are no jobs'}"
            jobs = len(files) - before
            notes.append(f"{path}: {jobs} job{'' if jobs == 1 else 's'}; {told}, the first {others[0]}")
    return JobFiles(tuple(files.values()), tuple(notes), tuple(problems))


def is_job(file: Path) -> bool:
    """Whether a YAML file has the keys of a job: features, and part or material.

    A file that cannot be read counts as a job: its reader says what is wrong with it.
    """
    try:
        with file.open("rb") as stream:
            text = stream.read(LOOKED_INTO)
    except OSError:
        return True
    return bool(FEATURES.search(text) and JOB_KEYS.search(text))


def _yaml_below(folder: Path) -> Iterator[Path]:
    found = []
    for place, folders, files in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        found += [Path(place, name) for name in files if name.lower().endswith(SUFFIXES) and not name.startswith(".")]
    yield from sorted(path for path in found if path.is_file() or path.is_symlink())


def _found(others: Sequence[Path]) -> str:
    if not others:
        return "a folder without a YAML file"
    return f"a folder without a job in its {len(others)} YAML file{'' if len(others) == 1 else 's'}"
