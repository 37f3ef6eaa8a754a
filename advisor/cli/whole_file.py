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
    import tempfile

    target = path.resolve()
    content = text.encode("utf-8")
    if target.exists() and not target.is_file():
        with target.open("wb") as device:
            device.write(content)
        return
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_mask()
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, mode)
        os.replace(name, target)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
