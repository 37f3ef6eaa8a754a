"""Files read as text, within bounds."""

import os
import stat
from errno import EINVAL
from pathlib import Path

from advisor.files.opening import at_once
from advisor.files.problems import BadInput, Problem, nearest_word


def read_text(path: Path, *, limit_bytes: int, plain: bool = False) -> str:
    """Return the text of a file in UTF-8, with or without byte order mark; ``plain``: of no pipe and no device.

    Raises BadInput if there is no such file, it cannot be read, is larger than `limit_bytes`, or is not text.
    """
    data = read_data(path, limit_bytes, plain=plain)
    if b"\0" in data:
        raise _refused(path, data.count(b"\n", 0, data.index(b"\0")) + 1, "binary data", "plain text in UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise _refused(
            path, line, f"a byte 0x{data[error.start]:02x} that is no UTF-8", "plain text in UTF-8"
        ) from None


def read_data(path: Path, limit_bytes: int, *, plain: bool = False) -> bytes:
    """Return the bytes of a file; ``plain`` as for `read_text`.

    Raises BadInput if there is no such file, it cannot be read or is larger than `limit_bytes`.
    """
    try:
        data = read_bytes(path, limit_bytes, plain=plain)
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        raise BadInput([_unreadable(path, error)]) from None
    if len(data) > limit_bytes:
        raise _refused(path, None, f"more than {limit_bytes / 1e6:.3g} MB", "a smaller file")
    return data


def read_bytes(path: Path, limit_bytes: int, *, plain: bool = False) -> bytes:
    """Return the bytes of a file, of a larger one any `limit_bytes` + 1. Raises OSError, or ValueError for a NUL.

    A pipe that nobody has opened to write to is empty: it is not waited for. ``plain``: raises OSError for what is no
    plain file, such as a pipe that somebody holds open and never writes to.
    """
    with open(path, "rb", opener=at_once) as stream:
        if plain and not stat.S_ISREG(os.fstat(stream.fileno()).st_mode):
            raise OSError(EINVAL, "it is a pipe or a device, no plain file")
        os.set_blocking(stream.fileno(), True)
        return stream.read(limit_bytes + 1)


def _refused(path: Path, line: int | None, found: str, wanted: str) -> BadInput:
    return BadInput([Problem(str(path), line, "", found, wanted)])


def _unreadable(path: Path, error: Exception) -> Problem:
    if isinstance(error, FileNotFoundError):
        return Problem(str(path), None, "", "no such file", "a file that can be read", _neighbour(path))
    if isinstance(error, IsADirectoryError):
        return Problem(str(path), None, "", "a folder", "a file")
    said = getattr(error, "strerror", None) or str(error)
    return Problem(str(path), None, "", f"a file that cannot be read ({said})", "a file that can be read")


def _neighbour(path: Path) -> str | None:
    try:
        return nearest_word(path.name, [entry.name for entry in os.scandir(path.parent) if entry.is_file()])
    except OSError:
        return None
