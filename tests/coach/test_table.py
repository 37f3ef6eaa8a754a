"""The coach's own table: what it must hold is there, and says what it is."""

import re
from pathlib import Path
from typing import get_args

import pytest

import advisor.coach
from advisor.coach.table import table, trade_number
from advisor.files.problems import BadInput
from advisor.files.yaml_reader import parse_yaml
from advisor.knowledge.assumptions import assumptions_of
from advisor.model.fields import Coolant

COACH = Path(advisor.coach.__file__).parent


def test_every_number_of_the_trade_is_asked_for_and_there() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in COACH.rglob("*.py"))
    assert set(re.findall(r'trade_number\("(\w+)"\)', texts)) == set(table()["trade"])


def test_every_part_of_the_table_is_read() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in COACH.rglob("*.py"))
    names = {*table(), *table()["would_run"]}
    assert {name for name in names if f'"{name}"' not in texts} == set()


def test_a_number_that_is_not_in_the_table_is_told_with_its_file() -> None:
    with pytest.raises(BadInput) as raised:
        trade_number("tempting_tim")
    (problem,) = raised.value.problems
    assert problem.file.endswith("coach.yaml")
    assert problem.nearest == "tempting_time"


def test_a_number_that_is_none_is_told_with_its_line() -> None:
    document = parse_yaml("spread: [1]\ntrade:\n  tempting_time: {value: often, unit: '1'}\n", "coach.yaml")
    with pytest.raises(BadInput) as raised:
        assumptions_of(document, ("trade",))
    (problem,) = raised.value.problems
    assert (problem.line, problem.field, problem.found) == (3, "trade.tempting_time", "'often'")


def test_other_sections_of_the_table_are_no_numbers_of_the_trade() -> None:
    document = parse_yaml("spread: [1]\ntrade: {steep: {value: 2, unit: deg}}\n", "coach.yaml")
    assert list(assumptions_of(document, ("trade",)).sections) == ["trade"]


def test_what_carries_liquid_to_the_cut_is_a_coolant() -> None:
    wet = table()["would_run"]["wet_coolants"]
    assert wet
    assert set(wet) < set(get_args(Coolant)) - {"none", "air"}
