"""What DEVELOPERS.md says of rooms, files and commands is so, and its walk through a first rule is a real session."""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer.main

from advisor.cli.main import app

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMAND = typer.main.get_command(app)
PAGES = sorted((ROOT / ".docs").glob("*.md"))
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.DOTALL | re.MULTILINE)
QUOTED = re.findall(r"`([^`\n]+)`", FENCE.sub("", GUIDE))
# Programs that are not of the project.
ELSEWHERE = {"chromium", "diff", "git", "grep", "pip", "pre-commit", "python3", "source"}
# Made by who works on it, or named without its place.
MADE = {".docs/site/html", "coach/NAME.json", "NAME.open", "x.yaml", "x.examples.yaml"}
FILES = [
    path.relative_to(ROOT).as_posix()
    for folder in ("advisor", "rules", "shared", "cases", "tests", ".docs", ".ci")
    for path in (ROOT / folder).rglob("*")
    if "__pycache__" not in path.parts
] + [path.name for path in ROOT.iterdir()]


def marked(mark: str) -> list[str]:
    """The fenced blocks that follow a mark."""
    return re.findall(rf"<!-- {mark} -->\n```\w*\n(.*?)```", GUIDE, re.DOTALL)


def command_lines() -> Iterator[str]:
    """Every command of the guide: of its fenced blocks, without comments, and of its sentences."""
    for language, text in FENCE.findall(GUIDE):
        lines = text.splitlines()
        if not language and lines[0].startswith("$ "):
            yield from (line[2:] for line in lines if line.startswith("$ "))
        elif not language and re.match(r"[\w.=]+[ /]", lines[0]):
            yield from (part for line in lines for part in line.partition(" #")[0].split("&&"))
    yield from (
        text for text in QUOTED if re.match(r"(roughing|python|pip|grep|pre-commit) \S|(SNAPSHOTS|HYP\w+)=", text)
    )


def rooms() -> list[str]:
    """The rooms in the order of the table: the name of each folder or module."""
    table = GUIDE.partition("\n| room |")[2].partition("\n\n")[0]
    cells = [line.split("|")[1] for line in table.splitlines()[2:]]
    return [name for cell in cells for name in re.findall(r"`(\w+)(?:/|\.py)`", cell)]


def test_every_room_stands_in_the_map() -> None:
    here = {path.stem for path in (ROOT / "advisor").iterdir() if path.is_dir() or path.suffix == ".py"}
    assert sorted(rooms()) == sorted(name for name in here if not name.startswith("_"))


def test_rooms_stand_in_the_order_in_which_they_may_import() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (contract,) = (found for found in settings["tool"]["importlinter"]["contracts"] if found["type"] == "layers")
    assert rooms() == [name.strip() for layer in contract["layers"] for name in layer.split("|")]


def test_every_file_that_is_named_is_there() -> None:
    named = {
        text.partition(":")[0].rstrip("/") for text in QUOTED if re.fullmatch(r"[\w./-]+(\.\w+|/)(: \w+)?", text)
    } | set(re.findall(r"(?:tests|cases|advisor)/[\w./-]+", GUIDE))
    named = {name.rstrip("/.") for name in named} - {"cases/NAME/job.yaml"}
    assert len(named) > 50
    missing = {name for name in named if not any(f"/{path}".endswith(f"/{name}") for path in FILES)}
    assert missing <= MADE


def test_every_name_of_code_or_data_that_is_quoted_is_there() -> None:
    held = " ".join(part for fence in FENCE.findall(GUIDE) for part in fence)  # what the walks through it make
    for folder, kind in (("advisor", "*.py"), ("tests", "*.py"), ("rules", "*.yaml"), ("shared", "*.yaml")):
        held += " ".join(path.read_text(encoding="utf-8") for path in (ROOT / folder).rglob(kind))
    known_words = set(re.findall(r"\w+", held))
    named = {text for text in QUOTED if re.fullmatch(r"[a-zA-Z_]\w*(\(.*\))?", text)}
    assert len(named) > 100
    assert {text for text in named if not known_words.issuperset(re.findall(r"\w+", text))} == set()


def misplaced(guide: str) -> set[tuple[str, str]]:
    """The names that a guide quotes as of a file and that do not stand in it, each with the file."""
    text = FENCE.sub("", guide).replace("\n", " ")
    said = re.findall(r"`(\w+)(?:\(.*?\))?`\s+(?:of |in |\()`([\w./-]+\.(?:py|yaml|html|toml))`", text)
    assert said
    return {(name, file) for name, file in said if not any(name in words_of(path) for path in places_of(file))}


def places_of(file: str) -> list[Path]:
    """The files that a name may mean."""
    return [ROOT / path for path in FILES if f"/{path}".endswith(f"/{file}")]


def words_of(path: Path) -> set[str]:
    """The words of a file."""
    return set(re.findall(r"\w+", path.read_text(encoding="utf-8")))


def test_what_is_quoted_as_of_a_file_stands_in_that_file() -> None:
    assert misplaced(GUIDE) == set()


def test_a_name_that_stands_elsewhere_is_not_meant() -> None:
    assert misplaced("`narrowed` of `easing.py`, `narrowed` in `pace.py`") == {("narrowed", "pace.py")}


@pytest.mark.parametrize("page", ["DEVELOPERS.md", "README.md", *(f".docs/{path.name}" for path in PAGES)])
def test_every_link_leads_somewhere(page: str) -> None:
    text = FENCE.sub("", (ROOT / page).read_text(encoding="utf-8"))
    heads = {
        re.sub(r"[^\w -]", "", head).strip().lower().replace(" ", "-") for head in re.findall(r"^#+ (.*)", text, re.M)
    }
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        path, _, anchor = target.partition("#")
        if path:
            assert path.startswith("https://") or ((ROOT / page).parent / path).exists(), target
        else:
            assert anchor in heads, target


@pytest.mark.parametrize("line", sorted({line.strip() for line in command_lines()}))
def test_every_command_that_is_quoted_exists(line: str) -> None:
    words = shlex.split(line.replace("…", ""))
    while "=" in words[0]:
        words.pop(0)  # a variable of the environment
    program, *rest = words[0].removeprefix(".venv/bin/"), *words[1:]
    if program == "roughing":
        known(COMMAND, rest)
    elif program == "pytest" or rest[:2] == ["-m", "pytest"]:
        assert all((ROOT / word).exists() for word in rest if "/" in word)
    elif program == "python":
        place = f"{rest[1].replace('.', '/')}.py" if rest[0] == "-m" else rest[0]
        assert (ROOT / place).is_file()
    else:
        assert program in ELSEWHERE | {"ruff", "mypy", "lint-imports"} or (ROOT / program).is_file()


def known(command: Any, words: list[str]) -> None:
    """Hold that a command has these subcommands and options."""
    while words and words[0] in getattr(command, "commands", {}):
        command, words = command.commands[words[0]], words[1:]
    assert not getattr(command, "commands", {}) or not words or command.invoke_without_command
    options = {name for option in command.params for name in (*option.opts, *option.secondary_opts)}
    assert {word for word in words if word.startswith("--")} <= options | {"--help"}


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with its data, in which the first rule is added as the guide says."""
    folder = tmp_path_factory.mktemp("first") / "checkout"
    for name in ("advisor", "rules", "shared", "cases"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    (rule,) = marked("first rule")
    with (folder / "rules" / "caution" / "material.yaml").open("a", encoding="utf-8") as file:
        file.write(f"\n{rule}")
    return folder


def shown(text: str) -> str:
    """A text without what hangs on place, width and counts."""
    return re.sub(r"\d+", "0", " ".join(re.sub(r"/\S*?/(?=rules/)", "", text).split()))


def test_the_walk_through_a_first_rule_is_real(copy: Path) -> None:
    sessions = marked("session")
    assert len(sessions) == 4
    for place, session in enumerate(sessions):
        typed, _, out = session.removeprefix("$ ").partition("\n")
        if place == 1:  # what the first session asks for
            with (copy / "rules" / "thresholds.yaml").open("a", encoding="utf-8") as file:
                file.write(*marked("first threshold"))
        environment = {**os.environ, "PYTHONPATH": str(copy), "COLUMNS": "80", "XDG_CACHE_HOME": str(copy / "cache")}
        run = [sys.executable, "-m", "advisor.cli.start", *shlex.split(typed)[1:]]
        done = subprocess.run(run, cwd=copy, env=environment, capture_output=True, text=True, encoding="utf-8")
        assert done.returncode == (0 if place else 2), done.stderr
        for part in out.split("...\n"):
            assert shown(part) in shown(done.stdout + done.stderr), typed
