"""``roughing coach`` as a person runs it: over a pipe, with slips, twice at once, on paper, in a browser."""

import json
import os
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from advisor.cli.main import app
from advisor.coach import record as records
from advisor.coach.lock import session_of
from advisor.coach.record import Record
from advisor.coach.sheet import sheet_of
from advisor.paths import cases_dir, data_root


def coach(*words: str, typed: Sequence[str] = ()) -> Result:
    return CliRunner().invoke(app, ["coach", *words], input="".join(f"{line}\n" for line in typed))


def test_a_session_over_a_pipe_is_kept_and_goes_on(data: Path) -> None:
    first = coach("narrow slots", "--who", "anna", "--kind", "choose", "--minutes", "5", typed=["why", "quit"])
    assert first.exit_code == 0
    assert "Practised: 1 question" in first.stdout
    assert "1 question is open. Go on with it: roughing coach --who anna" in first.stdout
    later = coach("--who", "anna", typed=[])
    assert later.stdout.splitlines()[2] in first.stdout
    assert len(records.read("anna").answers) == 1


def test_the_topic_may_be_written_by_its_id_or_title(data: Path) -> None:
    assert coach("Narrow-Slots", "--kind", "turn", typed=["quit"]).exit_code == 0
    shown = coach("Narrow-Slots", "--kind", "change", typed=["quit"])
    assert shown.exit_code == 0
    assert "change" in shown.stdout.splitlines()[0]


SLIPS = {
    ("slots",): "Did you mean narrow-slots",
    ("narow-slots",): "Did you mean narrow-slots",
    ("welding",): "one of narrow-slots",
    ("--kind", "chose"): "Did you mean choose",
    ("safety", "--kind", "turn"): "trap",
    ("--difficulty", "6"): "1 to 5",
    ("--minutes", "0"): "more than 0",
    ("--minutes", "nan"): "more than 0",
    ("--who", "../x"): "--who",
    ("--from", "nowhere.yaml"): "no such file",
    ("--course", "nowhere.yaml"): "no such file",
    ("sheet", "--output", "x.html", "--count", "0"): "1 to 40",
    ("sheet", "--output", "x.html", "--topic", "slots"): "Did you mean narrow-slots",
    ("sheet", "--output", "x.html", "--format", "text"): "html",
    ("record", "delete"): "--yes",
}


@pytest.mark.parametrize("words", SLIPS)
def test_a_slip_ends_with_2_and_says_what_is_wanted(data: Path, words: tuple[str, ...]) -> None:
    found = coach(*words)
    assert found.exit_code == 2
    assert SLIPS[words] in found.stderr
    assert "Traceback" not in found.output
    assert not Path("x.html").exists()


def test_jobs_that_teach_nothing_are_told_so(data: Path) -> None:
    """The one feature has no way but a poor one."""
    job = cases_dir() / "keyway-cut-to-size" / "job.yaml"
    found = coach("--from", str(job))
    assert found.exit_code == 2
    assert found.stderr == (
        "coach: no exercise can be made of these jobs: "
        "a feature needs a good or workable way and another to hold beside it.\n"
    )


def test_a_damaged_record_ends_the_session_before_it_begins(data: Path) -> None:
    data.mkdir(parents=True)
    (data / "anna.json").write_text("{")
    for words in ((), ("report",), ("record", "export")):
        found = coach(*words, "--who", "anna")
        assert found.exit_code == 2
        assert "anna.json" in found.stderr
    assert (data / "anna.json").read_text() == "{"


def test_what_is_typed_is_shown_without_driving_the_terminal_and_no_longer_than_an_answer(data: Path) -> None:
    found = coach("--seed", "1", typed=["\033[31mX\033]0;t\007", "\0", "a" * 100_000, "quit"])
    assert found.exit_code == 0
    assert "> \\x1b[31mX\\x1b]0;t\\x07\n" in found.stdout
    assert "> \\x00\n" in found.stdout
    assert not set("\x1b\x07\0") & set(found.stdout)
    assert f"> {'a' * 200}…\n" in found.stdout
    assert max(map(len, found.stdout.splitlines())) < 250


def test_a_record_copied_from_another_learner_leaves_both_as_they_are(data: Path) -> None:
    coach("reach", "--kind", "turn", "--who", "bob", typed=["why"])
    shutil.copy(data / "bob.json", data / "anna.json")
    before = (data / "bob.json").read_bytes()
    found = coach("--who", "anna", typed=["why", "quit"])
    assert found.exit_code == 2
    assert "anna.json: who: found 'bob'; wanted anna" in found.stderr
    assert (data / "bob.json").read_bytes() == (data / "anna.json").read_bytes() == before


def test_answers_about_a_topic_renamed_since_are_counted_and_not_asked_for(data: Path) -> None:
    coach("reach", "--kind", "turn", "--who", "anna", typed=["why"])
    (data / "anna.json").write_text((data / "anna.json").read_text().replace('"reach"', '"far-reach"'))
    session = coach("--who", "anna", typed=["why", "quit"])
    assert session.exit_code == 0
    assert "The open question is passed over" in session.stdout
    for form in ("text", "json", "html", "markdown"):
        assert coach("report", "--who", "anna", "--format", form).exit_code == 0
    assert "anna: 2 questions answered" in coach("report", "--who", "anna").stdout


def test_one_question_is_told_as_one(data: Path) -> None:
    coach("reach", "--kind", "turn", typed=["why"])
    told = coach("report").stdout
    assert "me: 1 question answered" in told
    assert "1 thing to talk about next" in told


def test_a_second_session_at_once_is_told(data: Path) -> None:
    with session_of("anna"):
        found = coach("--who", "anna", typed=["quit"])
    assert found.exit_code == 2
    assert "still open" in found.stderr


def test_a_record_can_be_exported_and_deleted(data: Path) -> None:
    coach("reach", "--kind", "turn", "--who", "anna", typed=["why"])
    exported = coach("record", "export", "--who", "anna").stdout
    assert Record.model_validate_json(exported) == records.read("anna")
    assert coach("record", "where", "--who", "anna").stdout.strip() == str(data / "anna.json")
    assert coach("record", "delete", "--who", "anna", "--yes").exit_code == 0
    assert not (data / "anna.json").exists()


def test_the_report_says_the_same_in_every_form(data: Path, tmp_path: Path) -> None:
    coach("narrow-slots", "--kind", "choose", "--seed", "4", typed=["why"])
    told = json.loads(coach("report", "--format", "json").stdout)
    by_state = {one["topic"]: one["state"] for one in told["topics"]}
    assert by_state["narrow-slots"] == "shaky"
    assert by_state["reach"] == "never asked"
    (talk,) = told["talk_about"]
    assert talk["question"].startswith("roughing coach narrow-slots --kind choose")
    text, markdown = coach("report").stdout, coach("report", "--format", "markdown").stdout
    page = tmp_path / "report.html"
    assert coach("report", "--format", "html", "--output", str(page)).exit_code == 0
    for said in (text, markdown, page.read_text(encoding="utf-8")):
        assert "Narrow slots" in said
        assert talk["rule"] in said
        assert "Never asked" in said
    assert "░" in text
    assert '<svg viewBox="0 0 380' in page.read_text(encoding="utf-8")


def test_a_report_of_nothing_says_how_to_begin(data: Path) -> None:
    assert "roughing coach" in coach("report").stdout


def run(data: Path, *words: str, **environment: str) -> subprocess.Popen[str]:
    found = {**os.environ, "PYTHONPATH": str(data_root()), "ROUGHING_DATA": str(data.parent), **environment}
    command = [sys.executable, "-u", "-m", "advisor.cli.start", "coach", *words]
    pipe = subprocess.PIPE
    return subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True, env=found, encoding="utf-8")


def test_an_interrupt_ends_in_order_and_keeps_all(data: Path) -> None:
    session = run(data, "reach", "--kind", "turn", COLUMNS="50")
    assert session.stdin is not None
    assert session.stdout is not None
    session.stdin.write("why\n")
    session.stdin.flush()
    read = ""
    while not ("Question 2" in read and read.endswith("> ")):  # the next answer is waited for
        read += session.stdout.read(1)
    session.send_signal(signal.SIGINT)
    said, wrong = session.communicate(timeout=300)
    assert session.returncode == 130
    assert said.startswith("\nPractised: 1 question")
    assert wrong == ""
    assert max(map(len, (read + said).splitlines())) <= 50


def test_an_output_that_knows_ascii_alone_gets_bars_of_its_own(data: Path) -> None:
    coach("reach", "--kind", "turn", "--seed", "1", typed=["why"])
    said, _ = run(data, "report", PYTHONIOENCODING="ascii").communicate(timeout=300)
    assert "::::" in said
    assert said.isascii()


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    page = tmp_path_factory.mktemp("sheet") / "sheet.html"
    assert coach("sheet", "--output", str(page), "--count", "3", "--seed", "2", "--topic", "reach").exit_code == 0
    return page


def test_the_sheet_has_questions_with_boxes_and_then_the_answers(sheet: Path) -> None:
    questions, answers = sheet.read_text(encoding="utf-8").split('<header class="sheet answers">')
    assert questions.count('class="sheet asked"') == answers.count('class="sheet answer"') == 3
    assert "☐ a" in questions
    assert "Hint" not in questions
    assert "Where the answer changes" in answers
    assert "Where the answer changes" not in questions
    assert answers.count("<svg") >= 3
    assert "<svg" not in questions  # a drawing of the advised way would give it away


def test_the_same_seed_gives_the_same_sheet(sheet: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.html"
    coach("sheet", "--output", str(other), "--count", "3", "--seed", "2", "--topic", "reach")
    assert other.read_text(encoding="utf-8") == sheet.read_text(encoding="utf-8")


@pytest.mark.skipif(not shutil.which("chromium"), reason="Chromium is not installed")
@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_a_sheet_prints_on_both_papers_with_the_answers_apart(sheet: Path, tmp_path: Path, paper: str) -> None:
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    text = sheet.read_text(encoding="utf-8").replace("@page {", f"@page {{ size: {paper};", 1)
    page.write_text(text, encoding="utf-8")
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={tmp_path / 'profile'}"]
    subprocess.run([*command, f"--print-to-pdf={printed}", page.as_uri()], check=True, capture_output=True, timeout=300)
    if not shutil.which("pdftotext"):
        pytest.skip("pdftotext is not installed")
    pages = (
        subprocess.run(["pdftotext", str(printed), "-"], check=True, capture_output=True).stdout.decode().split("\f")
    )
    questions = [place for place, said in enumerate(pages) if "☐" in said or "____" in said]
    answers = [place for place, said in enumerate(pages) if "Answers to sheet" in said or "Where the answer" in said]
    assert max(questions) < min(answers)
    assert len(pages) <= 10


def test_a_question_that_was_missed_can_be_asked_again_by_its_command(data: Path) -> None:
    job = str(data_root() / "cases" / "guide-slot-narrow" / "job.yaml")
    missed = coach("narrow-slots", "--kind", "choose", "--from", job, typed=["why"])
    (talk,) = json.loads(coach("report", "--format", "json").stdout)["talk_about"]
    again = coach(*talk["question"].split()[2:], "--who", "other", typed=["why"])
    assert again.stdout.split("Question 2")[0] == missed.stdout.split("Question 2")[0]


def test_the_commands_of_a_report_name_the_learner_and_run_as_they_are(data: Path) -> None:
    coach("narrow-slots", "--kind", "choose", "--seed", "4", "--who", "anna b", typed=["why", "q"])
    said = " ".join(coach("report", "--who", "anna b").stdout.split())
    command = "roughing coach narrow-slots --kind choose --difficulty 2 --seed 4 --who 'anna b'"
    assert command in said
    again = coach(*shlex.split(command)[2:], typed=["q"])
    assert again.exit_code == 0
    assert "Question 1: Narrow slots" in again.stdout
    assert "--who" not in coach("report").stdout
    assert "Begin with: roughing coach --who carl" in " ".join(coach("report", "--who", "carl").stdout.split())


def test_what_was_answered_is_shown_and_kept_when_q_is_typed(data: Path) -> None:
    ended = coach("narrow-slots", "--kind", "choose", "--who", "anna", typed=["why", "?", "q"])
    assert ended.exit_code == 0
    assert "Practised: 1 question" in ended.stdout
    assert len(records.read("anna").answers) == 1
    assert "Enter goes on" not in ended.stdout  # nobody waits over a pipe


def test_a_record_of_an_earlier_version_of_the_questions_is_read(data: Path) -> None:
    """Kinds that a topic had, and questions of them that are open."""
    data.mkdir(parents=True)
    question = {"kind": "turn", "seed": 5, "difficulty": 2, "topic": "cutter-and-material", "source": []}
    answer = {"question": question, "topic": "cutter-and-material", "first": 0.67, "score": 1.0, "tries": 2}
    answer |= {"missed": ["edge-rubs"], "when": "2026-03-02T07:00:00Z"}
    old = {"version": 1, "who": "anna", "answers": [answer], "pending": {"question": question | {"kind": "set"}}}
    (data / "anna.json").write_text(json.dumps(old))
    found = coach("--who", "anna", typed=["q"])
    assert found.exit_code == 0
    assert "The open question is passed over" in found.stdout
    assert len(records.read("anna").answers) == 1


def test_a_sheet_is_filled_though_the_answers_are_few() -> None:
    """Traps about fire have two answers or three: the same comes again, once the others are on the sheet."""
    printed = sheet_of(["safety"], 5, 7, "trap").printed
    assert len(printed) == 5
    faults = [one.exercise.key.finding.rule.id for one in printed]
    assert len(set(faults)) < len(faults)
