"""The record of a learner is never lost: not by a crash, a damaged file, a newer version, or a second session."""

import json
import os
import signal
import tracemalloc
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from advisor.coach import record as records
from advisor.coach.lock import session_of
from advisor.coach.record import Answered, Pending, Question, Record
from advisor.files.problems import BadInput

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
QUESTION = Question(kind="turn", seed=7, difficulty=3, topic="reach")
ANSWER = Answered(question=QUESTION, topic="reach", first=0.5, score=1, tries=2, missed=("shank-rubs",), when=NOON)


def filled() -> Record:
    return records.with_answer(Record(who="anna"), ANSWER)


def test_what_is_written_is_read_again(data: Path) -> None:
    kept = records.with_pending(filled(), Pending(question=QUESTION, first=0.25))
    records.write(kept, "anna")
    assert records.read("anna") == kept
    assert [path.name for path in data.iterdir()] == ["anna.json"]


def test_who_never_practised_has_an_empty_record(data: Path) -> None:
    assert records.read("berta") == Record(who="berta")
    assert not data.exists()


def test_names_that_differ_by_case_alone_are_one_learner(data: Path) -> None:
    records.write(filled(), "anna")
    assert records.read("ANNA").answers == (ANSWER,)


@pytest.mark.parametrize("name", ["../anna", "", ".", "a/b", "CON", "lpt1", "a" * 41, "a\nb\0", "x.json", "-rf"])
def test_a_name_that_is_no_file_name_is_refused(name: str) -> None:
    with pytest.raises(BadInput, match="--who"):
        records.file_of(name)


def test_the_folder_is_the_users_own_unless_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("ROUGHING_DATA", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert records.folder().name == "coach"
    assert records.folder().parent.name == "roughing-advisor"


DAMAGED = {
    "cut off": lambda text: text[: len(text) // 2],
    "empty": lambda text: "",
    "no JSON": lambda text: "who: anna",
    "a list": lambda text: "[]",
    "a score of 7": lambda text: text.replace('"score": 1.0', '"score": 7'),
    "no such kind": lambda text: text.replace('"turn"', '"guess"'),
    "deeply nested": lambda text: "[" * 100_000,
    "binary": lambda text: "\0" + text,
}


@pytest.mark.parametrize("how", DAMAGED)
def test_a_damaged_record_is_refused_by_name_and_stays_as_it_is(data: Path, how: str) -> None:
    records.write(filled(), "anna")
    file = data / "anna.json"
    file.write_text(DAMAGED[how](file.read_text()))
    before = file.read_bytes()
    with pytest.raises(BadInput, match=r"anna\.json") as refused:
        records.read("anna")
    assert "stays as it is" in str(refused.value)
    (copy,) = data.glob("anna.aside-*")
    assert file.read_bytes() == copy.read_bytes() == before


NOT_HIS_OWN = {"bob": "bob", "../../evil": "../../evil", "no name": ""}


@pytest.mark.parametrize("who", NOT_HIS_OWN)
def test_a_record_of_another_learner_is_refused_by_file_and_field(data: Path, who: str) -> None:
    """Copied by hand: practising as anna would else go on in the file of bob, without its lock."""
    records.write(Record(who=NOT_HIS_OWN[who]), "anna")
    before = (data / "anna.json").read_bytes()
    with pytest.raises(BadInput, match=r"anna\.json: who: found .*; wanted anna, as the file is named"):
        records.read("anna")
    assert (data / "anna.json").read_bytes() == before


def test_a_record_is_written_to_the_file_of_its_session(data: Path) -> None:
    records.write(Record(who="bob"), "anna")
    assert [path.name for path in data.iterdir()] == ["anna.json"]


BEYOND = ["9999-12-31T23:59:59Z", "0001-01-01T00:00:00+14:00", "3000-01-01T00:00:00Z", "1969-12-31T23:59:59Z"]


@pytest.mark.parametrize("when", BEYOND)
def test_a_time_that_cannot_be_reckoned_with_is_refused(data: Path, when: str) -> None:
    records.write(filled(), "anna")
    file = data / "anna.json"
    file.write_text(file.read_text().replace("2026-03-02T12:00:00Z", when))
    with pytest.raises(BadInput, match=r"anna\.json: answers\[1\]\.when: found .*years 1970 to 2999.*stays as it is"):
        records.read("anna")
    assert when in file.read_text()


@pytest.mark.parametrize(
    ("found", "stated", "wanted"),
    [
        ('"2026-03-02T12:00:00Z"', '"2025-01-01T00:00:00"', "a time with its time zone, such as"),
        ('"2026-03-02T12:00:00Z"', '"yesterday"', "a date and time, such as"),
        ('"tries":2', '"tries":1e308', "a whole number"),
    ],
)
def test_what_is_wanted_is_told_in_words(data: Path, found: str, stated: str, wanted: str) -> None:
    records.write(filled(), "anna")
    file = data / "anna.json"
    text = file.read_text().replace('"tries": 2', '"tries":2')
    assert found in text
    file.write_text(text.replace(found, stated))
    with pytest.raises(BadInput, match=f"wanted {wanted}"):
        records.read("anna")


def test_a_kind_that_nobody_knows_is_told_with_those_there_are(data: Path) -> None:
    records.write(filled(), "anna")
    file = data / "anna.json"
    file.write_text(file.read_text().replace('"turn"', '"guess"'))
    with pytest.raises(BadInput, match=r"answers\[1\]\.question\.kind: found 'guess'; wanted one of choose, .*explain"):
        records.read("anna")


def test_a_newer_record_is_refused_and_stays_as_it_is(data: Path) -> None:
    records.write(filled(), "anna")
    file = data / "anna.json"
    newer = json.loads(file.read_text()) | {"version": records.VERSION + 1, "moods": []}
    file.write_text(json.dumps(newer))
    with pytest.raises(BadInput, match=f"version {records.VERSION + 1}.*bring the advisor up to date"):
        records.read("anna")
    assert json.loads(file.read_text()) == newer


def test_an_older_record_is_read(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    records.write(filled(), "anna")
    old = json.loads((data / "anna.json").read_text())
    old["name"] = old.pop("who")
    (data / "anna.json").write_text(json.dumps(old))
    monkeypatch.setattr(records, "VERSION", 2)
    monkeypatch.setattr(records, "UPGRADES", {1: lambda found: {"who": found.pop("name"), **found}})
    assert records.read("anna") == filled().model_copy(update={"version": 2})


def test_a_crash_in_writing_leaves_the_old_record(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    records.write(filled(), "anna")

    def crash(*_: object) -> None:
        raise OSError("the power went")

    monkeypatch.setattr(os, "replace", crash)
    with pytest.raises(OSError, match="power"):
        records.write(Record(who="anna"), "anna")
    assert records.read("anna") == filled()
    assert [path.name for path in data.iterdir()] == ["anna.json"]


def test_an_interrupt_in_writing_does_not_lose_the_answer(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole, calls = records.write_whole, []

    def interrupted(path: Path, text: str) -> None:
        calls.append(path)
        if len(calls) == 1:
            raise KeyboardInterrupt
        whole(path, text)

    monkeypatch.setattr(records, "write_whole", interrupted)
    with pytest.raises(KeyboardInterrupt):
        records.write(filled(), "anna")
    assert records.read("anna") == filled()


def test_a_second_session_is_told_and_another_learner_is_not(data: Path) -> None:
    with session_of("anna"):
        with pytest.raises(BadInput, match="still open"), session_of("Anna"):
            pass
        with session_of("berta"):
            pass
    with session_of("anna"):
        pass


def test_a_record_can_be_deleted_with_its_copies(data: Path) -> None:
    records.write(filled(), "anna")
    (data / "anna.aside-12345678").write_text("")
    assert records.delete("anna")
    assert not records.delete("anna")
    assert list(data.iterdir()) == []


def test_what_a_killed_session_left_half_written_goes_with_the_next_one_and_with_the_record(data: Path) -> None:
    records.write(filled(), "anna")
    half, others = data / ".anna.json-0123456789abcdef.part", data / ".annabel.json-0123456789abcdef.part"
    others.write_text("{")
    half.write_text("{")
    with session_of("anna"):
        assert not half.exists()
        assert records.read("anna") == filled()
    half.write_text("{")
    assert records.delete("anna")
    assert not half.exists()
    assert others.exists(), "another learner's, who may be writing it now"


MALFORMED = {
    "answers that are none": '{"version": 1, "who": "anna", "answers": [' + ",".join(["1"] * 450_000) + "]}",
    "unknown fields": '{"version": 1, "who": "anna", ' + ",".join(f'"f{n}": 1' for n in range(70_000)) + "}",
    "an answer of too much": '{"version": 1, "who": "anna", "answers": [{"missed": ['
    + ",".join(["1"] * 450_000)
    + "]}]}",
    "a list of lists": '{"version": 1, "who": "anna", "answers": [' + ",".join(["[]"] * 300_000) + "]}",
}


@pytest.mark.parametrize("how", MALFORMED)
def test_of_a_malformed_record_the_first_fault_is_told_in_little_memory(data: Path, how: str) -> None:
    """A megabyte of answers that are none once took nearly a gigabyte."""
    data.mkdir(parents=True, exist_ok=True)
    (data / "anna.json").write_text(MALFORMED[how])
    tracemalloc.start()
    try:
        with pytest.raises(BadInput, match=r"anna\.json.*stays as it is"):
            records.read("anna")
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert peak < 60 * len(MALFORMED[how])  # lists of Python alone are some thirty times the text


def test_a_record_beyond_the_limit_is_refused_and_not_copied(data: Path) -> None:
    data.mkdir(parents=True, exist_ok=True)
    (data / "anna.json").write_bytes(b" " * (records.LARGEST + 1))
    with pytest.raises(BadInput, match="more than 10 MB"):
        records.read("anna")
    assert [path.name for path in data.iterdir()] == ["anna.json"]


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Fail, rather than wait for ever, where something takes longer than that."""

    def too_long(*_: object) -> None:
        raise TimeoutError(f"still waiting after {seconds} s")

    before = signal.signal(signal.SIGALRM, too_long)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("suffix", [".json", ".open"])
def test_a_pipe_in_place_of_record_or_lock_is_refused_and_never_waited_for(data: Path, suffix: str) -> None:
    data.mkdir(parents=True, exist_ok=True)
    pipe = data / f"anna{suffix}"
    os.mkfifo(pipe)
    other_end = os.open(pipe, os.O_RDWR)  # somebody holds it open and never writes
    try:
        with at_most(30), pytest.raises(BadInput, match="plain file"), session_of("anna"):
            records.read("anna")
    finally:
        os.close(other_end)


def test_a_device_in_place_of_a_record_is_refused(data: Path) -> None:
    data.mkdir(parents=True, exist_ok=True)
    (data / "anna.json").symlink_to("/dev/zero")
    with pytest.raises(BadInput, match="plain file"):
        records.read("anna")


def test_a_full_disk_leaves_no_empty_copy_of_a_damaged_record(data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    data.mkdir(parents=True, exist_ok=True)
    (data / "anna.json").write_text("{")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadInput, match=r"it stays as it is; mend it"):
        records.read("anna")
    assert [path.name for path in data.iterdir()] == ["anna.json"]


@pytest.mark.parametrize("topic", ["\x1b[2J", "reach\n", "", "x" * 200])
def test_a_topic_that_could_drive_the_terminal_is_refused(data: Path, topic: str) -> None:
    records.write(filled(), "anna")
    found = json.loads((data / "anna.json").read_text())
    found["answers"][0]["question"]["topic"] = topic if topic != "reach\n" else "re\nach"
    (data / "anna.json").write_text(json.dumps(found))
    with pytest.raises(BadInput, match=r"answers\[1\]\.question\.topic") as refused:
        records.read("anna")
    assert str(refused.value).isprintable()


def test_a_data_folder_that_is_a_file_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It would look like a record with nothing in it."""
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    monkeypatch.setenv("ROUGHING_DATA", str(tmp_path / "file"))
    with pytest.raises(BadInput):
        records.read("anna")
