"""``roughing where``: which files and folders are used."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.guard import guarded
from advisor.cli.output import Format, show, show_json

if TYPE_CHECKING:
    from advisor.text.where import Place

EXAMPLE = "Example: roughing where"


@guarded
def command(
    form: Annotated[Format, typer.Option("--format", help="Output format.")] = Format.text,
) -> int:
    """Show which files and folders are used, and whether they are there.

    Program data, the default shop and its house rules, the record of practice, and the cache.
    """
    from advisor.text.where import where_blocks

    found = tuple(_places())
    if form is Format.json:
        show_json([{"name": one.name, "path": one.path or None, "exists": one.exists} for one in found])
    else:
        show(where_blocks(found), form)
    return 0


def _places() -> Iterator["Place"]:
    from advisor.coach import record
    from advisor.paths import CONFIG, SHOP, cases_dir, config_dir, default_shop, rules_dir, shared_dir
    from advisor.text.where import Place

    def place(name: str, path: Path | None, remark: str = "", variable: str = "") -> "Place":
        whole = "" if path is None else os.path.abspath(path)
        return Place(name, whole, path is not None and os.path.exists(path), remark, variable)

    yield place("Rules", rules_dir())
    yield place("Tables and demo shop", shared_dir())
    yield place("Worked cases", cases_dir())
    shop = default_shop()
    answers = f"Jobs that name no shop use {'it' if shop else 'the demo shop'}."
    yield place("Default shop", config_dir() / SHOP, answers, CONFIG)
    yield place("House rules", *_house(shop))
    yield place("Record of practice", record.folder(), variable=record.PLACE)
    yield place("Cache", *_cache())


def _house(shop: Path | None) -> tuple[Path | None, str]:
    """The house rules of the default shop, and what there is to say of them."""
    named = "A shop names them with house, a command with --house."
    if shop is None:
        return None, named
    from advisor.files.problems import Problem
    from advisor.readers.shop import read_shop

    problems: list[Problem] = []
    found = read_shop(shop, problems)
    if problems:
        return None, f"The default shop cannot be read. {problems[0]}"
    return (None, named) if found is None or found.house is None else (found.house, "Those of the default shop.")


def _cache() -> tuple[Path | None, str, str]:
    """The folder of the cache, whether it is used, and what moves it."""
    from advisor.files.cache import SWITCH, cache_dir

    try:
        found = cache_dir()
    except (OSError, RuntimeError):
        found = None
    if os.environ.get(SWITCH):
        return found, f"Not used, since {SWITCH} is set.", "XDG_CACHE_HOME"
    return found, "" if found else "Not used, since there is no home folder.", "XDG_CACHE_HOME"
