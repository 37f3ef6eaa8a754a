"""Every worked case against what its author expected of the trade before the program answered."""

from itertools import chain, zip_longest
from pathlib import Path
from typing import Any

import pytest

from advisor.analysis.alternatives import alternatives
from advisor.choosing.advice import advise
from advisor.knowledge.shipped import rule_base
from advisor.model.answer import FeatureAdvice
from advisor.model.features import FEATURE_KINDS
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.pairings import ways
from tests.cases import worked

BASE = rule_base()
NAMES = [folder.name for folder in worked.folders()]
FEATURES = [
    pytest.param(name, feature, id=f"{name}-{feature}")
    for name in NAMES
    for feature in worked.expected(name)["features"]
]
KEYS = {"method", "cutter", "entry", "levels", "grade", "rule", "cautions", "settings", "because", "not"}
SETTINGS = {"overcut": "overcut", "allowance_bottom": "bottom_allowance", "allowance_side": "planned_side_allowance"}


def asked_for(key: str) -> list[Any]:
    """Return a test's parameters for every feature whose expectation has a key: case, feature, what is wanted."""
    return [
        pytest.param(name, feature, entry[key], id=f"{name}-{feature}")
        for name in NAMES
        for feature, entry in worked.expected(name)["features"].items()
        if key in entry
    ]


def got(found: FeatureAdvice, key: str) -> Any:
    best = found.best
    if key == "grade" or best is None:
        return found.grade if key == "grade" else None
    return best.cutter.id if key == "cutter" else getattr(best, key)


@pytest.mark.parametrize("name", NAMES)
def test_an_expectation_is_written_in_known_words_and_covers_the_job(name: str) -> None:
    wanted = worked.expected(name)
    assert (
        {"title", "teaches", "exit_code", "features"}
        <= set(wanted)
        <= {"title", "teaches", "exit_code", "features", "pair"}
    )
    job = read_assignment(cases_dir() / name / "job.yaml").job
    assert set(wanted["features"]) == {feature.id for feature in job.features}
    for entry in wanted["features"].values():
        assert {"method", "grade", "because"} <= set(entry) | {"method"} <= KEYS
        assert set(entry.get("settings", {})) <= set(SETTINGS)
        rules = [
            *worked.as_list(entry.get("rule", [])),
            *entry.get("cautions", []),
            *chain.from_iterable(entry.get("not", {}).values()),
        ]
        assert set(rules) <= set(BASE.by_id)


@pytest.mark.parametrize(("name", "feature"), FEATURES)
@pytest.mark.parametrize("key", ["method", "cutter", "entry", "grade"])
def test_the_way_and_its_grade_are_as_expected(name: str, feature: str, key: str) -> None:
    entry = worked.expected(name)["features"][feature]
    if key not in entry:
        pytest.skip(f"the case leaves the {key} open")
    assert got(worked.feature(name, feature), key) in worked.as_list(entry[key])


@pytest.mark.parametrize(("name", "feature", "wanted"), asked_for("levels"))
def test_the_levels_are_as_many_as_worked_out_by_hand(name: str, feature: str, wanted: int | list[int]) -> None:
    best = worked.feature(name, feature).best
    assert best is not None
    assert best.plan is not None
    least, most = wanted if isinstance(wanted, list) else (wanted, wanted)
    assert least <= best.plan.levels <= most


@pytest.mark.parametrize(("name", "feature", "wanted"), asked_for("rule"))
def test_the_rule_that_decides_is_among_the_reasons(name: str, feature: str, wanted: str | list[str]) -> None:
    found = worked.feature(name, feature)
    fired = found.best.fired if found.best else [rule for candidate in found.candidates for rule in candidate.fired]
    assert {rule.id for rule in (*fired, *found.about_feature)} & set(worked.as_list(wanted))


@pytest.mark.parametrize(("name", "feature", "wanted"), asked_for("cautions"))
def test_the_cautions_are_given(name: str, feature: str, wanted: list[str]) -> None:
    assert set(wanted) <= {rule.id for rule in worked.feature(name, feature).cautions}


@pytest.mark.parametrize(("name", "feature", "wanted"), asked_for("settings"))
def test_the_settings_that_practice_fixes_are_so(name: str, feature: str, wanted: dict[str, float]) -> None:
    best = worked.feature(name, feature).best
    assert best is not None
    assert {key: best.facts[SETTINGS[key]] for key in wanted} == pytest.approx(wanted)


@pytest.mark.parametrize(("name", "feature", "wanted"), asked_for("not"))
def test_the_other_method_is_set_back_by_the_rule_that_ought_to(
    name: str, feature: str, wanted: dict[str, list[str]]
) -> None:
    ways = alternatives(worked.feature(name, feature), worked.advice(name).bench.base)
    for method, rules in wanted.items():
        told = [found for found in ways if found.candidate.method == method and found.differs == "method"]
        assert len(told) == 1, f"{method} is told once among the alternatives"
        assert {rule.id for rule in told[0].reasons} & set(rules)


@pytest.mark.parametrize("name", NAMES)
def test_a_case_without_a_way_is_the_one_that_ends_with_one(name: str) -> None:
    """Exit 1 where some feature has no way, 0 else."""
    grades = [found.grade for found in worked.advice(name).features]
    assert worked.expected(name)["exit_code"] == int("forbidden" in grades)


PAIRS = [(name, worked.expected(name)["pair"]["case"]) for name in NAMES if "pair" in worked.expected(name)]


def _lines(folder: Path) -> dict[str, list[str]]:
    """Return the lines of a case's files, without remarks, the part's name and the folder's own name.

    A folder of house rules comes with the line of the shop that names it.
    """
    files = {}
    for path in sorted(folder.iterdir()):
        if path.name != "expected.yaml" and path.is_file():
            lines = [line.split("#")[0].rstrip() for line in path.read_text(encoding="utf-8").splitlines()]
            files[path.name] = [line for line in lines if line and not line.startswith("part:")]
    return files


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_a_pair_differs_in_one_line_of_its_files(one: str, other: str) -> None:
    mine, theirs = _lines(cases_dir() / one), _lines(cases_dir() / other)
    assert set(mine) == set(theirs)
    if [len(lines) for lines in mine.values()] == [len(lines) for lines in theirs.values()]:
        pairs = [(a, b) for name in mine for a, b in zip_longest(mine[name], theirs[name]) if a != b]
        assert len(pairs) == 1, pairs
    else:
        only = [line for name in mine for line in set(mine[name]) ^ set(theirs[name])]
        assert len(only) == 1, "one line more, the others alike"


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_each_of_a_pair_names_the_other_and_the_advice_flips(one: str, other: str) -> None:
    assert worked.expected(other)["pair"]["case"] == one
    flips = set()
    for mine, theirs in zip(worked.advice(one).features, worked.advice(other).features, strict=True):
        answers = [_answer(found) for found in (mine, theirs)]
        flips |= {key for key in answers[0] if answers[0][key] != answers[1][key]}
    assert flips


def _answer(found: FeatureAdvice) -> dict[str, Any]:
    """Return what a pair may flip: the way, its grade, what happens at the bottom, rest material in corners."""
    facts = found.best.facts if found.best else {}
    cautions = {rule.id for rule in found.cautions}
    ways_of = {key: got(found, key) for key in ("method", "cutter", "entry", "grade")}
    return ways_of | {"bottom": facts.get("bottom_policy"), "corners": "corner-leaves-rest" in cautions}


FLIPS = {
    ("bracket-hole-over-the-table", "bracket-hole-on-parallels"): "method",
    ("manifold-hole-thin-bottom", "manifold-hole-thick-bottom"): "method",
    ("guide-slot-narrow", "guide-slot-wide"): "method",
    ("housing-wall-within-flutes", "housing-wall-beyond-flutes"): "cutter",
    ("lever-pocket-easy-corners", "lever-pocket-tight-corners"): "corners",
    ("gear-cover-strong-spindle", "gear-cover-weak-spindle"): "method",
    ("cover-plate-clearance-below", "cover-plate-no-clearance"): "bottom",
    ("die-holder-with-drill", "die-holder-no-drill"): "entry",
    ("pump-base-shallow-pocket", "pump-base-deep-pocket"): "method",
    ("instrument-plate-quick-axes", "instrument-plate-slow-axes"): "method",
    ("fitting-hole-flat-floor", "fitting-hole-cone-allowed"): "method",
    ("spar-pocket-aluminium", "spar-pocket-titanium"): "method",
    ("press-frame-step-in-reach", "press-frame-step-out-of-reach"): "method",
    ("keyway-with-allowance", "keyway-cut-to-size"): "grade",
    ("rack-slot-worn-axes", "rack-slot-sound-axes"): "method",
}


@pytest.mark.parametrize(
    ("pair", "key"), FLIPS.items(), ids=lambda value: value if isinstance(value, str) else "-and-".join(value)
)
def test_what_flips_is_what_the_pair_says(pair: tuple[str, str], key: str) -> None:
    one, other = (_answer(worked.advice(name).features[0]) for name in pair)
    assert one[key] != other[key]


def test_no_pair_is_left_out_above() -> None:
    assert {frozenset(pair) for pair in PAIRS} == {frozenset(pair) for pair in FLIPS}


def test_the_cases_cover_the_trade() -> None:
    kinds, groups, methods, grades, entries = set(), set(), set(), set(), set()
    for name in NAMES:
        groups.add(worked.advice(name).bench.material.group)
        for found in worked.advice(name).features:
            kinds.add(found.region.kind)
            grades.add(found.grade)
            if found.best:
                methods.add(found.best.method)
                entries.add(found.best.entry)
    assert kinds == set(FEATURE_KINDS)
    assert groups == set("NPMKSH")
    assert methods == set(ways())
    assert grades == {"good", "workable", "poor", "forbidden"}
    assert {"side_entry", "helical_ramp", "zigzag_ramp", "predrilled_hole", "axial_plunge"} <= entries


def test_a_case_gives_the_same_advice_twice() -> None:
    again = advise(read_assignment(cases_dir() / "winch-side-plate" / "job.yaml"))
    assert [found.candidates for found in again.features] == [
        found.candidates for found in worked.advice("winch-side-plate").features
    ]
