"""What people type is read as the trade means it, wherever it is typed; what may mean several things is asked back."""

from pathlib import Path
from typing import Any, NamedTuple

import pytest

from advisor.analysis.asked_way import wanted_of
from advisor.coach.exercise import Choice, Part
from advisor.coach.reading import Unreadable, read
from advisor.files.problems import BadInput
from advisor.knowledge.glossary import glossary, looked_up
from advisor.knowledge.shipped import rule_base
from advisor.knowledge.trade_words import column, words_of
from advisor.knowledge.wording import in_words
from advisor.model.cutter import make_cutter
from advisor.readers.assignment import parse_assignment
from advisor.readers.crib import read_crib
from advisor.readers.plan import parse_plan
from advisor.readers.plan_line import plan_said
from advisor.readers.plan_rows import Known
from advisor.readers.plan_table import read_plan_table
from tests import plain_yaml


class Row(NamedTuple):
    """Something typed, and what comes of it: a reading, a question back, or a refusal."""

    where: str
    typed: str
    now: Any = None
    asks: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    before: str = ""


ROWS = [Row(**row) for row in plain_yaml.load(Path(__file__).parent / "typed.yaml")]
CRIB = {
    cutter.id: cutter
    for cutter in (
        make_cutter(id="T02", body="solid_end_mill", DC=16, APMX=32, ZEFP=4),
        make_cutter(id="E10", body="solid_end_mill", DC=10, APMX=22, ZEFP=3),
        make_cutter(id="D13", body="drill", DC=13, APMX=60, ZEFP=2),
        make_cutter(id="F63", body="inserted_face_mill", DC=63, APMX=5, ZEFP=5),
    )
}
KNOWN = Known({"P1": "closed_pocket", "S1": "slot", "H1": "round_hole", "F1": "planar_face"}, CRIB)
JOB = """
part: A part
material: C45
machine: {machine}
features:
- {{id: X, kind: {kind}, {sizes}}}
"""
SIZES = {
    "slot": "length: 60, width: 14, depth: 5, floor: true, open_ends: 0",
    "closed_pocket": "length: 60, width: 40, depth: 5, floor: true",
    "round_hole": "diameter: Ø 20, depth: 5, floor: true",
}


def row_of(plan: Any) -> dict[str, Any]:
    """What the first operation says, but for what the test said itself."""
    found = {name: value for name, value in plan.operations[0].row.model_dump().items() if value is not None}
    return found | {"feature": list(found["feature"])}


def job(kind: str, machine: str = "vmc-40-12k") -> Any:
    """An assignment with one feature of a kind, as that is typed."""
    meant = words_of("kinds").meanings(kind)
    sizes = SIZES.get(meant[0], "length: 60, width: 40, depth: 5") if meant else ""
    return parse_assignment(JOB.format(machine=machine, kind=kind, sizes=sizes))


def answer(row: Row, folder: Path) -> Any:
    """What is read. Raises what the reader raises."""
    base, crib = rule_base(), list(CRIB)
    match row.where:
        case "line":
            return row_of(plan_said([row.typed], CRIB, "mm", KNOWN.features))
        case "plan":
            text = f"operations:\n- {{feature: P1, cutter: E10, {row.typed}}}\n"
            return row_of(parse_plan(text, "mm", KNOWN))
        case "head":
            return row_of(read_plan_table("plan.csv", f"{row.typed}\nP1;E10;1;2;3\n".encode(), "mm", KNOWN))
        case "kind":
            return job(row.typed).job.features[0].kind
        case "machine":
            return job("slot", row.typed).machine.name
        case "body":
            (folder / "crib.csv").write_text(f"id,body,DC,APMX,ZEFP\nX,{row.typed},20,10,2\n", encoding="utf-8")
            return read_crib(folder / "crib.csv").cutters[0].body
        case "crib":
            return [column("crib", head) for head in row.typed.split(",")]
        case "why --not":
            return wanted_of(row.typed, None, None, base, crib).method
        case "why --entry":
            return wanted_of(None, None, row.typed, base, crib).entry
        case "why --cutter":
            return wanted_of(None, row.typed, None, base, crib).cutter
        case "words":
            found = looked_up(row.typed, glossary())
            if len(found) > 1:
                raise ValueError(" or ".join(term.name for term in found))
            return found[0].name
        case "coach methods" | "coach entries":
            section: Any = row.where.removeprefix("coach ")
            names = [in_words(name) for name in words_of(section).ours]
            choices = tuple(Choice(f"{place})", name) for place, name in enumerate(names))
            label = read(Part("way", "?", choices), row.typed)
            return next(choice.text for choice in choices if choice.label == label)
    raise AssertionError(row.where)


def same(found: Any, wanted: Any) -> bool:
    """Whether what is read is what is wanted, numbers but for rounding."""
    if isinstance(wanted, dict):
        return all(same(found.get(name), value) for name, value in wanted.items())
    if isinstance(wanted, int | float):
        return found == pytest.approx(wanted, rel=1e-4)
    return bool(found == wanted)


def test_there_are_fifty_of_them() -> None:
    assert len({(row.where, row.typed) for row in ROWS}) == len(ROWS) >= 50
    assert all(bool(row.now) + bool(row.asks) + bool(row.refused) == 1 for row in ROWS)


@pytest.mark.parametrize("row", [row for row in ROWS if row.now], ids=lambda row: f"{row.where}: {row.typed}")
def test_it_is_read_as_the_trade_means_it(row: Row, tmp_path: Path) -> None:
    found = answer(row, tmp_path)
    assert same(found, row.now), found
    if isinstance(row.now, dict):
        said = {"feature", "cutter"} | set(row.now)
        assert set(found) <= said, "more than was typed"


@pytest.mark.parametrize("row", [row for row in ROWS if not row.now], ids=lambda row: f"{row.where}: {row.typed}")
def test_what_may_mean_several_things_or_nothing_is_told_with_what_is_wanted(row: Row, tmp_path: Path) -> None:
    with pytest.raises((BadInput, Unreadable, ValueError)) as caught:
        answer(row, tmp_path)
    told = str(caught.value)
    assert all(words in told for words in (*row.asks, *row.refused)), told
