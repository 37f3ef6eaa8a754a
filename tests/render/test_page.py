"""The page can be handed over: whole in one file, readable by day, by night, on paper, by a screen reader."""

import re
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.choosing.job_advice import Advice
from advisor.cli.main import app
from advisor.model.assignment import Assignment
from advisor.readers.plan import read_plan
from advisor.render.page import advice_page
from advisor.render.page_parts import TEMPLATES
from advisor.render.page_review import review_page
from advisor.review.remedies import remedied
from advisor.review.verdict import review
from advisor.service import advise
from advisor.text.blocks import Items, Pairs
from advisor.text.feature import feature_blocks
from advisor.text.sheet import feature_lines
from advisor.text.sources import cited
from tests.cases import worked
from tests.render.page_readers import read_page, words

CASES = [folder.name for folder in worked.folders()]
SOME = ("winch-side-plate", "valve-block-no-way", "gear-case-magnesium")
STYLE = (TEMPLATES / "page.css").read_text(encoding="utf-8")
JOB = str(worked.cases_dir() / "guide-slot-narrow" / "job.yaml")


@cache
def html(case: str, detail: str = "sheet") -> str:
    return advice_page(worked.advice(case), detail)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("detail", ["short", "sheet", "full"])
def test_every_page_is_well_formed_and_whole_in_itself(case: str, detail: str) -> None:
    text = html(case, detail)
    page = read_page(text)
    assert page.open == []
    assert page.faults(text) == []
    assert not re.search(r"\b(None|nan|inf|True|False)\b", words(" ".join(page.said)))


@pytest.mark.parametrize("case", SOME)
def test_the_table_leads_to_each_feature_and_the_few_lines_of_the_terminal_stand_there(case: str) -> None:
    advice = worked.advice(case)
    page = read_page(html(case))
    assert page.links == [f"#f{place}" for place, _ in enumerate(advice.features, start=1)]
    told = words(" ".join(page.said))
    for answer in advice.features:
        for block in feature_lines(answer, advice):
            if isinstance(block, Pairs):
                assert all(words(f"{label} {said}") in told for label, said in block.rows)


@pytest.mark.parametrize("case", SOME)
def test_a_page_shows_how_the_cutter_goes_unless_no_drawings_are_asked_for(case: str) -> None:
    advice = worked.advice(case)
    cards = html(case).split('<section class="sheet card brief"')[1:]
    assert len(cards) == len(advice.features)
    for shown in cards:
        assert re.findall(r'class="drawing ([a-z-]+)"', shown) == ["section", "plan-view"]
    assert "<svg" not in advice_page(advice, drawn=False)


@pytest.mark.parametrize("case", SOME)
def test_the_page_tells_what_the_terminal_tells(case: str) -> None:
    advice = worked.advice(case)
    told = words(" ".join(read_page(html(case, "full")).said))
    for answer in advice.features:
        shared = {rule for rule in answer.cautions if all(rule in other.cautions for other in advice.features)}
        for block in feature_blocks(answer, advice, shared):
            if isinstance(block, Pairs):
                assert all(words(f"{label} {said}") in told for label, said in block.rows)
            elif isinstance(block, Items):
                assert all(words(item.text) in told for item in block.items)
        for rule in answer.cautions:
            assert words(cited(rule.source)) in told


@pytest.mark.parametrize("case", SOME)
def test_every_feature_has_a_card_with_drawings(case: str) -> None:
    cards = html(case, "full").split('<section class="sheet card"')[1:]
    for answer, shown in zip(worked.advice(case).features, cards, strict=True):
        kinds = re.findall(r'class="drawing ([a-z-]+)"', shown)
        assert kinds[:2] == ["section", "plan-view"]
        if answer.best:
            assert kinds[-2:] == ["spindle", "time-bar"]


def test_where_no_way_is_found_the_nearest_is_drawn_with_its_contact() -> None:
    (full,) = (
        part for part in html("valve-block-no-way", "full").split("<section") if "Not possible with this crib" in part
    )
    (brief,) = (part for part in html("valve-block-no-way").split("<section") if "why not" in part)
    for card in (full, brief):
        assert "The drawing shows the nearest way" in card
        assert "CONTACT: shank" in card


def test_hostile_names_stay_text() -> None:
    found = worked.advice("guide-slot-narrow")
    hostile = "<script>alert(1)</script>\"&'"
    job = found.assignment.job.model_copy(update={"part": hostile})
    crib = tuple(cutter.model_copy(update={"id": f"<b>{cutter.id}"}) for cutter in found.assignment.crib)
    other: Assignment = found.assignment.model_copy(update={"job": job, "crib": crib})
    text = advice_page(advise(other, quick=True))
    page = read_page(text)
    assert not set(page.tags) & {"script", "b"}
    assert hostile in " ".join(page.said)


def test_the_same_advice_gives_the_same_page() -> None:
    assert html("guide-slot-narrow") == advice_page(worked.advice("guide-slot-narrow"))


def test_a_job_without_features_still_gives_a_page() -> None:
    found = worked.advice("guide-slot-narrow")
    assert read_page(advice_page(Advice(found.assignment, found.bench, ()))).open == []


# --- Colours


def schemes() -> dict[str, dict[str, str]]:
    """The colours by day and by night."""
    day, night = (dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6})", part)) for part in STYLE.split("@media screen")[:2])
    return {"day": day, "night": {**day, **night}}


def contrast(first: str, second: str) -> float:
    """The contrast of two colours as WCAG 2 defines it: 1 for none, 21 for black on white."""

    def luminance(colour: str) -> float:
        parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


@pytest.mark.parametrize("scheme", ["day", "night"])
@pytest.mark.parametrize("ink", ["ink", "faint", "good", "workable", "poor", "forbidden", "hit", "way"])
def test_text_and_signs_stand_out_from_the_paper(scheme: str, ink: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[ink], colours["paper"]) >= 4.5
    assert contrast(colours["ink"], colours["desk"]) >= 4.5


@pytest.mark.parametrize("scheme", ["day", "night"])
@pytest.mark.parametrize("line", ["edge", "stock"])
def test_lines_of_drawings_stand_out_from_the_paper(scheme: str, line: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[line], colours["paper"]) >= 3


def test_no_colour_is_set_outside_the_palette() -> None:
    rest = re.sub(r":root \{.*?\}", "", STYLE, flags=re.DOTALL)
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}\b", rest)) <= {"#000"}


# --- The command


def test_advise_writes_the_page_to_stdout() -> None:
    ended = CliRunner().invoke(app, ["advise", JOB, "--quick", "--format", "html"])
    assert ended.exit_code == 0
    assert ended.stdout.startswith("<!DOCTYPE html>")


def test_advise_writes_the_page_to_a_file_whole_or_not_at_all(tmp_path: Path) -> None:
    file = tmp_path / "advice.html"
    arguments = ["advise", JOB, "--quick", "--format", "html", "--output"]
    assert CliRunner().invoke(app, [*arguments, str(file)]).exit_code == 0
    assert file.read_text(encoding="utf-8") == html("guide-slot-narrow")
    assert CliRunner().invoke(app, [*arguments, str(tmp_path / "no" / "such.html")]).exit_code not in (0, 1)


@pytest.mark.parametrize("form", ["text", "markdown", "json", "csv"])
def test_every_format_is_written_to_a_file_as_to_stdout(tmp_path: Path, form: str) -> None:
    file = tmp_path / "advice"
    arguments = ["advise", JOB, "--quick", "--format", form]
    told = CliRunner().invoke(app, [*arguments, "--output", str(file)])
    assert (told.exit_code, told.stdout) == (0, "")
    assert file.read_bytes() == CliRunner().invoke(app, arguments).stdout_bytes


@pytest.mark.parametrize(
    "words",
    [[JOB, "--output", "x.txt"], ["--format", "pdf"], [JOB, "--format", "html"]],
)
def test_what_a_page_cannot_be_is_said(words: list[str]) -> None:
    ended = CliRunner().invoke(app, ["advise", JOB, *words])
    assert ended.exit_code == 2
    assert not Path("x.txt").exists()


def test_text_loads_nothing_of_pages_and_drawings() -> None:
    script = "from advisor.cli.main import run; run()"
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", script, "advise", JOB, "--quick"], capture_output=True, text=True
    )
    assert done.returncode == 0
    assert "advisor.render.terminal" in done.stderr
    assert not re.search(r"jinja2|advisor\.report\.(page|drawings)", done.stderr)


# --- A real browser, where there is one


CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
browser = pytest.mark.skipif(CHROMIUM is None, reason="no chromium here")
MEASURE = """<iframe id="page" style="width: {wide}px; height: 900px; border: 0"></iframe><pre id="told"></pre><script>
const frame = document.getElementById("page");
frame.onload = () => {{
  const inside = frame.contentDocument;
  const wide = [...inside.querySelectorAll("body *")].filter(
    item => !item.closest("svg") && item.getBoundingClientRect().right > {wide} + 1);
  const small = [...inside.querySelectorAll("svg text")].map(item => item.getBoundingClientRect().height);
  const texts = [...inside.querySelectorAll("svg text")].filter(item => {{
    const text = item.getBoundingClientRect(), paper = item.closest("svg").getBoundingClientRect();
    return text.left < paper.left - 1 || text.right > paper.right + 1 || text.bottom > paper.bottom + 1;
  }}).map(item => item.textContent);
  document.getElementById("told").textContent = JSON.stringify({{
    scroll: inside.documentElement.scrollWidth, wide: wide.length, least: Math.min(...small), texts: texts}});
}};
frame.srcdoc = {page};
</script>"""


def chromium(tmp_path: Path, *words: str) -> str:
    assert CHROMIUM is not None
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", f"--user-data-dir={tmp_path / 'profile'}"]
    done = subprocess.run([CHROMIUM, *flags, *words], capture_output=True, text=True, encoding="utf-8", timeout=300)
    return done.stdout


def page_of(kind: str) -> str:
    """The longest page of advice, or that of a plan with a collision."""
    if kind == "advice":
        return html("winch-side-plate")
    advice = worked.advice("review-hatch-frame")
    plan = read_plan(worked.cases_dir() / "review-hatch-frame" / "plans" / "beyond-the-flutes.yaml")
    return review_page(remedied(review(plan, advice.assignment, advice)))


@browser
@pytest.mark.parametrize("wide", [400, 1280])
@pytest.mark.parametrize("kind", ["advice", "review"])
def test_a_page_fits_a_screen_of_this_width(tmp_path: Path, kind: str, wide: int) -> None:
    import json

    script = json.dumps(page_of(kind)).replace("</", "<\\/")
    (tmp_path / "frame.html").write_text(MEASURE.format(wide=wide, page=script), encoding="utf-8")
    out = chromium(tmp_path, "--virtual-time-budget=5000", "--dump-dom", (tmp_path / "frame.html").as_uri())
    found = json.loads(re.search(r'<pre id="told">(.*?)</pre>', out).group(1))  # type: ignore[union-attr]
    assert found["scroll"] <= wide
    assert found["wide"] == 0
    assert found["texts"] == []
    assert found["least"] >= 10


@browser
@pytest.mark.parametrize(("kind", "most"), [("advice", 20), ("review", 5)])
def test_a_page_can_be_printed(tmp_path: Path, kind: str, most: int) -> None:
    (tmp_path / "page.html").write_text(page_of(kind), encoding="utf-8")
    chromium(tmp_path, f"--print-to-pdf={tmp_path / 'page.pdf'}", (tmp_path / "page.html").as_uri())
    pages = len(re.findall(rb"/Type\s*/Page\b", (tmp_path / "page.pdf").read_bytes()))
    assert 1 <= pages <= most
