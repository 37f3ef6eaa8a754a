"""The handbook holds the whole rule base, is well-formed, and every link in it leads somewhere."""

import re
from html.parser import HTMLParser
from itertools import groupby

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.knowledge.glossary import glossary
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.paths import cases_dir
from advisor.render import book_html, book_markdown
from advisor.text.book import book
from advisor.text.book_parts import Code, Grid, Head, Link, Passage
from advisor.text.sources import works

BASE = rule_base()
HTML = book_html.text(book(BASE))
MARKDOWN = book_markdown.text(book(BASE))
VOID = {"meta", "link", "br", "hr", "img"}


class Page(HTMLParser):
    """A reader that minds every tag."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.said: list[str] = []
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        given = dict(attrs)
        self.attributes |= set(given)
        if given.get("id"):
            self.ids.append(str(given["id"]))
        if tag == "a":
            self.links.append(str(given["href"]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style":
            self.said.append(data)


def read(html: str) -> Page:
    page = Page()
    page.feed(html)
    page.close()
    return page


PAGE = read(HTML)


def test_every_tag_is_closed_and_every_place_is_there_once() -> None:
    assert PAGE.open == []
    assert len(PAGE.ids) == len(set(PAGE.ids))


def test_every_link_leads_to_a_place_in_the_book() -> None:
    assert {link.removeprefix("#") for link in PAGE.links} <= set(PAGE.ids)
    assert all(link.startswith("#") for link in PAGE.links), "nothing from elsewhere"


def test_nothing_is_fetched_and_nothing_is_run() -> None:
    assert not PAGE.tags & {"script", "link", "img", "iframe", "object"}
    assert not {name for name in PAGE.attributes if name.startswith("on") or name in ("src", "style")}
    assert not re.search(r"url\(|@import|https?://", HTML)


@pytest.mark.parametrize("form", ["html", "markdown"])
def test_every_rule_threshold_measure_and_source_is_in_it(form: str) -> None:
    text = {"html": HTML, "markdown": MARKDOWN}[form]
    places = [f"rule-{rule.id}" for rule in BASE.rules]
    places += [f"threshold-{name}" for name in BASE.thresholds]
    places += [f"measure-{name}" for name in BASE.measures]
    places += [f"source-{key}" for key in works()]
    missing = [place for place in places if f'id="{place}"' not in text]
    assert missing == []


def test_every_rule_tells_all_that_its_page_tells() -> None:
    sections = {part.split('"')[0]: part for part in HTML.split('<section class="rule" id="rule-')[1:]}
    assert set(sections) == {rule.id for rule in BASE.rules}
    for rule in BASE.rules:
        part = sections[rule.id].split("</section>")[0]
        for head in ("When", "Why", "Fires at", "Does not fire at", "Source"):
            assert f"<h4>{head}</h4>" in part, (rule.id, head)
        at = f"source-{rule.source.work}" if rule.source.work else "source-common-practice"
        assert f'href="#{at}"' in part


def test_markdown_links_lead_to_its_own_anchors() -> None:
    anchors = re.findall(r'<a id="([^"]+)"></a>', MARKDOWN)
    assert len(anchors) == len(set(anchors))
    assert set(re.findall(r"\]\(#([^)]+)\)", MARKDOWN)) <= set(anchors)


def test_every_row_of_a_markdown_table_has_all_its_cells() -> None:
    tables = [list(rows) for in_table, rows in groupby(MARKDOWN.splitlines(), _in_a_table) if in_table]
    assert len(tables) == sum(isinstance(leaf, Grid) for leaf in book(BASE)) > 3
    for heads, *rows in tables:
        assert [row for row in rows if _cells(row) != _cells(heads)] == []


def _in_a_table(line: str) -> bool:
    return line.startswith("|")


def _cells(row: str) -> int:
    return len(re.findall(r"(?<!\\)\|", row)) - 1


def test_every_word_of_the_trade_is_in_it() -> None:
    assert len(glossary().terms) > 50
    for term in glossary().terms:
        assert any(term == said.strip() for said in PAGE.said), term


def test_what_the_data_say_is_escaped() -> None:
    leaves = (
        Head("<script>a</script>", 1, "top"),
        Passage(("<b>&", Code("a<b"), Link('"<i>', "top"))),
        Grid(("<u>",), (("", (("<s>|x",),)),)),
    )
    page = read(book_html.text(leaves))
    assert not page.tags & {"script", "b", "i", "u", "s"}
    assert "<script>" not in book_markdown.text(leaves).replace("\\<", "")
    assert "\\|x" in book_markdown.text(leaves)


def test_the_changes_of_a_house_are_in_its_book_and_their_links_lead_somewhere() -> None:
    house = cases_dir() / "rack-slot-worn-axes" / "house"
    ended = CliRunner().invoke(app, ["rules", "book", "--format", "html", "--house", str(house)])
    assert ended.exit_code == 0
    page = read(ended.stdout)
    assert {link.removeprefix("#") for link in page.links} <= set(page.ids)
    assert "House rules" in page.said
    assert "source-house" in page.ids


def test_a_moved_threshold_is_in_the_book_at_once() -> None:
    moved = BASE.thresholds["loop_room_ratio_least"]._replace(value=1.234)
    other = RuleBase(
        BASE.rules,
        {**BASE.thresholds, moved.name: moved},
        BASE.measures,
        BASE.by_id,
        BASE.limits,
    )
    assert "<td>1.23</td>" not in HTML
    assert "<td>1.23</td>" in book_html.text(book(other))
