"""Which measures the product has the register work out: those that ``situation.derived`` is asked for anywhere."""

import ast
import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

from advisor.paths import data_root

ROOMS = ("situation", "methods", "choosing", "review")
ASKING = ("work_out", "worked_out")


def modules() -> Iterator[tuple[Path, ModuleType]]:
    """Yield every module of the rooms that work facts out, with its file."""
    for room in ROOMS:
        for path in sorted((data_root() / "advisor" / room).glob("*.py")):
            yield path, importlib.import_module(f"advisor.{room}.{path.stem}".removesuffix(".__init__"))


def worked_out_by_the_register() -> frozenset[str]:
    """Return the names that are handed over to be worked out: at once, or as ``names`` of a plan."""
    return frozenset(
        name
        for path, module in modules()
        for asked in _handed_over(ast.parse(path.read_text(encoding="utf-8")))
        for name in _named(asked, module)
    )


def _handed_over(tree: ast.Module) -> Iterator[ast.expr]:
    for node in ast.walk(tree):
        match node:
            case ast.Call(func=ast.Name(id=function), args=[wanted, *_]) if function in ASKING:
                yield wanted
            case ast.keyword(arg="names", value=wanted):
                yield wanted
            case ast.Call(func=ast.Attribute(value=ast.Name(id="names"), attr="append"), args=[wanted]):
                yield wanted
            case ast.AugAssign(target=ast.Name(id="names"), value=wanted):
                yield wanted
            case ast.Assign(targets=[ast.Name(id="names")], value=wanted):
                yield wanted


def _named(asked: ast.expr, module: ModuleType) -> Iterator[str]:
    """The strings of an expression, and those of the tuples of the module that it names."""
    for node in ast.walk(asked):
        match node:
            case ast.Constant(value=str() as name):
                yield name
            case ast.Name(id=group) if isinstance(found := vars(module).get(group), tuple):
                yield from found
