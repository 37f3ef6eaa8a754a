"""The answer on a page: one or two rows a feature with all that is typed, each caution once, a few lines a feature."""

import csv
import io
import re

import pytest

from advisor.choosing.advice import advise
from advisor.choosing.entry_feed import entry_feed
from advisor.choosing.job_advice import Advice
from advisor.choosing.time_parts import time_parts
from advisor.choosing.whole_part import whole_part
from advisor.render import markdown, terminal
from advisor.render.part_csv import COLUMNS, part_csv
from advisor.text.blocks import Heading, Items, Pairs, Table
from advisor.text.sheet import feature_lines, part_table, sheet_blocks, short_blocks
from tests.cases import worked
from tests.jobs.small import drill, job

CASES = (
    "winch-side-plate", "valve-block-no-way", "die-holder-with-drill", "gear-case-magnesium", "pump-cover-stainless",
)  # fmt: skip
DEMO = "winch-side-plate"


def sheet(name: str, columns: int = 80) -> str:
    return terminal.text(sheet_blocks(worked.advice(name)), columns)


def test_eight_features_take_no_more_than_130_lines() -> None:
    assert sheet(DEMO).count("\n") <= 130


@pytest.mark.parametrize("name", CASES)
def test_no_sentence_of_safety_cautions_and_reasons_stands_twice(name: str) -> None:
    advice = worked.advice(name)
    told = " ".join(sheet(name, 100).split())
    for one in whole_part(advice).cautions:
        for text in (one.rule.because, one.rule.remedy):
            for sentence in re.split(r"(?<=\.) ", " ".join(text.split())):
                if "{" not in sentence and sentence:
                    assert told.count(sentence) == 1, sentence


def test_two_cautions_with_one_reason_share_a_letter_and_say_what_to_do_in_each_feature() -> None:
    told = " ".join(sheet(DEMO).split())
    assert told.count("chips stay where they fall") == 1
    assert "S1: After every level, flush them out. H2: While it cuts, flush them out." in told
    part = whole_part(worked.advice(DEMO))
    letters = {one.rule.id: one.letter for one in part.cautions}
    assert letters["chips-packed"] == letters["chips-packed-in-one-go"]
    assert len(set(letters.values())) == len(letters) - 1


def test_every_safety_caution_stands_before_the_table_and_none_after_it() -> None:
    seen = 0
    for name in CASES:
        told = sheet(name)
        head, _, tail = told.partition("Part: lengths")
        for one in whole_part(worked.advice(name)).cautions:
            if one.rule.harm:
                assert f"    - {one.letter} " in head
                assert f"    - {one.letter} " not in tail
                seen += 1
    assert seen > 10


def test_flying_chips_are_told_with_the_fastest_cut_of_the_part() -> None:
    advice = worked.advice(DEMO)
    fastest = max(float(answer.cautioned["cutting_speed"]) for answer in advice.features)
    (thrown,) = (one for one in whole_part(advice).cautions if one.rule.id == "chips-thrown")
    assert thrown.worst.cautioned["cutting_speed"] == fastest


def test_a_limit_tells_the_speed_that_it_comes_to_once() -> None:
    told = sheet(DEMO)
    assert "n 12 207 → 9 010 /min: spindle power, to keep the chip thickness" in told.replace("\u00a0", " ")


def test_the_table_comes_before_any_feature() -> None:
    told = sheet(DEMO)
    assert told.index("Part: lengths") < told.index("Cautions") < told.index("Features")


@pytest.mark.parametrize("name", CASES)
def test_every_number_of_the_table_is_that_of_the_plan(name: str) -> None:
    advice = worked.advice(name)
    table = part_table(advice, whole_part(advice))
    rows = [row for row in table.rows if not row[1].startswith("entry hole")]
    for answer, row in zip(advice.features, rows, strict=True):
        cells = dict(zip(table.heads, row, strict=True))
        assert cells["id"] == answer.region.id
        if answer.best is None:
            assert (cells["method"], cells["grade"]) == ("not possible", "forbidden")
            continue
        plan = answer.best.plan
        assert plan is not None
        assert float(cells["a_p × lv"].split()[0]) == pytest.approx(plan.axial_depth, abs=0.01)
        assert float(cells["n"]) == pytest.approx(plan.spindle_speed, abs=1)
        typed = float(answer.best.facts.get("centre_feed", plan.feed_rate))
        assert float(cells["v_f"]) == pytest.approx(typed, abs=1)
        assert float(cells["n"]) <= plan.spindle_speed
        assert float(cells["v_f"]) <= typed


@pytest.mark.parametrize("name", CASES)
def test_no_sign_in_the_table_that_a_program_does_not_read(name: str) -> None:
    advice = worked.advice(name)
    for row in part_table(advice, whole_part(advice)).rows:
        for cell in row[6:10]:
            assert not {"\u00a0", ","} & set(cell)


def test_what_is_not_good_is_marked_and_nothing_else() -> None:
    assert "grade" not in part_table(worked.advice(DEMO), whole_part(worked.advice(DEMO))).heads
    poor = worked.advice("valve-block-no-way")
    assert "grade" in part_table(poor, whole_part(poor)).heads


def test_cutters_are_changed_in_once_in_the_time_of_the_part() -> None:
    advice = worked.advice(DEMO)
    part, change = whole_part(advice), advice.assignment.machine.tool_change
    alone = sum(answer.best.time for answer in advice.features if answer.best)
    changes = sum(round(time_parts(answer.best)["change"] / change) for answer in advice.features if answer.best)
    assert part.time == pytest.approx(alone - (changes - len(part.cutters)) * change)
    assert len({use.cutter.id for use in part.cutters}) == len(part.cutters) < changes


def test_the_drill_of_an_entry_is_one_of_the_cutters() -> None:
    advice = worked.advice("die-holder-with-drill")
    drills = {answer.best.drill.id for answer in advice.features if answer.best and answer.best.drill}
    assert drills
    assert drills <= {use.cutter.id for use in whole_part(advice).cutters}


def test_the_hole_for_an_entry_has_a_row_before_its_feature_and_cells_of_the_csv() -> None:
    advice = worked.advice("die-holder-with-drill")
    (answer,) = advice.features
    assert answer.best is not None
    assert answer.best.drill is not None
    table = part_table(advice, whole_part(advice))
    hole, row = (dict(zip(table.heads, cells, strict=True)) for cells in table.rows)
    facts = answer.best.facts
    assert (hole["id"], hole["cutter"], hole["entry"]) == (row["id"], answer.best.drill.id, "")
    assert float(hole["a_p × lv"].removesuffix(" tip")) == pytest.approx(float(facts["hole_depth"]), abs=0.01)
    assert float(hole["n"]) == pytest.approx(float(facts["hole_speed"]), abs=1)
    assert float(hole["v_f"]) == pytest.approx(float(facts["hole_feed"]), abs=0.1)
    (cells,) = csv.DictReader(io.StringIO(part_csv(advice)))
    assert cells["entry_cutter"] == answer.best.drill.id
    assert [cells[f"entry_hole_{name}"] for name in ("depth", "speed", "feed")] == [
        hole["a_p × lv"].removesuffix(" tip"), hole["n"], hole["v_f"],
    ]  # fmt: skip
    assert not any(
        cell for row in csv.DictReader(io.StringIO(part_csv(worked.advice(DEMO))))
        for name, cell in row.items() if name.startswith("entry_hole")
    )  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_each_caution_of_a_feature_stands_once_with_its_feature(name: str) -> None:
    advice = worked.advice(name)
    part = whole_part(advice)
    assert len({one.rule.id for one in part.cautions}) == len(part.cautions)
    for answer in advice.features:
        for rule in answer.cautions:
            (one,) = (one for one in part.cautions if one.rule.id == rule.id)
            assert answer.region.id in one.features
            assert one.everywhere or one.letter in part.letters(answer)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("columns", [50, 80, 100])
def test_no_safety_caution_is_left_out_or_cut(name: str, columns: int) -> None:
    advice = worked.advice(name)
    told = " ".join(sheet(name, columns).split())
    for answer in advice.features:
        for rule in answer.cautions:
            if rule.harm:
                for text in (rule.because, rule.remedy):
                    for piece in re.split(r"\{[^}]*\}", " ".join(text.split())):
                        assert " ".join(piece.split()) in told


def test_fire_and_loose_parts_stand_before_the_table() -> None:
    told = sheet("gear-case-magnesium")
    assert "class D" in told[: told.index("Part: lengths")] or "fire" in told[: told.index("Part: lengths")].lower()


@pytest.mark.parametrize("name", CASES)
def test_a_feature_takes_at_most_twelve_lines(name: str) -> None:
    told = sheet(name)
    features = told[told.index("\nFeatures\n") + 10 :].split("\nNot given")[0].split("\nMore\n")[0]
    for block in re.split(r"\n(?=\S)", features.strip()):
        assert len(block.strip().splitlines()) <= 13, block  # twelve and its heading


@pytest.mark.parametrize("columns", [50, 80, 100])
def test_no_line_is_wider_than_the_page(columns: int) -> None:
    for name in CASES:
        assert max(map(len, sheet(name, columns).splitlines())) <= columns


def test_on_a_narrow_page_a_row_of_the_table_stands_in_some_lines_under_those_of_its_heads() -> None:
    lines = sheet(DEMO, 50).splitlines()
    head = next(at for at, line in enumerate(lines) if line.startswith("  id  feature"))
    row = next(at for at, line in enumerate(lines) if line.startswith("  C1  ")) - head
    below = {
        lines[head + at].find(word): at for at in range(row) for word in ("a_e", "coolant") if word in lines[head + at]
    }
    assert len(below) == 2
    cells = " ".join(" ".join(lines[head + row : head + 2 * row]).split())
    assert all(cell in cells for cell in ("43 × 1", "0.875", "12000", "14080", "0.5 / 1 past", "flood"))
    assert all(len(line) <= 50 for line in lines)


def test_short_is_the_table_and_what_comes_before_the_first_run() -> None:
    blocks = list(short_blocks(worked.advice(DEMO)))
    assert sum(isinstance(block, Table) for block in blocks) == 1
    assert sum(isinstance(block, Items) for block in blocks) == 1
    assert not any(isinstance(block, Pairs) for block in blocks)
    told = terminal.text(blocks, 80)
    assert "Keep the guard shut" in told
    assert "Starting values do not" not in told
    assert not any("cautions" in block.heads for block in blocks if isinstance(block, Table))


def test_markdown_has_the_whole_table_in_one_row_a_feature() -> None:
    advice = worked.advice(DEMO)
    told = markdown.text(sheet_blocks(advice))
    assert len([line for line in told.splitlines() if line.startswith("| C1 |")]) == 1
    assert told.count("\n| --- |") >= 1


def test_a_roll_in_is_fed_at_the_share_of_its_material_and_a_drill_has_no_entry_feed() -> None:
    for answer in worked.advice(DEMO).features:
        best = answer.best
        assert best is not None
        feed = entry_feed(best)
        if best.method == "drilling":
            assert feed is None
        elif best.entry == "side_entry":
            assert feed == pytest.approx(float(best.facts["entry_feed_share"]) * float(best.facts["feed_rate"]))
        elif "helix_feed" in best.facts:
            assert feed == best.facts["helix_feed"]


@pytest.mark.parametrize("name", CASES)
def test_the_csv_has_a_row_a_feature_and_every_cell_is_a_number_or_a_word(name: str) -> None:
    advice = worked.advice(name)
    head, *rows = csv.reader(io.StringIO(part_csv(advice)))
    assert tuple(head) == (*COLUMNS, "units")
    assert [row[0] for row in rows] == [answer.region.id for answer in advice.features]
    for row in rows:
        for name_of, cell in zip(head, row, strict=True):
            if cell and name_of.endswith(("depth", "width", "feed", "rate", "speed", "tooth", "revolution", "_s")):
                float(cell)


def test_a_cell_that_a_spreadsheet_would_run_is_written_as_text() -> None:
    advice = worked.advice(DEMO)
    region = advice.features[0].region
    odd = advice.features[0]._replace(region=region._replace(id="=1+1"))
    assert part_csv(advice._replace(features=(odd,))).splitlines()[1].startswith("'=1+1,")


def changes_told(advice: Advice) -> list[str]:
    """What a sheet says of changes of the drawing."""
    features = terminal.text(sheet_blocks(advice), 80).partition("\nFeatures\n")[2]
    return re.findall(r"^ {4}change .*(?:\n {12}.*)*", features, re.MULTILINE)


@pytest.mark.parametrize("name", ["guide-slot-narrow", "keyway-with-allowance", "lever-pocket-easy-corners"])
def test_a_change_leads_to_another_way_and_not_to_none(name: str) -> None:
    found = worked.asked(name)
    (line,), (answer,) = changes_told(found), found.features
    assert re.search(r"instead of .*: \w+, E\d+, \w+$", line)
    none = tuple(change._replace(method=None, cutter=None, entry=None) for change in answer.changes)
    assert changes_told(found._replace(features=(answer._replace(changes=none),))) == []


def test_features_follow_in_the_order_of_the_job() -> None:
    heads = [block.text for block in sheet_blocks(worked.advice(DEMO)) if isinstance(block, Heading) and block.tight]
    assert [text.split()[0] for text in heads] == [answer.region.id for answer in worked.advice(DEMO).features]


def test_a_table_of_eight_features_with_one_that_is_not_good_fits_eighty_columns() -> None:
    table = part_table(worked.advice("winch-side-plate"), whole_part(worked.advice("winch-side-plate")))
    marked = Table((*table.heads, "grade"), tuple((*row, "workable") for row in table.rows), table.second)
    assert "\n  C1  " in terminal.text([marked], 80)


def test_what_speaks_against_a_way_that_is_not_good_is_told() -> None:
    """A drill for a tap hole in hardened steel, of which nobody says that it is made for it."""
    given = {
        "kind": "round_hole",
        "diameter": 10.2,
        "depth": 25,
        "floor": True,
        "flat_floor": False,
        "purpose": "thread",
    }
    found = advise(job(given, [drill(10.2)], "Hardened steel 45-55 HRC"))
    (answer,) = found.features
    assert answer.best is not None
    assert answer.best.grade != "good"
    lines = next(block for block in feature_lines(answer, found) if isinstance(block, Pairs))
    assert "does not say whether the 10.2\u00a0mm drill is made for hardened steel" in dict(lines.rows)["against"]
