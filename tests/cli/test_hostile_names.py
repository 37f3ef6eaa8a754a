"""Names out of files are text in every output of every command: no mark-up, no sign that drives a terminal."""

import html
import json
import re
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.paths import cases_dir

HOSTILE = "<script>x</script>[red]b[/red]|`a`*_#&"
FOLDER = "b\x1b[31m<b>|`\u202e"
CASE = cases_dir() / "guide-slot-narrow"
HOUSE = f"""
thresholds: {{loop_width_ratio_least: {{value: 1.3, reason: '{HOSTILE}'}}}}
add:
  - id: our-own-rule
    title: '{HOSTILE}'
    stage: clearing
    reason: '{HOSTILE}'
    about: {{method: ramped_slotting}}
    when: [depth_ratio > 1]
    verdict: for
    because: '{{depth_ratio}} {HOSTILE}'
    remedy: '{HOSTILE}'
    source: {{work: machinerys_handbook, from_memory: true, section: '{HOSTILE}'}}
    examples: {{fires: [{{depth_ratio: 1.2}}], silent: [{{depth_ratio: 0.5}}]}}
"""
BORNE = "\n\u00a0\u202f\u2009"  # spaces of the reports' own


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job, a shop, a crib and house rules in which everything that may bear a name bears a hostile one."""
    folder = tmp_path_factory.mktemp("hostile") / FOLDER
    (folder / "house").mkdir(parents=True)
    (folder / "house" / "house.yaml").write_text(HOUSE, encoding="utf-8")
    job = (CASE / "job.yaml").read_text(encoding="utf-8").replace("Guide rail of a sliding gate", f"'{HOSTILE}'")
    job = job.replace("id: S1", f"id: '{HOSTILE}'").replace("machine: vmc-12k", f"machine: '{HOSTILE}'")
    (folder / "job.yaml").write_text(job, encoding="utf-8")
    shop = (CASE / "shop.yaml").read_text(encoding="utf-8").replace("vmc-12k", f"'{HOSTILE}'")
    (folder / "shop.yaml").write_text(re.sub(" +stiffness.*", "", shop) + "house: house\n", encoding="utf-8")
    head, *rows = (CASE / "crib.csv").read_text(encoding="utf-8").splitlines()
    rows = [row.replace("E10", f"{HOSTILE}-1").replace("E6", f"{HOSTILE}-2").replace(",32,", ",,") for row in rows]
    (folder / "crib.csv").write_text("\n".join([f"{head},<script>\x1b[31m|", *rows]) + "\n", encoding="utf-8")
    return folder


COMMANDS = {
    "advise": ("advise", "JOB", "--quick"),
    "why": ("why", "JOB", HOSTILE),
    "why not": ("why", "JOB", HOSTILE, "--not", "layered_pocketing"),
    "why not with a cutter": ("why", "JOB", HOSTILE, "--cutter", f"{HOSTILE}-2"),
    "why of nothing": ("why", "JOB", "no\x1b[31m\u202e"),
    "crib": ("crib", "CRIB"),
    "crib for a job": ("crib", "CRIB", "--job", "JOB"),
    "rules list": ("rules", "list", "--house", "HOUSE", "--word", "script"),
    "rules show": ("rules", "show", "our-own-rule", "--house", "HOUSE"),
    "rules show nothing": ("rules", "show", "\x1b[31m\u202e"),
    "words": ("words", "width", "ratio", "--job", "JOB", "--feature", HOSTILE),
    "words of nothing": ("words", "\x1b[31m\u202e"),
}


def run(place: Path, *words: str) -> tuple[int, str, str]:
    known = {"JOB": place / "job.yaml", "CRIB": place / "crib.csv", "HOUSE": place / "house"}
    found = CliRunner().invoke(app, [str(known.get(word, word)) for word in words])
    return found.exit_code, found.stdout, found.stderr


def unshown(text: str) -> set[str]:
    return {sign for sign in text if not sign.isprintable() and sign not in BORNE}


def outside_code(markdown: str) -> str:
    """Markdown without its code spans and escaped marks."""
    return re.sub(r"\\[\\`*_\[\]<>|#~&]", "", re.sub(r"(?<![\\`])(`+)(?!`).*?(?<!`)\1(?!`)", "", markdown))


@pytest.mark.parametrize("form", ["text", "json", "markdown"])
@pytest.mark.parametrize("command", COMMANDS)
def test_a_hostile_name_is_only_a_name(command: str, form: str, place: Path) -> None:
    words = COMMANDS[command]
    code, told, remarks = run(place, *words, *(["--format", form]))
    assert code in (0, 1) if "nothing" not in command else code == 2, remarks
    assert unshown(told) == set()
    assert unshown(remarks) == set()
    if form == "json" and told:
        assert HOSTILE in json.dumps(json.loads(told), ensure_ascii=False)
    if form == "markdown":
        assert "<script>" not in outside_code(told)
        assert "[red]" not in outside_code(told)


def test_a_hostile_name_in_a_check_of_house_rules_is_only_a_name(place: Path) -> None:
    code, told, remarks = run(place, "rules", "check", "--no-proof", "--house", "HOUSE")
    assert code in (0, 2), remarks
    assert HOSTILE in told
    assert unshown(told + remarks) == set()


def test_a_name_in_json_is_the_very_name_whatever_its_signs(place: Path) -> None:
    told = json.loads(run(place, "crib", "CRIB", "--format", "json")[1])
    assert f"{HOSTILE}-1" in json.dumps(told, ensure_ascii=False)
    assert any(FOLDER in note for note in told["notes"])


@pytest.mark.parametrize("words", [("rules", "book", "--house", "HOUSE"), ("advise", "JOB", "--quick")])
def test_a_hostile_name_in_a_page_is_only_a_name(words: tuple[str, ...], place: Path) -> None:
    code, page, _ = run(place, *words, "--format", "html")
    assert code == 0
    assert html.escape(HOSTILE, quote=False) in page.replace("&#x27;", "'").replace("&quot;", '"')
    assert not re.search(r"<script>x", page)
    assert unshown(page) == set()


def test_the_handbook_in_markdown_holds_no_markup_of_a_name(place: Path) -> None:
    code, told, _ = run(place, "rules", "book", "--house", "HOUSE", "--format", "markdown")
    assert code == 0
    assert "<script>" not in outside_code(told)


def test_where_a_book_went_is_told_without_the_signs_of_its_name(place: Path) -> None:
    shutil.rmtree(place / "out", ignore_errors=True)
    (place / "out").mkdir()
    code, _, remarks = run(place, "rules", "book", "--output", str(place / "out" / "\x1b[2J.md"))
    assert code == 0
    assert unshown(remarks) == set()
    assert [file.name for file in (place / "out").iterdir()] == ["\x1b[2J.md"]
