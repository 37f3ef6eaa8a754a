"""Completion in a shell: commands, options and words are offered, and nothing else is written."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.paths import data_root

PROGRAM = "import sys; sys.argv[0] = 'roughing'; from advisor.cli.start import run; run()"


def completed(line: str, shell: str = "bash") -> list[str]:
    """What a shell is offered at the end of a line."""
    words = line.split(" ")
    said = {
        "bash": {"COMP_WORDS": "\n".join(words), "COMP_CWORD": str(len(words) - 1)},
        "zsh": {"_TYPER_COMPLETE_ARGS": line},
        "fish": {"_TYPER_COMPLETE_ARGS": line, "_TYPER_COMPLETE_FISH_ACTION": "get-args"},
        "powershell": {"_TYPER_COMPLETE_ARGS": line, "_TYPER_COMPLETE_WORD_TO_COMPLETE": words[-1]},
    }[shell]
    ended = run(**said, _ROUGHING_COMPLETE=f"complete_{shell}")
    assert (ended.returncode, ended.stderr) == (0, "")
    return [word for word in ended.stdout.splitlines() if word]


def run(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    known = {**os.environ, "PYTHONPATH": str(data_root()), **environment}
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *words],
        env=known,
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("roughing ini", ["init"]), ("roughing c", ["coach", "crib"]),
        ("roughing rules ", ["book", "check", "facts", "list", "show"]),
        ("roughing advise --form", ["--format"]), ("roughing advise --format j", ["json"]),
        ("roughing coach re", ["record", "report"]), ("roughing coach reach --min", ["--minutes"]),
        ("roughing advise ca", []),  # then the shell offers files
    ],
)  # fmt: skip
def test_commands_options_and_words_are_offered(line: str, offered: list[str]) -> None:
    assert sorted(completed(line)) == offered


@pytest.mark.parametrize("shell", ["zsh", "fish", "powershell"])
def test_each_shell_is_offered_the_commands(shell: str) -> None:
    assert any("init" in word for word in completed("roughing in", shell))


def test_zsh_is_told_to_offer_files_where_there_is_nothing_else() -> None:
    assert completed("roughing advise ca", "zsh") == ["_files"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "powershell"])
def test_the_lines_for_a_shell_can_be_had_without_touching_its_files(shell: str, tmp_path: Path) -> None:
    ended = run("--show-completion", shell, HOME=str(tmp_path), _TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION="1")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert "_ROUGHING_COMPLETE" in ended.stdout
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs the shell")
def test_bash_completes_with_them(tmp_path: Path) -> None:
    program = tmp_path / "roughing"
    program.write_text(f'#!/bin/sh\nexec \'{sys.executable}\' -c "{PROGRAM}" "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    script = (
        "source <(roughing --show-completion bash); COMP_WORDS=(roughing whe); COMP_CWORD=1; "
        '_roughing_completion roughing; echo "${COMPREPLY[@]}"'
    )
    environment = {
        **os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}", "PYTHONPATH": str(data_root()),
        "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1",
    }  # fmt: skip
    ended = subprocess.run(["bash", "-c", script], env=environment, capture_output=True, text=True, check=False)
    assert (ended.stdout, ended.stderr) == ("where\n", "")


def test_help_begins_with_what_to_try_first() -> None:
    lines = [line.strip() for line in run(COLUMNS="50").stderr.splitlines() or run(COLUMNS="50").stdout.splitlines()]
    assert lines.index("Try first:") < 5
    first = [line for line in lines if line.startswith("roughing ")]
    assert first == [
        "roughing advise cases/winch-side-plate/job.yaml",
        "roughing init my-shop",
        "roughing advise my-shop/job.yaml",
    ]
