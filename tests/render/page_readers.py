"""Reads a page back: every tag minded, every id kept, what is said apart from the drawings."""

import re
from html.parser import HTMLParser
from itertools import pairwise

VOID = {"meta", "br", "hr"}


class Page(HTMLParser):
    """A reader that minds every tag."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.ids: list[str] = []
        self.named: list[str] = []
        self.tags: list[str] = []
        self.attributes: set[str] = set()
        self.heads: list[int] = []
        self.said: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.tags.append(tag)
        self.attributes |= set(given)
        self.ids += [str(given["id"])] if "id" in given else []
        self.links += [str(given["href"])] if "href" in given else []
        self.named += [str(given[name]) for name in ("aria-labelledby", "aria-describedby") if name in given]
        self.heads += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open and "svg" not in self.open:
            self.said.append(data)

    def faults(self, text: str) -> list[str]:
        """What keeps a page from being whole in itself, sound, and readable aloud."""
        found = [f"{name} is there {self.ids.count(name)} times" for name in set(self.ids) if self.ids.count(name) > 1]
        found += [
            f"nothing is called {name}" for name in {*self.named, *re.findall(r"url\(#([^)]+)\)", text)} - set(self.ids)
        ]
        found += [f"a {tag}" for tag in set(self.tags) & {"script", "link", "img", "iframe", "object", "image", "use"}]
        found += [name for name in self.attributes if name.startswith("on") or name in ("src", "style")]
        found += [f"a link to {target}" for target in self.links if target.removeprefix("#") not in self.ids]
        found += re.findall(r"https?:|@import|url\((?!#)", text)
        if not self.tags.count("svg") == self.tags.count("desc") == self.tags.count("title") - 1:
            found.append("a drawing without words")
        if self.heads[:1] != [1] or any(later > earlier + 1 for earlier, later in pairwise(self.heads)):
            found.append(f"headings out of order: {self.heads}")
        return found


def read_page(text: str) -> Page:
    """The page, read to its end."""
    page = Page()
    page.feed(text)
    page.close()
    return page


def words(told: str) -> str:
    """The words of a text, wherever its lines break."""
    return " ".join(told.split())
