"""Writing several files, all of them or none."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Mapping
from contextlib import suppress
from errno import EINVAL
from pathlib import Path

from advisor.files.problems import BadInput, Problem
from advisor.files.whole_file import write_whole, writing


def refuse_existing(paths: Iterable[Path], wanted: str) -> None:
    """Nothing, if none of the files is there.

    Args:
        paths: the files.
        wanted: what is wanted where one is there, as for a ``Problem``.

    Raises:
        BadInput: with each file that is there.
    """
    there = [_existing(path, wanted) for path in paths if os.path.lexists(path)]
    if there:
        raise BadInput(there)


def _existing(path: Path, wanted: str) -> Problem:
    return Problem(str(path), None, "", "a file that is there already", wanted)


def write_all(files: Mapping[Path, str], wanted: str, replace: bool = False) -> None:
    """Write every file, and make the folders that they lie in. Where one cannot be written, all is as it was before.

    Args:
        files: the texts by their paths.
        wanted: what is wanted where a file is there already.
        replace: whether such files are replaced.

    Raises:
        BadInput: files are there and are not to be replaced.
        Unwritable: a file or folder cannot be written.
    """
    if not replace:
        refuse_existing(files, wanted)
    before: dict[Path, bytes | None] = {}
    made: list[Path] = []
    try:
        for path in files:
            _make_folder(path.parent, made)
            if replace and os.path.lexists(path):
                before[path] = _held(path)
            else:
                _claim(path, wanted)
                before[path] = None
        for path, text in files.items():
            write_whole(path, text)
    except BaseException:
        _put_back(before, made)
        raise


def _make_folder(folder: Path, made: list[Path]) -> None:
    """Make a folder and those above it. Each new one is added to ``made``."""
    with writing(folder):
        for one in (*reversed(folder.parents), folder):
            if not os.path.lexists(one):
                made.append(one)
                one.mkdir(exist_ok=True)
        folder.mkdir(exist_ok=True)  # fails where a file is in the way


def _held(path: Path) -> bytes:
    """What a file holds that is to be replaced."""
    with writing(path):
        if not stat.S_ISREG(os.stat(path).st_mode):
            raise OSError(EINVAL, "it is there and no plain file")
        return path.read_bytes()


def _claim(path: Path, wanted: str) -> None:
    """Make a file, empty, so that nobody else makes it meanwhile."""
    with writing(path):
        try:
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        except FileExistsError:
            raise BadInput([_existing(path, wanted)]) from None


def _put_back(before: Mapping[Path, bytes | None], made: Iterable[Path]) -> None:
    for path, content in before.items():
        with suppress(OSError):
            if content is None:
                path.unlink(missing_ok=True)
            else:
                write_whole(path, content)
    for folder in reversed(tuple(made)):
        with suppress(OSError):  # somebody else has put a file into it
            folder.rmdir()
