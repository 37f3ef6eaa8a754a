"""``roughing rules book``: the whole rule base as a handbook."""

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.asking import HouseFolder, base_of, house_files, keep, path_of
from advisor.cli.guard import guarded
from advisor.cli.output import remark, write

EXAMPLE = "Example: roughing rules book --format markdown"


class BookFormat(StrEnum):
    """Output format."""

    markdown = "markdown"
    html = "html"


@guarded
def command(
    house: HouseFolder = None,
    form: Annotated[BookFormat, typer.Option("--format", help="Output format.")] = BookFormat.markdown,
    output: Annotated[
        Path | None,
        typer.Option(
            "--output", metavar="FILE", parser=path_of, help="Write to this file; an error leaves it unchanged."
        ),
    ] = None,
) -> int:
    """Write the whole rule base as a handbook: a chapter a stage, thresholds, measures, words, bibliography."""
    from importlib import import_module

    from advisor.text.book import book

    base = base_of(house)
    keep(house_files(house), output)
    text: str = import_module(f"advisor.render.book_{form.value}").text(book(base))
    if output is None:
        write(text)
        return 0
    from advisor.files.problems import printable
    from advisor.files.whole_file import write_whole

    write_whole(output, text)
    remark(printable(f"{len(base.rules)} rules written to {output}"))
    return 0
