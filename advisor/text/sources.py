"""Sources in full: the works of the bibliography as one would cite them."""

from __future__ import annotations

from functools import cache
from typing import Any

from advisor.files.yaml_reader import read_yaml
from advisor.knowledge.schema import Source
from advisor.paths import shared_dir


@cache
def works() -> dict[str, dict[str, Any]]:
    """The bibliography by key, read once a process."""
    found: dict[str, dict[str, Any]] = read_yaml(shared_dir() / "sources.yaml").value or {}
    return found


def reference(key: str) -> str:
    """A work in full: author, title, place, year. The key itself where the bibliography has no such work."""
    work = works().get(key)
    if work is None:
        return key
    parts = [str(work[name]) for name in ("author", "title", "where", "publisher") if work.get(name)]
    year = f" ({work['year']})" if work.get("year") else ""
    return f"{': '.join(parts[:2])}{''.join(f', {part}' for part in parts[2:])}{year}"


def cited(source: Source, house: bool = False) -> str:
    """A source in full, with what is known of the place, and whether it is from memory or a rule of the house."""
    own = "; a rule of the house" if house else ""
    if source.work is None:
        return f"{source}{own}"
    place = f", {source.section}" if source.section else ""
    memory = "; from memory, not looked up" if source.from_memory else ""
    return f"{reference(source.work)}{place}{memory}{own}"


def cited_text(text: str) -> str:
    """A source as the tables write it (``key, from memory``), in full."""
    key, _, rest = text.partition(",")
    memory = "; from memory, not looked up" if "from memory" in rest else f",{rest}" if rest else ""
    return f"{reference(key)}{memory}" if key in works() else text
