"""In which of the worked cases each rule fires: for the advised way, or for one that was set back.

Working that out runs every case, so the answer is kept; reading it wants nothing of the reasoning.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from advisor.files.kept import kept
from advisor.knowledge.schema import Rule
from advisor.paths import cases_dir, rules_dir, shared_dir


class Firing(NamedTuple):
    """A feature of a case for which a rule fires.

    ``advised`` is whether it fires for the way that is advised; ``way`` is that way, else the first that it fires for.
    """

    case: str
    feature: str
    advised: bool
    way: str


@dataclass(frozen=True)
class Firings:
    """The firings of every rule over all shipped cases, by the rule's id."""

    by_rule: Mapping[str, tuple[Firing, ...]]

    def of(self, rule: Rule) -> tuple[Firing, ...]:
        """Where a rule fires, the cases whose advice rests on it first."""
        return tuple(sorted(self.by_rule.get(rule.id, ()), key=lambda found: (not found.advised, found)))


def firings() -> Firings:
    """The firings of the shipped rules over the shipped cases; from a checked copy where there is one."""

    def read() -> Firings:
        from advisor.text.case_runs import run  # only here: with a copy at hand nothing is run

        return run()

    return kept(Firings, list(_everything()), read)


def _everything() -> Iterator[Path]:
    """Every file that the firings rest on."""
    package = Path(__file__).parent.parent
    for folder, kind in ((rules_dir(), "*.yaml"), (shared_dir(), "*"), (cases_dir(), "*"), (package, "*.py")):
        yield from (path for path in sorted(folder.rglob(kind)) if path.is_file())
