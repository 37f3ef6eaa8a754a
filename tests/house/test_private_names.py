"""Tests go by what a module shows: no private name of another module is imported, read or patched."""

import ast
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
OF_TUPLES = {"_replace", "_fields", "_asdict", "_make"}


def private(name: str) -> bool:
    return name.startswith("_") and not name.startswith("__") and name not in OF_TUPLES


@pytest.mark.parametrize("path", sorted(TESTS.rglob("*.py")), ids=lambda path: str(path.relative_to(TESTS)))
def test_no_private_name_of_another_module_is_used(path: Path) -> None:
    found, imported = [], set()
    nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
    for node in nodes:
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(("advisor", "tests")):
            imported |= {one.asname or one.name for one in node.names}
            found += [one.name for one in node.names if private(one.name)]
    for node in nodes:
        match node:
            case ast.Attribute(value=ast.Name(id=owner), attr=name) if owner in imported and private(name):
                found.append(f"{owner}.{name}")
            case ast.Call(args=[ast.Name(id=owner), ast.Constant(value=str() as name), *_]) if (
                owner in imported and private(name)
            ):
                found.append(f"{owner}.{name}")
    assert found == []
