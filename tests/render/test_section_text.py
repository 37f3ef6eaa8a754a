"""The side section in characters: depth to scale, contact crossed out, on any terminal."""

import pytest

from advisor.choosing.advice import advise
from advisor.model.candidate import Candidate
from advisor.render import markdown, terminal
from advisor.text.blocks import Para, Sketch
from advisor.text.section_text import (
    BENEATH,
    BESIDE,
    FLUTE,
    HIT,
    LABEL,
    ROWS,
    WIDE,
    at_left,
    side_section,
    sketch_blocks,
)
from advisor.text.side_view import side_of
from tests.cases import worked
from tests.jobs.small import STEEL, drill, job
from tests.render import drawn
from tests.render.drawn import changed, pocket, short_cutter

ADVISED = [(name, found.region.id) for name, found in worked.every_feature() if found.best]
each_feature = pytest.mark.parametrize(("name", "feature"), ADVISED)
LIMITS = worked.advice("winch-side-plate").bench.limits


def best_of(name: str, feature: str) -> Candidate:
    found = worked.feature(name, feature).best
    assert found is not None
    return found


@each_feature
@pytest.mark.parametrize("columns", [28, 40, 60])
def test_it_fits_its_columns_and_few_rows(name: str, feature: str, columns: int) -> None:
    lines = side_section(best_of(name, feature), worked.feature(name, feature).region, columns)
    assert max(map(len, lines)) <= min(columns, BESIDE)
    assert len(lines) <= ROWS + (1 if columns >= BESIDE else 5)
    assert not any(HIT in line for line in lines) or best_of(name, feature).method == "drilling"


@each_feature
def test_depth_is_to_scale(name: str, feature: str) -> None:
    region = worked.feature(name, feature).region
    lines = side_section(best_of(name, feature), region, 40)
    side = side_of(best_of(name, feature), region)
    top = next(row for row, line in enumerate(lines) if "top 0" in line)
    end = next(row for row, line in enumerate(lines) if line.strip().startswith(("floor", "end")))
    bottom = -min(side.tip, -side.depth - (0.0 if side.floor else side.clearance or 0.0))
    whole = max(side.tip + side.pieces[-1].low, side.top) + bottom
    per_row = 1.18 * whole / ROWS  # with the edges above and below
    assert (end - top) * per_row == pytest.approx(region.depth, abs=2.1 * per_row)


@each_feature
def test_the_numbers_of_the_cutter_stand_beside_it_or_under_it(name: str, feature: str) -> None:
    best, region = best_of(name, feature), worked.feature(name, feature).region
    for columns in (28, 40):
        told = " ".join(" ".join(side_section(best, region, columns)).split())
        for wanted in (f"DC {best.cutter.DC:.3g}", f"out {best.cutter.LPR:.3g}", "holder "):
            assert wanted in told


def test_contact_is_crossed_out_and_said() -> None:
    lines = side_section(short_cutter(), pocket().region, 40, LIMITS)
    assert sum(HIT in line for line in lines[:ROWS]) >= 3
    said = " ".join(lines[ROWS:])
    assert "contact: shank of 16 mm rubs the wall" in " ".join(said.split())
    assert "contact: holder of" in said
    long = changed(pocket())
    assert not any(HIT in line for line in side_section(long, pocket().region, 40, LIMITS))


@pytest.mark.parametrize(("out", "crossed"), [(28.0, True), (29.0, True), (29.6, False), (40.0, False)])
def test_a_holder_needs_a_millimetre_above_the_stock(out: float, crossed: bool) -> None:
    candidate = changed(pocket(), {"APMX": 20.0, "LU": 28.0, "LPR": out, "DCONMS": 14.0})
    lines = side_section(candidate, pocket().region, 40, LIMITS)
    assert any("contact: holder" in line for line in lines) == crossed


def test_the_holder_is_drawn_wider_than_the_shank_and_the_neck_thinner_than_the_flutes() -> None:
    candidate = changed(pocket(), {"APMX": 12.0, "LU": 30.0, "LPR": 45.0, "DN": 15.0}, axial_depth=10.0, levels=3)
    drawing = [line[LABEL + 1 : LABEL + 1 + WIDE] for line in side_section(candidate, pocket().region, 40)]
    wide = {fill: max(row.count(fill) for row in drawing) for fill in ("█", "╱")}
    necks = [row.split("│")[1] for row in drawing if row.count("│") == 2 and not set(row.split("│")[1]) - {" "}]
    assert wide["█"] > wide["╱"]
    assert min(map(len, necks)) < wide["╱"]


def test_a_report_shows_the_version_that_fits() -> None:
    head, sketch = sketch_blocks(changed(pocket()), pocket().region, LIMITS)
    assert isinstance(sketch, Sketch)
    wide = terminal.text((head, sketch, Para("x")), 80)
    narrow = terminal.text((head, sketch, Para("x")), 30)
    assert sketch.versions[0][0] in wide
    assert max(map(len, narrow.splitlines())) <= 30
    assert "holder" in narrow
    assert terminal.text((head, sketch), 80, signs=False).isascii()


def test_markdown_keeps_the_drawing_as_it_is() -> None:
    blocks = sketch_blocks(changed(pocket()), pocket().region, LIMITS)
    assert "```\n" + "\n".join(blocks[1].versions[0]) + "\n```" in markdown.text(blocks)  # type: ignore[union-attr]


def test_the_same_things_touch_in_characters_and_on_the_page() -> None:
    from advisor.render.drawings.section import section

    for out in (20.0, 26.0, 29.0, 42.0):
        candidate = changed(pocket(), {"APMX": 15.0, "LU": 18.0, "LPR": out})
        touched = drawn.contacts(section(candidate, pocket().region, "x", LIMITS))
        lines = " ".join(" ".join(side_section(candidate, pocket().region, 40, LIMITS)).split())
        assert lines.count("contact:") == len(touched)


def test_a_height_of_four_decimals_moves_no_row() -> None:
    assert {len(at_left(height)) for height in ("", "top 0", "floor 0.75", "level 0.7303")} == {12}
    assert at_left("level 0.7303") == "level 0.7303"


@pytest.mark.parametrize("deep", [6.0, 19.0, 40.0, 55.0])
def test_a_drill_through_the_part_is_drawn_past_the_bottom_and_clear_of_the_table(deep: float) -> None:
    """The label of its tip stands above what the part stands on, whichever way the rows fall."""
    hole = {"kind": "round_hole", "diameter": 12.7, "depth": deep, "floor": False, "clearance_below": 10}
    found = advise(job({**hole, "purpose": "clearance"}, [drill(12.7)], STEEL))
    answer = found.features[0]
    assert answer.best is not None
    lines = side_section(answer.best, answer.region, 40, LIMITS)
    (tip,) = (row for row, line in enumerate(lines) if line.lstrip().startswith("tip"))
    assert FLUTE in lines[tip]
    assert BENEATH not in lines[tip]
    assert BENEATH in lines[-1]
