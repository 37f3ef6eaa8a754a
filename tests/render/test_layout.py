"""How blocks are laid out: wrapped on the terminal, escaped in Markdown, spelt out where signs are missing."""

import re

import pytest

from advisor.render import markdown, terminal
from advisor.render.signs import can_show, plain, width
from advisor.text.blocks import Heading, Item, Items, Pairs, Para, Table

LONG = "a-very-long-name-without-any-space-in-it-that-fits-on-no-narrow-terminal-at-all"


def lines(*blocks: object, columns: int = 50, signs: bool = True) -> list[str]:
    return terminal.text(blocks, columns, signs).splitlines()  # type: ignore[arg-type]


@pytest.mark.parametrize("columns", [30, 50, 80])
def test_a_word_that_fits_nowhere_is_broken_and_not_cut(columns: int) -> None:
    entry = Items((Item(LONG, LONG, LONG),))
    told = lines(Heading(LONG, 1, "forbidden"), Para(LONG), Pairs(((LONG, LONG),)), entry, columns=columns)
    assert max(map(len, told)) <= columns
    assert "".join(re.sub(r"\s", "", line) for line in told).count(LONG) >= 5


def test_a_terminal_of_no_width_still_gets_its_text() -> None:
    assert "".join(line.strip() for line in lines(Para(LONG), columns=0)) == LONG


def test_a_number_stays_with_its_unit() -> None:
    told = lines(Para(f"{'x' * 42} 12.5\u00a0mm deep"), columns=50)
    assert told[1].strip() == "12.5\u00a0mm deep"


def test_wide_signs_are_counted_as_two_columns() -> None:
    assert width("板") == 2
    assert all(width(line) <= 30 for line in lines(Para("板" * 40), columns=30))


def test_what_is_compared_stays_in_columns_with_its_cells_wrapped() -> None:
    rows = (("method", "helical boring " * 3, "drilling"), ("cutter", "E12", "D12 " * 12))
    told = lines(Table(("", "advised", "compared"), rows), columns=50)
    assert max(map(len, told)) <= 50
    at = told[0].index("compared")
    assert told[1][at:].strip() == "drilling"
    assert all(line[at:].strip().startswith("D12") for line in told[-3:])


def test_a_row_in_two_lines_that_are_too_wide_stands_in_more() -> None:
    rows = (("P1", "closed pocket 96 × 60 × 29 R13", "looping", "0.7303 × 1", "0.0905", "0.5 / 0.5"),)
    told = lines(Table(("id", "feature", "method", "a_p", "a_e", "left"), rows, 3), columns=40)
    assert [line.split()[0] for line in told] == ["id", "method", "left", "P1", "looping", "0.5"]
    assert max(map(len, told)) <= 40


def test_a_table_that_is_too_wide_becomes_a_line_for_each_row() -> None:
    told = lines(Table(("id", "DC", "edge"), (("E" * 30, "12", "carbide"), ("E2", "8", "hss"))), columns=40)
    assert told[-1].strip() == "E2: DC 8, hss"


def test_columns_of_numbers_are_set_to_the_right() -> None:
    assert lines(Table(("id", "DC"), (("E1", "8"), ("E2", "12"))), columns=40) == ["  id  DC", "  E1   8", "  E2  12"]


def test_the_grade_stands_at_the_right_or_under_a_long_heading() -> None:
    assert lines(Heading("P1  slot", 2, "good"), columns=40) == ["P1  slot".ljust(36) + "good"]
    assert lines(Heading("P" * 38, 2, "good"), columns=40) == ["P" * 38, "  good"]


def test_without_signs_everything_is_ascii() -> None:
    told = terminal.text((Para("90° × 3\u00a0mm², 5 µm → −2, Hascoët, 板"),), 80, signs=False)
    assert told == "  90 deg x 3 mm2, 5 um -> -2, Hasco\\xebt, \\u677f\n"


def test_what_an_output_can_show() -> None:
    assert can_show("utf-8")
    assert not any(can_show(encoding) for encoding in ("ascii", "latin-1", "no-such-encoding", None))


def test_no_two_names_look_the_same_in_ascii() -> None:
    names = ("Fräser", "Fraser", "Fra\u0308ser", "Weiß", "Weiss", "smøla", "smola", "Å", "A", "Ａ")
    assert len({plain(name) for name in names}) == len(names)
    assert plain("jöb.yaml") == r"j\xf6b.yaml"


def test_plain_text_is_left_alone() -> None:
    assert plain("plain text") == "plain text"


def test_markdown_marks_in_names_are_escaped() -> None:
    told = markdown.text((Heading("P*1*_x_", 2), Para("# no heading"), Para("1. no list"), Para("<b>|`[x](y)")))
    assert told.split("\n\n") == [r"## P\*1\*\_x\_", r"\# no heading", r"1\. no list", r"\<b\>\|\`\[x\](y)" "\n"]


def test_a_line_break_in_a_cell_does_not_break_the_table() -> None:
    assert markdown.text((Table(("a",), (("x\ny",),)),)).splitlines()[-1] == "| x y |"


def test_a_formula_with_backticks_stays_one_code_span() -> None:
    assert markdown.code("a`b") == "`` a`b ``"
