"""The grammar of the formulas of measures: what it reads, and what it refuses."""

import gc
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest

from advisor.knowledge.formulas import FormulaError, function, names, parsed, with_numbers
from advisor.knowledge.shipped import rule_base

BASE = rule_base()
LENGTHS = {"depth", "top", "overcut"}


def value(text: str, **facts: float) -> float:
    return float(function(parsed(text), facts.keys(), LENGTHS)(facts, {"share": 0.5}))


def test_every_formula_of_the_register_is_of_the_grammar_and_reads_what_there_is() -> None:
    known = {*BASE.measures, *BASE.thresholds}
    assert [
        measure.name
        for measure in BASE.measures.values()
        for _, text in measure.formulas
        if not {*names(text)} <= known
    ] == []


def test_signs_bind_as_in_arithmetic() -> None:
    assert value("2 + 3 * depth ** 2", depth=4) == 50
    assert value("(2 + 3) * depth / 4", depth=4) == 5
    assert value("depth - top - 1", depth=4, top=2) == 1


def test_angles_are_in_degrees() -> None:
    assert value("sin(depth)", depth=30) == pytest.approx(0.5)
    assert value("acos(depth)", depth=0.5) == pytest.approx(60)
    assert value("atan(depth)", depth=1.0) == pytest.approx(45)
    assert value("rad(depth) / pi", depth=180) == 1


def test_a_name_is_a_fact_or_else_a_threshold() -> None:
    assert value("share * depth", depth=4) == 2
    with pytest.raises(KeyError):
        value("share * top", depth=4)


def test_two_lengths_that_differ_by_a_hair_differ_by_nothing() -> None:
    assert value("depth - top", depth=0.1 + 0.2, top=0.3) == 0
    assert value("depth - top - overcut", depth=32.1, top=32, overcut=0.1) == 0
    assert value("max(0, depth - top) / 2", depth=0.1 + 0.2, top=0.3) == 0
    assert value("depth / top - 3", depth=0.3, top=0.1) != 0  # a ratio is no length


def test_numbers_are_put_in_for_names_and_for_nothing_else() -> None:
    assert with_numbers("2 * max(depth, top) / pi + depth", lambda name: f"<{name}>") == (
        "2 * max(<depth>, <top>) / pi + <depth>"
    )
    assert names("2 * max(depth, top) / pi + depth") == ("depth", "top")
    assert names("") == ()


@pytest.mark.parametrize(
    "text", ["depth +", "depth.real", "depth[0]", "depth if top else 1", "open(depth)", "-depth", "'a'", "True"]
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(FormulaError):
        parsed(text)


@pytest.fixture
def _threads_switched_in_the_middle_of_parsing() -> Iterator[None]:
    """Python code that runs at every collection, where the interpreter may let another thread on."""

    def seen(_phase: str, _info: dict[str, int]) -> None:
        sum(range(20))

    interval, threshold = sys.getswitchinterval(), gc.get_threshold()
    sys.setswitchinterval(1e-6)
    gc.set_threshold(1)
    gc.callbacks.append(seen)
    yield
    gc.callbacks.remove(seen)
    gc.set_threshold(*threshold)
    sys.setswitchinterval(interval)


@pytest.mark.usefixtures("_threads_switched_in_the_middle_of_parsing")
def test_threads_at_different_depths_parse_at_once() -> None:
    """A job on a cluster ended with "AST constructor recursion depth mismatch" on CPython 3.11.7."""
    texts = [f"(depth + top) / {number} * (depth + 3 * top) - min(depth, top)" for number in range(1, 1001)]

    def deeper(levels: int, part: int) -> list[tuple[str, ...]]:
        return deeper(levels - 1, part) if levels else [names(text) for text in texts[part::2]]

    parsed.cache_clear()
    with ThreadPoolExecutor(2) as pool:
        both = list(pool.map(deeper, (1, 30), (0, 1)))
    assert both == [[("depth", "top")] * 500] * 2


@pytest.mark.parametrize("text", ["+".join(["1"] * 20_000), "-" * 5000 + "1", "\ud800", "1 +", "\0"])
def test_what_python_cannot_parse_is_no_expression(text: str) -> None:
    with pytest.raises(FormulaError):
        parsed(text)
