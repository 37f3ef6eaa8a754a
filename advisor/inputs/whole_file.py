"""Writing a file whole or not at all."""

import os
import stat
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, text: str) -> None:
    """Write text as UTF-8 to a file, which is the old one until all of the new one is there.

    A link is followed; what is no plain file, such as a device, is written to as it is.
    Raises OSError where it cannot be written; the old file then stands.
    """
    target = path.resolve()
    content = text.encode("utf-8", "backslashreplace")  # a path with signs of no encoding may stand in it
    if target.exists() and not target.is_file():
        with target.open("wb") as device:
            device.write(content)
        return
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_mask()
    name = target.with_name(f".{target.name[:40]}-{os.urandom(8).hex()}.part")  # known before it is there
    try:
        with open(name, "xb", opener=_own) as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with suppress(OSError):
            name.unlink()
        raise


def _own(path: str, flags: int) -> int:
    """Open for the user alone until it is whole."""
    return os.open(path, flags, 0o600)


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
