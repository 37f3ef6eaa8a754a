"""A job in inches is answered in inches: no text of it has a metric unit, and one in mm none of those of inches."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import advisor
from advisor.coach.exercise import KINDS, NoExercise
from advisor.coach.grading import grade, model_answers
from advisor.coach.making import make
from advisor.files.units import Units
from advisor.render import markdown, terminal
from advisor.text.crib import crib_blocks
from advisor.text.unserved import unserved_blocks
from advisor.text.why import why_blocks
from tests.units.written import INCH_UNIT, JOBS, crib_text, metric_left, read

WIDE = 4000
INCHES = ["valve-body-inch", *JOBS]
STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
PLANS = (
    "M375 ap 0.06 ae 0.1",
    "M500 levels 1 ae 0.5 allowance_side 0 allowance_bottom 0",
    "M750 levels 2 ae 0.37 vf 300 n 9000",
    "D531 n 9000",
)


def plan_of(assignment: advisor.Assignment, how: str) -> str:
    """A plan for every feature of a job with one cutter of its crib."""
    cutter = how.split()[0]
    known = cutter if any(one.id == cutter for one in assignment.crib) else assignment.crib[-1].id
    return "\n".join(f"{one.id}: {how.replace(cutter, known)}" for one in assignment.job.features)


def answers(assignment: advisor.Assignment) -> dict[str, str]:
    """Every kind of answer for a job as text, by what it is."""
    advice = advisor.advise(assignment)
    found = {"advice": advisor.as_text(advice, WIDE), "page": STYLE.sub("", advisor.as_html(advice))}
    found["markdown"] = advisor.as_markdown(advice)
    found["unserved"] = terminal.text(unserved_blocks(advice), WIDE)
    for feature in assignment.job.features:
        name = feature.id
        one = advisor.explain(assignment, name)
        found[f"why {name}"] = terminal.text(why_blocks(one.features[0], one), WIDE)
        for method in ("layered_pocketing", "plunge_roughing", "helical_boring"):
            found[f"{name} {method}"] = advisor.as_text(advisor.compare(assignment, name, method=method), WIDE)
    for how in PLANS:
        review = advisor.review_plan(advisor.parse_operations(plan_of(assignment, how), assignment), assignment)
        found[f"review {how}"] = advisor.as_text(review, WIDE)
        found[f"review page {how}"] = STYLE.sub("", advisor.as_html(review))
    return found


@pytest.mark.parametrize(("name", "crib"), [*((name, "inch") for name in INCHES), ("manifold", "mm")])
def test_every_text_of_a_job_in_inches_is_in_inches(name: str, crib: Units, tmp_path: Path) -> None:
    for what, text in answers(read(tmp_path, name, "inch", crib)).items():
        assert not metric_left(text), f"{what}: {metric_left(text)[:3]}"


@pytest.mark.parametrize(("name", "crib"), [("manifold", "inch"), ("bearing", "mm")])
def test_every_text_of_a_job_in_mm_is_in_mm(name: str, crib: Units, tmp_path: Path) -> None:
    for what, text in answers(read(tmp_path, name, "mm", crib, "inch")).items():
        assert not INCH_UNIT.search(text), f"{what}: {INCH_UNIT.search(text)}"
        assert "(metric)" not in text


@pytest.mark.parametrize("kind", KINDS)
def test_an_exercise_about_a_job_in_inches_is_told_and_answered_in_inches(kind: str, tmp_path: Path) -> None:
    sources = [read(tmp_path / name, name, "inch", "inch") for name in JOBS]
    made = 0
    for seed in range(6):
        try:
            exercise = make(kind, seed, 2, sources=sources)
        except NoExercise:
            continue
        made += 1
        right = model_answers(exercise)
        graded = grade(exercise, right)
        wrong = grade(exercise, right | {part.name: "0.001" for part in exercise.parts if part.unit == "mm"})
        assert graded.score == 1, right
        blocks = (*exercise.told, *graded.reason, *graded.contrast, *wrong.reason, *wrong.contrast)
        text = terminal.text(blocks, WIDE) + markdown.text(blocks)
        words = [*exercise.hints, *right.values(), *(said for _, _, said in (*graded.parts, *wrong.parts))]
        words += [choice.text for part in exercise.parts for choice in part.choices]
        assert not metric_left(text)
        assert not metric_left("\n".join(words))
    assert made


def test_a_crib_is_told_in_the_units_that_it_is_written_in(tmp_path: Path) -> None:
    from advisor.readers.crib import read_crib

    for units, half in (("inch", "0.5"), ("mm", "12.7")):
        (tmp_path / "crib.csv").write_text(crib_text(units), encoding="utf-8")  # type: ignore[arg-type]
        found = read_crib(tmp_path / "crib.csv")
        text = terminal.text(crib_blocks("crib", found.cutters, found.units), WIDE)
        assert re.search(rf"M500 +{half} ", text)
        assert f"Lengths in {'inches' if units == 'inch' else 'mm'}." in text
        assert bool(metric_left(text)) == (units == "mm")


def test_the_data_of_a_crib_tell_what_was_assumed_in_words_and_in_mm(tmp_path: Path) -> None:
    from advisor.readers.crib import read_crib
    from advisor.render.crib_record import crib_record

    (tmp_path / "crib.csv").write_text("# units: inch\nid,body,DC,APMX,ZEFP\nA,solid_end_mill,1/2,1,3\n", "utf-8")
    (cutter,) = crib_record(read_crib(tmp_path / "crib.csv").cutters, (), None)["cutters"]
    assert "holder_diameter = 32.7 mm (DCONMS + 20 mm)" in cutter["assumed"]


def test_a_drill_of_17_32_in_is_told_as_that(tmp_path: Path) -> None:
    text = advisor.as_text(advisor.advise(read(tmp_path, "bearing", "inch", "inch"), quick=True), WIDE)
    assert "DC\xa00.53125\xa0in" in text or "DC 0.53125\xa0in" in text
