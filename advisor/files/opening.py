"""How files are opened: without waiting for the other end of a pipe, or for the user alone; openers for ``open``."""

import os

WITHOUT_WAITING = getattr(os, "O_NONBLOCK", 0)  # Windows has no such pipes


def at_once(path: str, flags: int) -> int:
    """Open without waiting for the other end, should it be a pipe."""
    return os.open(path, flags | WITHOUT_WAITING)


def for_user_alone(path: str, flags: int) -> int:
    """Open what nobody but the user may read or write, if it is made now."""
    return os.open(path, flags, 0o600)
