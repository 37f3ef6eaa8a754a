"""What a crib is found to lack."""

from advisor.model.cutter import make_cutter
from advisor.paths import shared_dir
from advisor.readers.crib import read_crib
from advisor.render import terminal
from advisor.text.crib import crib_blocks, lacks, reach


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
