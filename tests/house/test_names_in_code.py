"""Python asks what a method, a body, a way in or a rule is like, and not what it is called.

A place is a string literal that is the name of a method, a cutter body, a way in, or the id of a rule, or a use of a
module's constant that holds one. The number of places of a file can only fall: whoever takes one away lowers it here.
"""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import yaml

from advisor.knowledge.shipped import rule_base
from advisor.methods import registry
from advisor.model.body import BODIES
from advisor.model.cutter import Body
from advisor.model.entry import ENTRIES
from advisor.model.plan_fields import Entry, Method

ROOT = Path(__file__).parents[2]
CODE = ROOT / "advisor"
METHODS = frozenset(yaml.safe_load((ROOT / "shared" / "ways.yaml").read_text(encoding="utf-8")))
NAMES = METHODS | {*get_args(Body), *get_args(Entry)} | {rule.id for rule in rule_base().rules}
# Asked with a name that comes from data, so that they name nothing themselves.
REGISTERS = frozenset({"METHODS", "BODIES", "ENTRIES"})

# The values that are the methods, bodies and ways in, and the words that cribs and plans may write for them.
OBJECTS: dict[str, int] = {
    "advisor/methods/boring.py": 2,
    "advisor/methods/engagement.py": 4,
    "advisor/methods/entries.py": 20,
    "advisor/methods/facing.py": 3,
    "advisor/methods/holes.py": 2,
    "advisor/methods/layers.py": 4,
    "advisor/methods/plunging.py": 2,
    "advisor/methods/registry.py": 8,
    "advisor/methods/slotting.py": 2,
    "advisor/model/body.py": 9,
    "advisor/model/cutter.py": 6,
    "advisor/model/entry.py": 10,
    "advisor/model/owner.py": 1,
    "advisor/model/plan_fields.py": 12,
}
# What is left elsewhere.
LEFT: dict[str, int] = {
    "advisor/analysis/blockers.py": 2,  # a solid end mill is tried instead
    "advisor/analysis/repair.py": 1,  # the widest solid end mill on offer
    "advisor/analysis/standard_cutters.py": 6,  # makes the cutters on offer, a section of the table each
    "advisor/coach/kinds/flaws.py": 2,  # the drill, as the name of a setting
    "advisor/model/answer.py": 1,  # the drill, as what decides between two ways
    "advisor/review/coverage.py": 1,  # the drill, as a word of a fact
    "advisor/review/operation.py": 1,  # the drill, as the name of a setting
    "advisor/review/assumed.py": 2,  # the drill, as the name of a setting
}

Place = tuple[str, str]  # a module and a constant of it


def _module(path: Path) -> str:
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def _literals(tree: ast.AST) -> Iterator[ast.Constant]:
    return (one for one in ast.walk(tree) if isinstance(one, ast.Constant) and one.value in NAMES)


def _constants(tree: ast.Module) -> Iterator[tuple[str, ast.expr]]:
    """The constants of a module, each with its value."""
    for one in tree.body:
        targets = one.targets if isinstance(one, ast.Assign) else [one.target] if isinstance(one, ast.AnnAssign) else []
        value = getattr(one, "value", None)
        for target in targets:
            names = target.elts if isinstance(target, ast.Tuple) else [target]
            for name in names:
                if isinstance(name, ast.Name) and name.id.strip("_").isupper() and value is not None:
                    yield name.id, value


class Source:
    """A module as it is written, with what its names mean."""

    def __init__(self, path: Path) -> None:
        """Read a file of Python."""
        self.path, self.module = str(path.relative_to(ROOT)), _module(path)
        self.tree = ast.parse(path.read_text(encoding="utf-8"))
        self.constants = dict(_constants(self.tree))
        self.imported: dict[str, tuple[str, str]] = {}
        for one in ast.walk(self.tree):
            if isinstance(one, ast.ImportFrom) and one.module:
                self.imported |= {alias.asname or alias.name: (one.module, alias.name) for alias in one.names}

    def meant(self, node: ast.AST) -> Place | None:
        """The constant that an expression means; nothing where it means none."""
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            return (self.module, node.id) if node.id in self.constants else self.imported.get(node.id)
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id in self.imported:
            return ".".join(self.imported[node.value.id]), node.attr
        return None

    def uses(self, tree: ast.AST) -> Iterator[Place]:
        """The constants that are used in a part of it."""
        return (place for node in ast.walk(tree) if (place := self.meant(node)) and place[1] not in REGISTERS)


def places() -> Counter[str]:
    """How many places there are in each file."""
    sources = [Source(path) for path in sorted(CODE.rglob("*.py"))]
    values = {(one.module, name): (one, value) for one in sources for name, value in one.constants.items()}
    holders = {place for place, (_, value) in values.items() if place[1] not in REGISTERS and any(_literals(value))}
    while more := {
        place
        for place, (one, value) in values.items()
        if place not in holders and place[1] not in REGISTERS and holders.intersection(one.uses(value))
    }:
        holders |= more
    found: Counter[str] = Counter()
    for one in sources:
        count = len(list(_literals(one.tree))) + sum(place in holders for place in one.uses(one.tree))
        if count:
            found[one.path] = count
    return found


def test_the_values_are_those_that_may_be_written() -> None:
    assert set(METHODS) == set(get_args(Method)) == set(registry.METHODS)
    assert tuple(BODIES) == get_args(Body)
    assert tuple(ENTRIES) == get_args(Entry)


def test_no_more_code_asks_for_names() -> None:
    assert dict(places()) == OBJECTS | LEFT
