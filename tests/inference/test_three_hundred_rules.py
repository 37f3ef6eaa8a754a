"""A shop with hundreds of rules of its own in one stage: all are read, asked by the engine, and answered right; of more
than a thousand it is told that they are too many.
"""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.files.problems import BadInput
from advisor.inference import evaluator, start
from advisor.knowledge.house import house_base
from advisor.knowledge.house_files import MOST_RULES
from advisor.knowledge.shipped import rule_base
from advisor.paths import cases_dir
from tests.effort import effort

durable = pytest.importorskip("advisor.inference.durable")

JOB = cases_dir() / "guide-slot-narrow" / "job.yaml"
COUNT = 300
STEP = 0.01  # of depth ratio, from one rule to the next; the slot of the case is 1.4 diameters deep
RULE = """  - id: our-depth-{number}
    title: Deeper than {depth} diameters
    stage: clearing
    reason: counted at the machine
    when: [depth_ratio > {depth}, method = ramped_slotting]
    verdict: for
    because: "{{depth_ratio}} diameters is deeper than {depth}."
    source: {{common_practice: true}}
    examples:
      fires: [{{depth_ratio: {above}, method: ramped_slotting}}]
      silent: [{{depth_ratio: {depth}, method: ramped_slotting}}, {{depth_ratio: {above}, method: plunge_roughing}}]
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with so many house rules that the engine must hold many rulesets of one stage."""
    return written(tmp_path_factory.mktemp("house"), COUNT)


def written(folder: Path, count: int) -> Path:
    depths = [round(STEP * (number + 1), 2) for number in range(count)]
    rules = [
        RULE.format(number=number, depth=depth, above=round(depth + STEP / 2, 3)) for number, depth in enumerate(depths)
    ]
    (folder / "house.yaml").write_text("add:\n" + "".join(rules), encoding="utf-8")
    return folder


def expected(depth_ratio: float) -> set[str]:
    return {f"our-depth-{number}" for number in range(COUNT) if depth_ratio > round(STEP * (number + 1), 2)}


def ours(fired: tuple[str, ...]) -> set[str]:
    return {name for name in fired if name.startswith("our-depth-")}


def test_the_engine_is_asked_all_of_them_and_fires_just_those_that_hold(house: Path) -> None:
    """The very rulesets that the advice asks; up to all three hundred fire at once."""
    inference = start(house_base(rule_base(), house), "durable")
    family = inference.family("clearing", "method", "ramped_slotting")
    assert family is not None
    assert len(family.rules) > COUNT
    assert len(list(durable.chunks(list(family.rules.values())))) >= COUNT // durable.MOST_RULES
    witness = evaluator.Family(list(family.rules.values()))
    for depth_ratio in (0.005, 0.01, 0.0101, 1.4, 1.405, 2.99, 3.0, 3.01, 50.0):
        facts = {"depth_ratio": depth_ratio, "method": "ramped_slotting"}
        fired = family.engine.ask(facts)
        assert ours(fired) == expected(depth_ratio)
        assert set(fired) == set(witness.ask(facts))
        assert not ours(family.engine.ask(facts | {"method": "plunge_roughing"}))
    by_engine, by_witness = (
        effort(
            lambda asked=asked: [
                asked.ask({"depth_ratio": number / 20, "method": "ramped_slotting"}) for number in range(50)
            ]
        )
        for asked in (family.engine, witness)
    )
    assert by_engine < 200 * by_witness  # about 17 times as much


def test_the_command_advises_with_them_and_names_those_that_fired(house: Path) -> None:
    plain = ["advise", str(JOB), "--quick", "--format", "json"]
    words = [*plain, "--house", str(house)]
    found = CliRunner().invoke(app, words)
    assert found.exit_code == 0, found.stderr
    answer = json.loads(found.stdout)["features"][0]
    assert (answer["method"], answer["grade"]) == ("ramped_slotting", "good")
    named = [reason for reason in answer["reasons"] if reason["rule"].startswith("our-depth-")]
    assert {reason["rule"] for reason in named} == expected(1.4)
    assert all(reason["house"] for reason in named)
    alone = effort(lambda: CliRunner().invoke(app, plain))
    assert effort(lambda: CliRunner().invoke(app, words), times=1) < 300 * alone  # about 30 times as much


@pytest.mark.parametrize("count", [COUNT, COUNT + 1, MOST_RULES])
def test_so_many_rules_of_one_stage_are_read_and_answer(count: int, tmp_path: Path) -> None:
    words = ["advise", str(JOB), "--quick", "--format", "json", "--house", str(written(tmp_path, count))]
    found = CliRunner().invoke(app, words)
    assert found.exit_code == 0, found.stderr
    answer = json.loads(found.stdout)["features"][0]
    named = {reason["rule"] for reason in answer["reasons"] if reason["rule"].startswith("our-depth-")}
    assert named == expected(1.4)


def test_more_rules_than_can_be_asked_are_refused_with_the_limit_and_the_reason(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        house_base(rule_base(), written(tmp_path, MOST_RULES + 1))
    (problem,) = caught.value.problems
    assert (problem.file, problem.line, problem.field) == (str(tmp_path / "house.yaml"), 1, "add")
    assert problem.found == "1001 rules"
    assert problem.wanted == "at most 1000: each is asked of every way, and more take too long"
