"""A checked copy of what was last read from the project's own tables, so that a command need not parse them again.

The copy is named after a digest of every file it came from, of the program and of the Python that made it: a change
of a single byte makes another name. It lies in the user's own cache folder, as trusted as Python's compiled modules,
and is passed over if it belongs to somebody else, can be written by others, cannot be read, or is not what was
written: it begins with a digest of itself. Without a folder to write to, everything works as well, only slower.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import stat
import sys
import time
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

from advisor.files.opening import at_once, for_user_alone
from advisor.paths import APP
from advisor.version import __version__

SWITCH = "ROUGHING_NO_CACHE"
LARGEST_COPY = 50_000_000
LEFT_OVER = 3600  # seconds after which half a copy is nobody's any more
Kept = TypeVar("Kept")
ROOMS = ("files", "knowledge", "model", "readers")  # whose code shapes what is kept
PACKAGES = tuple(Path(__file__).parents[1] / room for room in ROOMS)


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
    digest = hashlib.sha256(_bytes(f"{__version__} {sys.version} {models} {Path(__file__).parent}"))
    try:
        for path in files:
            content = path.read_bytes()
            digest.update(_bytes(f"\0{path}\0{len(content)}\0"))
            digest.update(content)
        for module in sorted(package / name for package in PACKAGES for name in os.listdir(package)):
            if module.suffix == ".py":
                status = module.stat()
                digest.update(_bytes(f"{module} {status.st_mtime_ns} {status.st_size}"))
        folder = cache_dir()
    except (OSError, RuntimeError):
        return None
    return folder and folder / f"{kind}-{digest.hexdigest()[:32]}.pickle"


def cache_dir() -> Path | None:
    """The folder of the copies in the user's cache folder, whether it is there or not.

    Nothing where the user has no home, which is not made for it. Raises RuntimeError where the system knows no home.
    """
    home = _home()
    return home and home / APP


def _home() -> Path | None:
    named = Path(os.environ.get("XDG_CACHE_HOME", ""))
    if named.is_absolute():
        return named
    home = Path.home()
    return home / ".cache" if home.is_dir() else None


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")  # a path may hold what is no UTF-8


def _load(place: Path, kind: type[Kept]) -> Kept | None:
    try:
        with open(place, "rb", opener=at_once) as file:
            status = os.fstat(file.fileno())
            others = stat.S_IWGRP | stat.S_IWOTH
            if (hasattr(os, "getuid") and status.st_uid != os.getuid()) or status.st_mode & others:
                return None
            content = file.read(LARGEST_COPY)
        size = hashlib.sha256().digest_size
        if content[:size] != hashlib.sha256(content[size:]).digest():
            return None
        found = pickle.loads(content[size:])
    except Exception:  # whatever a damaged copy raises: it is only a copy
        return None
    return found if isinstance(found, kind) else None


def _keep(place: Path, found: object) -> None:
    """Write the copy whole or not at all, and drop the copies of earlier readings and what was left half written."""
    content = pickle.dumps(found, protocol=pickle.HIGHEST_PROTOCOL)
    with suppress(OSError):
        place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        name = place.with_name(f"new-{os.urandom(8).hex()}.part")
        try:
            with open(name, "xb", opener=for_user_alone) as file:
                file.write(hashlib.sha256(content).digest() + content)
            os.replace(name, place)
        except BaseException:  # an interrupt, too, leaves nothing behind
            name.unlink(missing_ok=True)
            raise
        for old in place.parent.glob(f"{place.name.split('-')[0]}-*.pickle"):
            if old != place:
                old.unlink(missing_ok=True)
        for half in place.parent.glob("new-*.part"):
            if time.time() - half.stat().st_mtime > LEFT_OVER:
                half.unlink(missing_ok=True)
