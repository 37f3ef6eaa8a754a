"""Where the data of the project lies, in a checkout beside the package, in a wheel inside it; and where the user's."""

import os
from functools import cache
from pathlib import Path

APP = "roughing-advisor"  # the name of our folder among the user's
CONFIG = "ROUGHING_CONFIG"
SHOP = "shop.yaml"


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


def setup_dir() -> Path:
    """Return the folder of what the first files of a shop are made of."""
    return shared_dir() / "setup"


def cases_dir() -> Path:
    """Return the folder of the worked cases."""
    return data_root() / "cases"


def config_dir() -> Path:
    """Return the folder of the user's own settings, whether it is there or not: the one that ROUGHING_CONFIG names,
    else one of the system's for this user.
    """
    named = os.environ.get(CONFIG)
    if named:
        return Path(named)
    from platformdirs import user_config_path

    return user_config_path(APP, appauthor=False)


def default_shop() -> Path | None:
    """Return the shop file that answers for jobs that name none, or None where the user has none.

    One that is there and cannot be read is returned too: its reader says what is wrong with it.
    """
    path = config_dir() / SHOP
    try:
        os.lstat(path)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except (OSError, ValueError):
        pass
    return path


def is_case(path: Path) -> bool:
    """Return whether a file lies in the folder of the worked cases, which mean the demo shop where they name none."""
    return cases_dir() in Path(os.path.realpath(path)).parents
