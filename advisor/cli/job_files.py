"""Which files are meant where jobs and folders of jobs are named."""

import codecs
import os
import stat
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from advisor.files.problems import Problem

SUFFIXES = (".yaml", ".yml")
KEYS = ("features",), ("part", "material")
NO_UTF_8 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE, codecs.BOM_UTF32_BE)  # that of UTF-32 LE begins as the first


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
        if not os.path.isdir(path):
            files.setdefault(os.path.abspath(path), path)
            continue
        others = []
        before = len(files)
        yaml_files, unread = _yaml_below(path)
        problems += unread
        known = bool(unread)  # then nobody knows whether there is a job
        for file in yaml_files:
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
    """Whether a YAML file has the keys of a job at its top level: features, and part or material.

    A file that cannot be read, or is text of another encoding, counts as a job: its reader says what is wrong with it.
    What is no file, such as a pipe, is none, and is not opened: that could wait for ever, or do something.
    """
    from advisor.files.reading import read_bytes
    from advisor.files.top_keys import has_keys
    from advisor.files.yaml_reader import LARGEST_FILE

    try:
        if not stat.S_ISREG(os.stat(file).st_mode):
            return False
        content = read_bytes(file, LARGEST_FILE)
    except OSError:
        return True
    return content.startswith(NO_UTF_8) or has_keys(content.decode("utf-8-sig", "replace"), *KEYS)


def _yaml_below(folder: Path) -> tuple[list[Path], list[Problem]]:
    """What is named like a YAML file in a folder or below it, by path; the folders that cannot be looked into."""
    found, problems, open_folders = [], [], [str(folder)]
    while open_folders:  # os.walk calls itself for each level on Python 3.11, and there are folders a thousand deep
        place = open_folders.pop()
        try:
            with os.scandir(place) as entries:
                seen = [entry for entry in entries if not entry.name.startswith(".")]
        except OSError as error:
            told = f"a folder that cannot be read ({error.strerror})"
            problems.append(Problem(place, None, "", told, "a folder that can be read"))
            continue
        open_folders += [entry.path for entry in seen if _is_folder(entry) and not entry.is_symlink()]
        named = (entry for entry in seen if entry.name.lower().endswith(SUFFIXES))
        found += [Path(entry.path) for entry in named if not _is_folder(entry)]
    return sorted(found), sorted(problems, key=str)


def _is_folder(entry: os.DirEntry[str]) -> bool:
    """Whether an entry is a folder or a link to one; what cannot be known, as of a link to itself, is none."""
    try:
        return entry.is_dir()
    except OSError:
        return False


def _found(others: Sequence[Path]) -> str:
    if not others:
        return "a folder without a YAML file"
    return f"a folder without a job in its {len(others)} YAML file{'' if len(others) == 1 else 's'}"
