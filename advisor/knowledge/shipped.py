"""The rule base that the program ships with."""

from __future__ import annotations

from functools import cache

from advisor.files.cache import kept
from advisor.knowledge.schema import RuleBase
from advisor.paths import rules_dir, shared_dir


@cache
def rule_base() -> RuleBase:
    """The shipped rule base, read once a process; from a checked copy where there is one.

    Raises:
        BadInput: the rule base is damaged.
    """
    folder, bibliography = rules_dir(), shared_dir() / "sources.yaml"

    def read() -> RuleBase:
        from advisor.knowledge.loader import load  # only here: with a copy at hand nothing needs the readers

        return load(folder, bibliography)

    return kept(RuleBase, [*sorted(folder.rglob("*.yaml")), bibliography], read)
