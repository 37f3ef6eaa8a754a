"""Several files are written all together or not at all."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor.files import all_files
from advisor.files.all_files import write_all
from advisor.files.problems import BadInput
from advisor.files.whole_file import Unwritable, write_whole

WANTED = "another name"


def tree(folder: Path) -> dict[str, str | None]:
    """All that lies below a folder; the text of each file."""
    return {
        str(path.relative_to(folder)): path.read_text(encoding="utf-8") if path.is_file() else None
        for path in folder.rglob("*")
    }


def test_all_are_written_with_the_folders_they_lie_in(tmp_path: Path) -> None:
    write_all({tmp_path / "a" / "b" / "one": "1", tmp_path / "c" / "two": "ä"}, WANTED)
    assert tree(tmp_path) == {"a": None, "a/b": None, "a/b/one": "1", "c": None, "c/two": "ä"}


def test_every_file_that_is_there_is_told_and_none_is_written(tmp_path: Path) -> None:
    (tmp_path / "one").write_text("old", encoding="utf-8")
    (tmp_path / "two").symlink_to("nowhere")
    with pytest.raises(BadInput) as caught:
        write_all({tmp_path / name: "new" for name in ("new", "one", "two")}, WANTED)
    assert [problem.file for problem in caught.value.problems] == [str(tmp_path / "one"), str(tmp_path / "two")]
    assert tree(tmp_path) == {"one": "old", "two": None}


def test_a_file_that_somebody_makes_meanwhile_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(all_files, "refuse_existing", lambda *_: (tmp_path / "two").write_text("theirs"))
    with pytest.raises(BadInput):
        write_all({tmp_path / "new" / "one": "1", tmp_path / "two": "2"}, WANTED)
    assert tree(tmp_path) == {"two": "theirs"}


@pytest.mark.parametrize("error", [OSError(28, "No space left"), KeyboardInterrupt()])
@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize("replace", [True, False])
def test_where_one_fails_all_is_as_before(
    error: BaseException, at: int, replace: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if replace:
        (tmp_path / "one").write_text("old 1", encoding="utf-8")
    (tmp_path / "beside").write_text("theirs", encoding="utf-8")
    before = tree(tmp_path)
    monkeypatch.setattr(all_files, "write_whole", failing(error, at))
    with pytest.raises((OSError, KeyboardInterrupt)):
        write_all({tmp_path / name: "new" for name in ("one", "in/two", "in/deep/three")}, WANTED, replace)
    assert tree(tmp_path) == before


def failing(error: BaseException, at: int) -> Callable[..., None]:
    """A writer that fails the given time it is called, and not before or after."""
    calls: list[Any] = []

    def write(path: Path, text: str | bytes) -> None:
        calls.append(path)
        if len(calls) == at:
            raise error
        write_whole(path, text)

    return write


@pytest.mark.parametrize("there", ["folder", "pipe"])
def test_what_is_no_plain_file_is_not_replaced(there: str, tmp_path: Path) -> None:
    import os

    target = tmp_path / "target"
    if there == "folder":
        target.mkdir()
    elif hasattr(os, "mkfifo"):
        os.mkfifo(target)
    else:
        pytest.skip("needs named pipes")
    with pytest.raises(Unwritable):
        write_all({tmp_path / "one": "1", target: "2"}, WANTED, replace=True)
    assert [path.name for path in tmp_path.iterdir()] == ["target"]
