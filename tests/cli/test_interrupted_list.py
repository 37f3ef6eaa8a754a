"""A list of many answers as JSON can be parsed also where an interrupt ends it early."""

import json
import signal
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from advisor.cli import interrupts, start
from advisor.cli.answers import Answer, Tally, tell
from advisor.cli.interrupts import INTERRUPTED, finished_first
from advisor.cli.output import Format
from advisor.cli.progress import Bar
from advisor.paths import cases_dir
from tests.cli.commands import begun

LONG = json.dumps("x" * 100)


@pytest.fixture
def handled(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """SIGINT as the program handles it, nothing noted before."""
    monkeypatch.setattr(interrupts, "arrived", [])
    before = signal.signal(signal.SIGINT, interrupts.on_signal)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.parametrize("answered", [0, 1, 3])
def test_an_interrupt_between_answers_closes_the_list(answered: int, capsys: pytest.CaptureFixture[str]) -> None:
    def answers() -> Iterator[Answer]:
        for number in range(answered):
            yield Answer(f"{number}.yaml", 0, record=LONG)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        tell(answers(), Format.json, Tally(), Bar(1))
    assert [one["file"] for one in json.loads(capsys.readouterr().out)] == [f"{n}.yaml" for n in range(answered)]


class HalfMade:
    """What complains when it is thrown away, as an object that an interrupt left without its fields does."""

    def __del__(self) -> None:
        raise AttributeError("owner")


@pytest.mark.usefixtures("handled")
@pytest.mark.parametrize("came", [False, True])
def test_what_an_interrupt_left_half_made_says_nothing(
    came: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "unraisablehook", start.on_unraisable)
    if came:
        with suppress(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    HalfMade()
    assert ("AttributeError" in capsys.readouterr().err) is not came


def finished(interrupts_meanwhile: int) -> list[str]:
    """Return what is finished where so many interrupts come meanwhile."""
    done: list[str] = []
    with suppress(KeyboardInterrupt), finished_first():
        for _ in range(interrupts_meanwhile):
            signal.raise_signal(signal.SIGINT)
        done.append("whole")
    return done


@pytest.mark.usefixtures("handled")
def test_an_interrupt_while_something_is_finished_comes_afterwards() -> None:
    assert finished(1) == ["whole"]
    assert interrupts.interrupted()


@pytest.mark.usefixtures("handled")
def test_a_second_interrupt_comes_at_once() -> None:
    assert finished(2) == []


@pytest.mark.usefixtures("handled")
def test_an_interrupt_with_nothing_to_finish_comes_at_once() -> None:
    with finished_first():
        pass
    with pytest.raises(KeyboardInterrupt):
        signal.raise_signal(signal.SIGINT)


@pytest.mark.parametrize("moment", [0.6, 1.2, 2.0, 3.0])
def test_the_command_interrupted_in_the_middle_leaves_a_list_that_can_be_parsed(moment: float, tmp_path: Path) -> None:
    """Nobody reads meanwhile, so that the pipe is full and the program is in the middle of writing an entry."""
    with begun("advise", cases_dir(), "--quick", "--format", "json", "--processes", "1") as running:
        time.sleep(moment)
        running.send_signal(signal.SIGINT)
        told, _ = running.communicate(timeout=300)
    assert running.returncode in (INTERRUPTED, -signal.SIGINT, 0)
    if told:
        assert all("file" in entry for entry in json.loads(told))
