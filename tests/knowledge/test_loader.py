"""Slips in the rule base: each is told with its file and line, all of them at once, and nothing of it is advice.

The shipped rules are copied and spoilt in one place. The line that must be named carries the comment ``# here``.
"""

import shutil
from pathlib import Path

import pytest

from advisor.files.problems import BadInput, Problem
from advisor.knowledge.check import check
from advisor.knowledge.loader import load
from advisor.knowledge.measures import STAGES
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.paths import rules_dir, shared_dir
from tests.knowledge.example_faults import EXAMPLE_FAULTS, MORE, OWN
from tests.knowledge.other_faults import SUBTLE, TABLE_FAULTS
from tests.knowledge.rule_faults import RULE_FAULTS
from tests.knowledge.spoiling import GOOD, changed, concluding, line_of, when


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a copy of the shipped rules, to be spoilt."""
    return Path(shutil.copytree(rules_dir(), tmp_path / "rules"))


@pytest.fixture
def bare(tmp_path: Path) -> Path:
    """Return a copy of the shipped measures and thresholds without any rule: quicker to read."""
    folder = tmp_path / "rules"
    for stage in STAGES:
        (folder / stage).mkdir(parents=True)
    for name in ("measures.yaml", "thresholds.yaml"):
        shutil.copy(rules_dir() / name, folder)
    return folder


def read(folder: Path) -> RuleBase:
    return load(folder, shared_dir() / "sources.yaml")


def complaints(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as caught:
        read(folder)
    return caught.value.problems


def test_the_rule_that_is_spoilt_below_is_good_before(folder: Path) -> None:
    """Else each of the tests below might pass for another reason."""
    (folder / "clearing" / "own.yaml").write_text(GOOD)
    assert "a-new-rule" in read(folder).by_id
    (folder / "settings" / "own.yaml").write_text(
        concluding("bottom_policy", "leave_a_skin").replace("a-new-rule", "another")
    )
    assert read(folder).by_id["another"].concludes == ("bottom_policy", "leave_a_skin", None)


@pytest.mark.parametrize(("stage", "text", "told"), RULE_FAULTS)
def test_a_slip_in_a_rule_is_told_with_file_and_line(bare: Path, stage: str, text: str, told: str) -> None:
    path = bare / stage / "own.yaml"
    path.write_text(text)
    problems = complaints(bare)
    said = [f"{problem.field} {problem.found} {problem.wanted}" for problem in problems]
    assert any(told in one for one in said), said
    ours = [problem for problem in problems if problem.file == str(path)]
    assert ours == list(problems), "nothing else is blamed"
    if "'A new rule" not in text:  # a quote that is never closed is noticed at the end of the file
        assert line_of(text) in {problem.line for problem in problems}
    assert all(problem.line for problem in problems)


@pytest.mark.parametrize(("name", "text", "told"), TABLE_FAULTS)
def test_a_slip_in_a_table_is_told_with_file_and_line(bare: Path, name: str, text: str, told: str) -> None:
    path = bare / name
    whole = f"{path.read_text().rstrip()}\n{text}\n"
    path.write_text(whole)
    problems = complaints(bare)
    assert [(problem.file, problem.line) for problem in problems] == [(str(path), line_of(whole))]
    assert told in f"{problems[0].field} {problems[0].found} {problems[0].wanted}"


def test_a_threshold_that_goes_is_missed_wherever_it_was_named(folder: Path) -> None:
    path = folder / "thresholds.yaml"
    path.write_text(
        "\n".join(line for line in path.read_text().splitlines() if not line.startswith("loop_width_ratio_least:"))
    )
    rules = {problem.field.partition(".")[0] for problem in complaints(folder)}
    assert {"room-is-close", "narrow-slot-is-ramped", "slot-too-narrow-to-loop"} <= rules


def test_all_slips_of_all_files_are_told_at_once(folder: Path) -> None:
    (folder / "clearing" / "own.yaml").write_text(when("widht_ratio < 1"))
    (folder / "entry" / "own.yaml").write_text(
        changed("verdict: against", "verdict: dislikes").replace("a-new-rule", "another")
    )
    thresholds = folder / "thresholds.yaml"
    thresholds.write_text(f"{thresholds.read_text().rstrip()}\nown_limit: 3\n")
    assert {Path(problem.file).parent.name for problem in complaints(folder)} == {"clearing", "entry", "rules"}


def test_one_id_in_two_files_is_told_with_both_places(folder: Path) -> None:
    path = folder / "cutter" / "own.yaml"
    path.write_text(changed("id: a-new-rule", "id: narrow-slot-is-ramped"))
    first = rule_base().by_id["narrow-slot-is-ramped"]
    (problem,) = complaints(folder)
    told = str(problem)
    assert "own.yaml:1" in told or str(folder / "clearing" / "slots.yaml") in told
    assert f"slots.yaml:{first.line}" in told


def test_a_rule_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        read(tmp_path / "nowhere")


def test_every_rule_and_threshold_knows_its_file_and_line() -> None:
    base = rule_base()
    for rule in base.rules:
        assert rule.line is not None
        assert f"- id: {rule.id}" in Path(rule.file).read_text(encoding="utf-8").splitlines()[rule.line - 1]
    for threshold in base.thresholds.values():
        assert threshold.line is not None
        assert (
            Path(threshold.file)
            .read_text(encoding="utf-8")
            .splitlines()[threshold.line - 1]
            .startswith(f"{threshold.name}:")
        )


@pytest.mark.parametrize("text", SUBTLE)
def test_a_subtle_slip_is_told_too(bare: Path, text: str) -> None:
    path = bare / "clearing" / "own.yaml"
    path.write_text(text)
    assert {problem.file for problem in complaints(bare)} == {str(path)}


def test_a_folder_that_is_no_stage_is_told(bare: Path) -> None:
    (bare / "clearin").mkdir()
    (bare / "clearin" / "own.yaml").write_text(GOOD)
    assert complaints(bare)


@pytest.mark.parametrize("fact", ["[bottom_policy]", "{a: b}", "null", "3"])
def test_a_conclusion_on_what_is_no_name_is_told(bare: Path, fact: str) -> None:
    (bare / "settings" / "own.yaml").write_text(concluding(fact, "leave_a_skin"))
    assert complaints(bare)


def test_two_rules_that_override_each_other_are_told(bare: Path) -> None:
    """Where both fire, neither would have a say."""
    one = changed("  source:", "  overrides: [another]\n  source:")
    other = one.replace("a-new-rule", "another").replace("[another]", "[a-new-rule]")
    (bare / "clearing" / "own.yaml").write_text(one + other)
    assert complaints(bare)


def test_an_example_that_its_rule_belies_is_told_by_the_check(bare: Path) -> None:
    """Such a base loads, so that a rule can be tried; the check names the example's file and line."""
    path = bare / "clearing" / "own.yaml"
    path.write_text(changed("examples: {fires: [{width_ratio: 1}]", "examples: {fires: [{width_ratio: 2}]"))
    (problem,) = check(read(bare))
    assert (problem.file, problem.line) == (str(path), 8)
    assert "a-new-rule" in problem.field


def beside(folder: Path, examples: str, rules: str = GOOD) -> Path:
    """Write a file of rules into a stage, and examples beside it; return the file of examples."""
    (folder / "clearing" / "own.yaml").write_text(rules)
    path = folder / "clearing" / OWN
    path.write_text(examples)
    return path


def test_examples_beside_a_file_are_those_of_its_rules(folder: Path) -> None:
    path = beside(folder, MORE)
    base = read(folder)
    examples = base.by_id["a-new-rule"].examples
    told = [(dict(each.facts)["width_ratio"], each.fires, Path(each.file).name, each.line) for each in examples]
    assert told == [
        (1, True, "own.yaml", 8),
        (1.1, True, path.name, 3),
        (1.2, True, path.name, 4),
        (3, False, "own.yaml", 8),
        (2, False, path.name, 6),
    ]
    assert check(base) == ()
    assert len(base.rules) == len(rule_base().rules) + 1, "a file of examples is no file of rules"


@pytest.mark.parametrize("kind", ["fires", "silent"])
def test_beside_a_rule_may_stand_only_what_fires_or_only_what_is_silent(folder: Path, kind: str) -> None:
    beside(folder, f"a-new-rule:\n  {kind}:\n    - {{width_ratio: {1.1 if kind == 'fires' else 2}}}\n")
    base = read(folder)
    assert [each.fires for each in base.by_id["a-new-rule"].examples].count(kind == "fires") == 2
    assert check(base) == ()


@pytest.mark.parametrize(("text", "told"), EXAMPLE_FAULTS)
def test_a_slip_in_a_file_of_examples_is_told_with_file_and_line(folder: Path, text: str, told: str) -> None:
    path = beside(folder, text, GOOD.replace(" # here", ""))
    problems = complaints(folder)
    said = [f"{problem.field} {problem.found} {problem.wanted}" for problem in problems]
    assert any(told in one for one in said), said
    assert {problem.file for problem in problems} == {str(path)}, "nothing else is blamed"
    line = problems[0].line if "YAML" in told else line_of(text)
    assert {problem.line for problem in problems} == {line}
    assert line


def test_a_misspelt_id_of_a_rule_with_examples_is_met_with_the_nearest_one(bare: Path) -> None:
    beside(bare, MORE.replace("a-new-rule", "a-new-rul"))
    (problem,) = complaints(bare)
    assert problem.nearest == "a-new-rule"


def test_examples_beside_no_file_of_rules_are_told(bare: Path) -> None:
    path = beside(bare, MORE)
    (bare / "clearing" / "own.yaml").unlink()
    (problem,) = complaints(bare)
    assert (problem.file, problem.line) == (str(path), 1)
    assert "own.yaml" in problem.wanted


def test_examples_in_a_folder_that_is_no_stage_are_told(bare: Path) -> None:
    (bare / "clearin").mkdir()
    (bare / "clearin" / OWN).write_text(MORE)
    assert [problem.file for problem in complaints(bare)] == [str(bare / "clearin" / OWN)]


def test_examples_of_a_rule_with_a_fault_are_not_blamed_for_it(bare: Path) -> None:
    path = beside(bare, MORE, when("widht_ratio < 1"))
    assert {problem.file for problem in complaints(bare)} == {str(path.with_name("own.yaml"))}


def test_a_rule_keeps_an_example_of_each_kind_whatever_stands_beside_it(bare: Path) -> None:
    path = beside(bare, MORE, changed("fires: [{width_ratio: 1}], ", ""))
    assert {problem.file for problem in complaints(bare)} == {str(path.with_name("own.yaml"))}


def test_an_example_beside_a_rule_that_belies_it_is_told_by_the_check(bare: Path) -> None:
    path = beside(bare, MORE.replace("1.2", "2.2"))
    (problem,) = check(read(bare))
    assert (problem.file, problem.line, problem.wanted) == (str(path), 4, "the rule to fire")


def test_the_shipped_rules_pass_the_check() -> None:
    assert check(rule_base()) == ()
