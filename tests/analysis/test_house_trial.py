"""House rules tried on jobs: for which ways each change answers; a fault of our own is not told as the shop's."""

from pathlib import Path
from typing import Any

import pytest

from advisor.analysis import house_trial
from advisor.analysis.house_check import checked_house
from advisor.analysis.house_trial import FiresFor, fires_for
from advisor.files.problems import BadInput, Problem
from advisor.inference.rulesets import EngineError
from advisor.knowledge.schema import Change
from advisor.model.answer import FeatureAdvice
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.render.house_record import house_record
from advisor.situation import bench
from advisor.situation.facts import Contradiction, conclude
from advisor.text.house_check import house_blocks
from tests.cases import worked
from tests.choosing.test_ranking import BASE

CASE = "guide-slot-narrow"
HOUSE = """thresholds:
  time_band: {value: 0.2, reason: we like stiff cutters}
off:
  - {id: plunge-is-last, reason: we plunge often}
"""


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """Return a folder with house rules."""
    (tmp_path / "house.yaml").write_text(HOUSE)
    return tmp_path


def tried(house: Path) -> Any:
    job = read_assignment(cases_dir() / CASE / "job.yaml").model_copy(update={"house": house})
    return checked_house(house, [(CASE, job)])


@pytest.mark.parametrize(
    "fault",
    [
        BadInput([Problem("house.yaml", 2, "thresholds", "a band with which S1 cannot be worked out", "another")]),
        Contradiction("one and other conclude different values for levels_usual"),
    ],
)
def test_a_change_that_the_others_need_is_told_as_needed(
    house: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def refuse(*given: object) -> FeatureAdvice:
        raise fault

    monkeypatch.setattr(house_trial, "advise_feature", refuse)
    found = tried(house)
    needed = [one for trial in found.trials for one in trial.firings if one.needed]
    assert needed
    told = " ".join(
        line for block in house_blocks(found) for item in getattr(block, "items", ()) for line in item.after
    )
    assert "cannot be left out alone: the other changes cannot be worked out without it" in told
    assert "changes nothing" not in told
    assert any(one["needed"] for trial in house_record(found)["trials"] for one in trial["answered"])


@pytest.mark.parametrize("fault", [RuntimeError("x"), ValueError("x"), ZeroDivisionError("x"), EngineError("x")])
def test_a_fault_of_our_own_is_not_told_as_a_change_that_changes_nothing(
    house: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def fail(*given: object) -> FeatureAdvice:
        raise fault

    monkeypatch.setattr(house_trial, "advise_feature", fail)
    with pytest.raises(type(fault)):
        tried(house)


def test_the_house_file_is_parsed_once_to_try_each_change(house: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.knowledge import house as joining

    parsed: list[str] = []
    parse = joining.parse_yaml
    monkeypatch.setattr(joining, "parse_yaml", lambda *given: parsed.append(given[1]) or parse(*given))
    (house / "house.yaml").write_text(f"# read by nobody before: {house}\n{HOUSE}")
    assert set(bench.without_each_change(house)) == {"time_band", "plunge-is-last"}
    bench.inference_of(house)
    bench.without_each_change(house)
    assert len(parsed) == 1


def test_without_a_change_the_others_stay(house: Path) -> None:
    without = bench.without_each_change(house)
    assert [change.name for change in without["time_band"].changes] == ["plunge-is-last"]
    assert without["time_band"].limits["time_band"] == BASE.limits["time_band"]
    assert "plunge-is-last" in without["plunge-is-last"].by_id


def test_a_rule_that_fired_for_another_way_reaches_only_others() -> None:
    answer = worked.feature(CASE, "S1")
    best = answer.best
    assert best is not None
    elsewhere = next(
        rule for item in answer.candidates for rule in item.fired
        if rule.verdict == "against" and rule not in best.fired and rule.stage == "clearing"
    )  # fmt: skip
    here = next(rule for rule in best.fired if rule.stage == "clearing")
    nowhere = next(
        rule for rule in BASE.of("clearing") if not any(rule in item.fired for item in answer.candidates)
    )  # fmt: skip

    def reach(rule: Any) -> FiresFor:
        return fires_for(Change("added", rule.id, "so", "house.yaml", 1), rule, answer, BASE)

    assert (reach(here), reach(elsewhere), reach(nowhere)) == (FiresFor.ADVISED, FiresFor.OTHERS, FiresFor.NONE)


def test_two_rules_that_conclude_otherwise_of_one_fact_contradict_each_other() -> None:
    one = next(rule for rule in BASE.rules if rule.concludes is not None and not isinstance(rule.concludes[1], str))
    assert one.concludes is not None
    other = one._replace(id="another", concludes=(one.concludes[0], float(one.concludes[1]) + 1, None), overrides=())
    with pytest.raises(Contradiction, match="conclude different values"):
        conclude({}, (one._replace(overrides=()), other))
