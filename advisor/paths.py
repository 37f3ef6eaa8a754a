"""Where the data of the project lies: in a checkout beside the package, in a wheel inside it."""

from functools import cache
from pathlib import Path


@cache
def data_root() -> Path:
    """Return the folder that holds `rules/`, `shared/` and `cases/`.

    In a checkout that is its root. In an installed wheel it is `_data` inside the package.
    """
    package = Path(__file__).resolve().parent
    checkout, bundled = package.parent, package / "_data"
    # A folder `rules` alone proves nothing: it may be another package beside ours in site-packages.
    in_checkout = (checkout / "rules").is_dir() and (checkout / "pyproject.toml").is_file()
    return checkout if in_checkout or not bundled.is_dir() else bundled


def rules_dir() -> Path:
    """Return the folder of the rule base."""
    return data_root() / "rules"


def shared_dir() -> Path:
    """Return the folder of the reference tables."""
    return data_root() / "shared"


def cases_dir() -> Path:
    """Return the folder of the worked cases."""
    return data_root() / "cases"
