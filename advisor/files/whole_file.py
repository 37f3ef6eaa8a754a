"""Writing a file whole or not at all."""

import os
import re
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from errno import ENXIO
from pathlib import Path

from advisor.files.opening import at_once, for_user_alone

STDOUT = 1
LEFT_OVER = 3600  # s after which a half written file is nobody's any more
HALF = re.compile(r"-[0-9a-f]{16}\.part")


class Unwritable(OSError):
    """What was to be written could not be. ``filename`` is where to; nothing for standard output."""


@contextmanager
def writing(path: Path | None) -> Iterator[None]:
    """What the system refuses meanwhile is the writing to this path, or to standard output: raises Unwritable.

    A reader that went away is told as ever, as BrokenPipeError.
    """
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        why = error.strerror or str(error)
        raise Unwritable(error.errno, why, *([] if path is None else [str(path)])) from error


def write_whole(path: Path, text: str | bytes) -> None:
    """Write text as UTF-8, or bytes as they are, to a file, which is the old one until all of the new one is there.

    A link is followed; what is no plain file, such as a device, is written to as it is. So is the file that standard
    output goes to, as ``--output /dev/stdout >> log`` says: what else goes there would go on into the old one.
    Raises Unwritable where it cannot be written; the old file then stands.
    """
    if isinstance(text, str):
        text = text.encode("utf-8", "backslashreplace")  # a path with signs of no encoding may stand in it
    content = text
    with writing(path):
        try:
            found = os.stat(path)
        except FileNotFoundError:
            _replace(_target(path), content, 0o666 & ~_mask())
            return
        target, regular = _target(path), stat.S_ISREG(found.st_mode)
        if regular and _is_stdout(found):
            with open(STDOUT, "wb", closefd=False) as out:
                out.write(content)
        # What /dev/stdout and its like lead to has no path of its own: it is a pipe, or a file that was deleted.
        elif regular and target.exists() and os.path.samestat(found, target.stat()):
            _replace(target, content, stat.S_IMODE(found.st_mode))
        else:
            _write_into(path, content)


def _is_stdout(found: os.stat_result) -> bool:
    try:
        return os.path.samestat(found, os.fstat(STDOUT))
    except OSError:  # it is closed
        return False


def _target(path: Path) -> Path:
    return Path(os.path.realpath(path))  # that of Path ends a ring of links with an error of another kind


def _replace(target: Path, content: bytes, mode: int) -> None:
    name = target.with_name(f"{_half_of(target)}-{os.urandom(8).hex()}.part")  # known before it is there
    try:
        with open(name, "xb", opener=for_user_alone) as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with suppress(OSError):
            name.unlink()
        raise
    sweep(target, LEFT_OVER)


def sweep(target: Path, older: float = 0.0) -> None:
    """Delete what was left half written of a file when the program was killed, if it is older than so many seconds."""
    start = _half_of(target)
    with suppress(OSError):
        for half in target.parent.iterdir():
            if half.name.startswith(start) and HALF.fullmatch(half.name, len(start)):
                with suppress(OSError):  # another may sweep, too
                    if time.time() - half.stat().st_mtime >= older:
                        half.unlink()


def _half_of(target: Path) -> str:
    return f".{target.name[:40]}"


def _write_into(path: Path, content: bytes) -> None:
    """Write to what is no plain file."""
    with open(path, "wb", opener=_with_a_reader) as device:
        os.set_blocking(device.fileno(), True)
        device.write(content)


def _with_a_reader(path: str, flags: int) -> int:
    """Open without waiting for the other end, should it be a pipe. Raises OSError where there is none."""
    try:
        return at_once(path, flags)
    except OSError as error:
        if error.errno == ENXIO:
            raise OSError(ENXIO, "nobody is there to read it") from None
        raise


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
