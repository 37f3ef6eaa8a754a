"""Writes what every command answers on every case, a file each: ``python -m tests.cases.answers FOLDER [WORD]``.

Made for a move that must change no answer: run it on the commit before and on the one after, and compare the folders
with ``diff -r``. It asks the package that lies beside it; with a word, only the command lines that it stands in.
"""

import contextlib
import io
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import typer.main

from advisor.cli.main import app
from advisor.files.yaml_reader import read_yaml

ROOT = Path(__file__).parents[2]
FORMATS = ("text", "json", "markdown", "html")
ALONE = (
    "rules list", "rules book", "rules book --format html", "materials", "schema advice", "schema review", "schema job",
    "schema shop", "schema crib", "schema plan", "words engagement", "crib shared/crib.csv",
)  # fmt: skip
COMMAND = typer.main.get_command(app)


def questions() -> Iterator[str]:
    """The command lines, without the program's name."""
    yield from ALONE
    for job in sorted((ROOT / "cases").glob("*/job.yaml")):
        path = job.relative_to(ROOT)
        for form in FORMATS:
            yield f"advise {path} --format {form}"
        for feature in read_yaml(job).value["features"]:
            yield from (f"why {path} {feature['id']} --format {form}" for form in FORMATS[:3])
            yield f"why {path} {feature['id']} --not layered_pocketing"
        for plan in sorted(job.parent.glob("plans/*")):
            yield from (f"review {path} {plan.relative_to(ROOT)} --format {form}" for form in FORMATS)


def answer(line: str) -> str:
    """What a command line prints to both streams, and its exit code."""
    out = io.TextIOWrapper(io.BytesIO(), "utf-8")
    code: object = 0
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        try:
            COMMAND(line.split(), prog_name="roughing")
        except SystemExit as end:
            code = end.code
    out.flush()
    return f"$ roughing {line}\n{out.buffer.getvalue().decode()}\nexit {code}\n"  # type: ignore[attr-defined]


def main() -> None:
    """Ask everything and write it down."""
    folder, word = Path(sys.argv[1]), "".join(sys.argv[2:])
    folder.mkdir(parents=True, exist_ok=True)
    os.chdir(ROOT)
    os.environ["COLUMNS"] = "80"
    for line in filter(lambda line: word in line, questions()):
        (folder / line.replace("/", "_").replace(" ", "_")).write_text(answer(line), encoding="utf-8")


if __name__ == "__main__":
    main()
