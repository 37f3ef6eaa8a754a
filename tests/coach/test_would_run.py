"""Exercises are made only of answers that a shop would run, with cutters that are kept for the material."""

from contextlib import suppress

import pytest

from advisor.choosing.time_parts import time_parts
from advisor.coach import would_run as would_run_module
from advisor.coach.exercise import DIFFICULTIES, KINDS, Exercise, NoExercise
from advisor.coach.scene import Scene
from advisor.coach.table import table
from advisor.coach.would_run import suits, would_run
from advisor.model.cutter import Cutter
from advisor.model.material import Material
from advisor.readers.assignment import demo_crib
from advisor.readers.materials import load_materials
from tests.coach.made import make

SEEDS = range(6)  # as in made.sound


def _cutter(name: str) -> Cutter:
    return next(cutter for cutter in demo_crib().cutters if cutter.id == name)


def _of_group(group: str) -> Material:
    return next(material for material in load_materials().all if material.group == group)


def _limit(monkeypatch: pytest.MonkeyPatch, name: str, value: object) -> None:
    """Put another limit into the table of what a shop would run."""
    run = would_run_module.table().would_run.model_copy(update={name: value})
    changed = table().model_copy(update={"would_run": run})
    monkeypatch.setattr(would_run_module, "table", lambda: changed)


@pytest.fixture(scope="module")
def scene() -> Scene:
    found = make("set", 105, 1).key.scene
    assert would_run(found)
    return found


def _in_the_cut(scene: Scene) -> float:
    """The time of the advised way without its changes of tools [s]."""
    return scene.best.time - time_parts(scene.best)["change"]


@pytest.mark.parametrize("kind", KINDS)
def test_an_exercise_has_an_answer_that_a_shop_would_run(kind: str) -> None:
    limits, made = table().would_run, list[Exercise]()
    for seed in SEEDS:
        with suppress(NoExercise):  # of such a seed a sitting takes another kind
            made.append(make(kind, seed, DIFFICULTIES[seed % len(DIFFICULTIES)]))
    assert len(made) >= len(SEEDS) - 1
    for exercise in made:
        best = exercise.key.scene.best
        assert _in_the_cut(exercise.key.scene) <= limits.time_most
        assert float(best.plan.facts["rate_kept"]) >= limits.rate_kept_least
        assert all(suits(cutter, exercise.assignment.material) for cutter in exercise.assignment.crib)


def test_a_feature_that_takes_longer_than_a_shop_accepts_is_not_asked(
    scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    _limit(monkeypatch, "time_most", _in_the_cut(scene) * 1.001)
    assert would_run(scene)
    _limit(monkeypatch, "time_most", _in_the_cut(scene) * 0.999)
    assert not would_run(scene)


def test_a_small_pocket_that_takes_long_for_its_size_is_not_asked(
    scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    _limit(monkeypatch, "time_per_cm3", dict.fromkeys("PMKNSH", 0.0))
    _limit(monkeypatch, "time_plain", _in_the_cut(scene) * 1.001)
    assert would_run(scene)
    _limit(monkeypatch, "time_plain", _in_the_cut(scene) * 0.999)
    assert not would_run(scene)


def test_a_cut_that_machine_or_cutter_is_too_weak_for_is_not_asked(
    scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = float(scene.best.plan.facts["rate_kept"])
    _limit(monkeypatch, "rate_kept_least", kept - 0.001)
    assert would_run(scene)
    _limit(monkeypatch, "rate_kept_least", kept + 0.001)
    assert not would_run(scene)


def test_an_answer_in_too_many_levels_is_not_asked(scene: Scene, monkeypatch: pytest.MonkeyPatch) -> None:
    _limit(monkeypatch, "levels_most", scene.best.plan.levels)
    assert would_run(scene)
    _limit(monkeypatch, "levels_most", scene.best.plan.levels - 1)
    assert not would_run(scene)


def test_an_answer_that_a_rule_says_is_cut_with_an_edge_for_other_material_is_not_asked(
    scene: Scene, monkeypatch: pytest.MonkeyPatch
) -> None:
    _limit(monkeypatch, "never", [scene.best.fired[0].id])
    assert not would_run(scene)


@pytest.mark.parametrize(
    ("cutter", "group", "kept"),
    [
        ("E12N3", "N", True),
        ("E12N3", "P", False),
        ("E12P4", "P", True),
        ("E12P4", "N", False),
        ("E10H6", "H", True),
        ("E12P4", "H", False),
        ("E12HSS", "P", True),
        ("E12HSS", "S", False),
        ("E12HSS", "H", False),
        ("E10H6", "K", False),
        ("E16HSSL", "N", False),
        ("A80", "P", True),
    ],
)
def test_cutters_are_kept_for_what_their_teeth_and_edge_are_good_for(cutter: str, group: str, kept: bool) -> None:
    assert suits(_cutter(cutter), _of_group(group)) is kept


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("best", ["workable"]),
        ("entry_share_most", 0.0),
        ("depth_most", dict.fromkeys("PMKNSH", 0.1)),
        ("volume_most", dict.fromkeys("PMKNSH", 0.001)),
        ("not_so", {"closed_pocket": ["helical_ramp", "zigzag_ramp", "predrilled_hole"]}),
    ],
)
def test_an_answer_that_no_shop_would_give_is_not_asked(
    monkeypatch: pytest.MonkeyPatch, name: str, value: object
) -> None:
    """Not rated good, most of it getting in, more to take than such material is roughed in, a way in nobody takes."""
    pocket = next(
        found
        for seed in range(30)
        if (found := make("set", seed, 2, "levels").key.scene).answer.region.kind == "closed_pocket"
        and time_parts(found.best)["entry"] > 0
    )
    assert would_run(pocket)
    _limit(monkeypatch, name, value)
    assert not would_run(pocket)


def test_aluminium_stainless_and_titanium_are_not_roughed_dry(scene: Scene, monkeypatch: pytest.MonkeyPatch) -> None:
    dry = scene._replace(
        assignment=scene.assignment.model_copy(update={"material": _of_group("M")}),
        bench=scene.bench._replace(machine=scene.bench.machine.model_copy(update={"coolant": ("air",)})),
    )
    _limit(monkeypatch, "time_per_cm3", dict.fromkeys("PMKNSH", 1000.0))
    assert not would_run(dry)
    wet = dry._replace(bench=dry.bench._replace(machine=dry.bench.machine.model_copy(update={"coolant": ("flood",)})))
    assert would_run(wet)
