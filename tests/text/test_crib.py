"""What a crib is found to lack."""

from advisor.model.cutter import Cutter, make_cutter
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.render import terminal
from advisor.service import advise
from advisor.text.advice import under_what
from advisor.text.crib import crib_blocks, lacks, reach
from tests.jobs.small import STEEL, job


def end_mill(**more: object) -> object:
    return make_cutter(id="E10", body="solid_end_mill", DC=10, APMX=22, ZEFP=3, **more)


def test_the_demo_crib_lacks_nothing() -> None:
    assert list(lacks(read_crib(shared_dir() / "crib.csv").cutters)) == []


def test_a_crib_without_a_drill_is_told_so() -> None:
    told = list(lacks([end_mill()]))
    assert "no drill: no entry through a predrilled hole" in told
    assert "nothing for drilling: it needs a drill" in told


def test_drills_alone_serve_nothing_but_holes() -> None:
    told = list(lacks([make_cutter(id="D8", body="drill", DC=8, APMX=40, ZEFP=2)]))
    assert "nothing for a slot" in told
    assert "nothing for a round hole" not in told


def test_the_narrowest_and_the_deepest_cutter_are_named() -> None:
    told = " ".join(reach([end_mill(LU=30, LPR=40)])).replace("\u00a0", " ")
    assert "DC 10 mm (E10) to 10 mm (E10); deepest 30 mm (E10)" in told


def test_what_was_assumed_is_told() -> None:
    told = " ".join(terminal.text(crib_blocks("my.csv", [end_mill()]), 80).split())
    assert "E10: substrate = carbide (not given)" in told


def inserted(name: str, **more: object) -> Cutter:
    return make_cutter(id=name, body="inserted_high_feed_mill", DC=25, APMX=1.2, ZEFP=3, LPR=70, **more)


def test_inserted_cutters_that_lack_a_usable_length_or_a_ramp_angle_are_named() -> None:
    told = " ".join(terminal.text(crib_blocks("my.csv", [inserted("T07"), inserted("T08")]), 80).split())
    assert "T07 and T08 are used no deeper than 1.2 mm and 1.2 mm: give LU in the crib." in told
    assert "T07 and T08 cannot ramp into the solid: give RMPX" in told


def test_what_is_given_holds_nothing_back() -> None:
    told = terminal.text(crib_blocks("my.csv", [inserted("T07", LU=55, RMPX=2), end_mill()]), 80)
    assert "Held back" not in told


def test_advice_tells_which_cutters_a_missing_usable_length_holds_back() -> None:
    step = {"kind": "step", "length": 100, "width": 15, "depth": 8}
    said, silent = (
        under_what(advise(job(step, [cutter], STEEL))) for cutter in (inserted("T08"), inserted("T08", LU=55))
    )
    assert said.replace("\u00a0", " ").endswith("T08 is used no deeper than 1.2 mm: give LU in the crib.")
    assert "give LU" not in silent
