"""A checked copy of what was last read from the project's own tables, so that a command need not parse them again.

The copy is named after a digest of every file it came from, of the program and of the Python that made it: a change
of a single byte makes another name. It lies in the user's own cache folder, as trusted as Python's compiled modules,
and is passed over if it belongs to somebody else, can be written by others, or cannot be read. Without a folder to
write to, everything works as well, only slower.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import stat
import sys
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from advisor import __version__

SWITCH = "ROUGHING_NO_CACHE"
Kept = TypeVar("Kept")
PACKAGES = (Path(__file__).parent, Path(__file__).parent.parent / "rulebase")  # whose code shapes what is kept


def kept(kind: type[Kept], files: Iterable[Path], read: Callable[[], Kept]) -> Kept:
    """What some files hold: the copy if there is one of that kind, else as ``read`` gives it, which is then kept."""
    place = None if os.environ.get(SWITCH) else _place(kind.__name__, files)
    if place is None:
        return read()
    found = _load(place, kind)
    if found is None:
        found = read()
        _keep(place, found)
    return found


def _place(kind: str, files: Iterable[Path]) -> Path | None:
    """Where the copy for these very files lies; nothing if there is no home or a file cannot be read."""
    models = getattr(sys.modules.get("pydantic"), "VERSION", "")  # a copy may hold models, in the form of that version
    digest = hashlib.sha256(f"{__version__} {sys.version} {models} {Path(__file__).parent}".encode())
    try:
        for path in files:
            content = path.read_bytes()
            digest.update(f"\0{path}\0{len(content)}\0".encode())
            digest.update(content)
        for module in sorted(package / name for package in PACKAGES for name in os.listdir(package)):
            if module.suffix == ".py":
                status = module.stat()
                digest.update(f"{module} {status.st_mtime_ns} {status.st_size}".encode())
        home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    except (OSError, RuntimeError):
        return None
    return Path(home) / "roughing-advisor" / f"{kind}-{digest.hexdigest()[:32]}.pickle"


def _load(place: Path, kind: type[Kept]) -> Kept | None:
    try:
        with place.open("rb") as file:
            status = os.fstat(file.fileno())
            others = stat.S_IWGRP | stat.S_IWOTH
            if (hasattr(os, "getuid") and status.st_uid != os.getuid()) or status.st_mode & others:
                return None
            found = pickle.load(file)
    except Exception:  # whatever a damaged copy raises: it is only a copy
        return None
    return found if isinstance(found, kind) else None


def _keep(place: Path, found: object) -> None:
    """Write the copy whole or not at all, and drop the copies of earlier readings."""
    import tempfile  # only here: most commands find the copy

    content = pickle.dumps(found, protocol=pickle.HIGHEST_PROTOCOL)
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        handle, name = tempfile.mkstemp(dir=place.parent, prefix="new-", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.replace(name, place)
        except OSError:
            os.unlink(name)
        for old in place.parent.glob(f"{place.name.split('-')[0]}-*.pickle"):
            if old != place:
                old.unlink(missing_ok=True)
