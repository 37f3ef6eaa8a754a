"""What fuzzing found, held for good: each once brought a traceback, a long wait, much memory or a wrong answer."""

import os
import resource
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.analysis.repair import best_bought
from advisor.analysis.sensitivity import changed_machine, possible_machine
from advisor.analysis.upgrades import with_changes
from advisor.choosing.advice import advise
from advisor.face import parse_operations
from advisor.files.problems import LONGEST_FIELD, BadInput, Problem
from advisor.files.yaml_reader import parse_yaml
from advisor.knowledge.house import house_base
from advisor.knowledge.shipped import rule_base
from advisor.model.cutter import make_cutter
from advisor.paths import cases_dir, data_root
from advisor.readers.assignment import read_assignment
from advisor.readers.crib import read_crib
from advisor.readers.plan import read_plan
from advisor.readers.plan_check import check_plan
from advisor.render.recording import record
from tests.effort import effort
from tests.fuzz.oracle import check_read
from tests.fuzz.trial import at_most
from tests.jobs.completed import all_completed
from tests.jobs.small import job, solid

CASE = cases_dir() / "guide-slot-narrow"
RULE = """
  - id: our-own-rule
    title: We do not ramp deep slots
    stage: clearing
    reason: broke two cutters
    about: {method: ramped_slotting}
    when: [depth_ratio > 2.5]
    verdict: against
    because: "{depth_ratio} diameters is deep for us."
    source: {common_practice: true}
    examples: {fires: [{depth_ratio: 2.6}], silent: [{depth_ratio: 2.5}]}
"""


@pytest.fixture
def refused_house(tmp_path: Path) -> Callable[[str], tuple[Problem, ...]]:
    """Reads house rules that must be refused within two seconds."""

    def read(text: str) -> tuple[Problem, ...]:
        (tmp_path / "house.yaml").write_text(text, encoding="utf-8")
        with at_most(2.0), pytest.raises(BadInput) as caught:
            house_base(rule_base(), tmp_path)
        return caught.value.problems

    return read


def laid(folder: Path, **replaced: tuple[str, str]) -> Path:
    """Job, shop and crib of a shipped case, each with a piece replaced; the path of the job."""
    for name in ("job.yaml", "shop.yaml", "crib.csv"):
        text = (CASE / name).read_text(encoding="utf-8")
        old, new = replaced.get(name.split(".")[0], ("", ""))
        assert old in text
        (folder / name).write_text(text.replace(old, new, 1) if old else text, encoding="utf-8")
    return folder / "job.yaml"


def test_a_file_of_tag_directives_does_not_keep_the_parser_busy() -> None:
    text = "".join(f"%TAG !{number}! tag:a\n" for number in range(100_000)) + "---\na: 1\n"
    with at_most(2.0), pytest.raises(BadInput, match="more than 20 times %TAG"):
        parse_yaml(text, "x.yaml")


def test_a_few_tag_directives_are_no_harm() -> None:
    assert parse_yaml("%TAG ! tag:a\n---\na: 1\n", "x.yaml").value == {"a": 1}


def test_aliases_may_not_repeat_a_long_text_for_ever() -> None:
    text = f"a: &a {'x' * 100_000}\nb: [{', '.join(['*a'] * 90)}]\n"
    with pytest.raises(BadInput, match="more than 8000000 characters of text"):
        parse_yaml(text, "x.yaml")
    nested = f"a: &a [{'x' * 100_000}]\nb: &b [{', '.join(['*a'] * 9)}]\nc: [{', '.join(['*b'] * 9)}]\n"
    with pytest.raises(BadInput, match="more than 8000000 characters of text"):
        parse_yaml(nested, "x.yaml")


def test_a_hundred_thousand_slips_in_a_file_are_told_by_the_first_hundred(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        parse_yaml("a: 1\n" * 20_000, "x.yaml")
    assert len(caught.value.problems) == 101
    job = laid(tmp_path, job=("part:", "a: 1\n" * 20_000 + "part:"))
    with pytest.raises(BadInput) as caught:
        read_assignment(job)
    assert [problem.line for problem in caught.value.problems][:2] == [2, 3]
    assert caught.value.problems[-1].found == "more problems than are listed here"


def test_unknown_thresholds_by_the_thousand_are_not_all_held_against_the_known(
    refused_house: Callable[[str], tuple[Problem, ...]],
) -> None:
    entries = "".join(f"  depth_ratio_{number}: {{value: 1, reason: x}}\n" for number in range(15_000))
    assert len(refused_house(f"thresholds:\n{entries}")) == 101


def test_a_very_long_number_in_a_condition_is_refused(refused_house: Callable[[str], tuple[Problem, ...]]) -> None:
    problems = refused_house("add:" + RULE.replace("> 2.5]", "> " + "1" * 100_000 + "x]"))
    assert "our-own-rule.when" in {problem.field for problem in problems}


def test_a_condition_of_thousands_of_comparisons_is_refused(
    refused_house: Callable[[str], tuple[Problem, ...]],
) -> None:
    many = ", ".join(f"depth_ratio != {number}" for number in range(10_000))
    (problem,) = refused_house("add:" + RULE.replace("when: [", f"when: [{many}, "))
    assert problem.found == "a condition of 10002 comparisons"


def test_texts_of_a_rule_are_of_a_length_that_can_be_shown(refused_house: Callable[[str], tuple[Problem, ...]]) -> None:
    for field, old in (("because", "diameters is deep"), ("title", "We do not"), ("id", "our-own-rule")):
        problems = refused_house("add:" + RULE.replace(old, f"{old}{'-x' * 5000}", 1))
        assert any(problem.field.endswith(f".{field}") for problem in problems)
        assert all(len(str(problem)) < 2000 for problem in problems)


def test_a_source_with_a_section_of_any_kind_or_length_is_refused(
    refused_house: Callable[[str], tuple[Problem, ...]],
) -> None:
    for section in ("[1, 2]", "{a: 1}", "x" * 500):
        source = f"{{work: machinerys_handbook, from_memory: true, section: {section}}}"
        (problem,) = refused_house("add:" + RULE.replace("{common_practice: true}", source))
        assert problem.field.endswith("source")


def test_hundreds_of_overridden_rules_are_refused(refused_house: Callable[[str], tuple[Problem, ...]]) -> None:
    others = ", ".join(f"our-rule-{number}" for number in range(300))
    problems = refused_house("add:" + RULE.replace("verdict:", f"overrides: [{others}]\n    verdict:"))
    assert "300 of them" in {problem.found for problem in problems}


def test_rules_with_endless_alternatives_that_may_be_at_odds_are_refused(
    refused_house: Callable[[str], tuple[Problem, ...]],
) -> None:
    def rule(number: int) -> str:
        ways = ", ".join(f"{{all: [width = {number}.{way:02}, DC > 0]}}" for way in range(25))
        return (
            RULE.replace("our-own-rule", f"our-rule-{number}")
            .replace("stage: clearing", "stage: settings")
            .replace("    about: {method: ramped_slotting}\n", "")
            .replace("[depth_ratio > 2.5]", f"[{{any: [{ways}]}}]")
            .replace("against", f"concludes\n    concludes: {{fact: side_allowance_usual, value: 0.{number}}}\n"
                     "    overrides: [usual-side-allowance, small-cutter-side-allowance, hard-steel-side-allowance,\n"
                     "      very-small-cutter-side-allowance, tiny-cutter-side-allowance,\n"
                         "      small-cutter-hard-steel-side-allowance]")
            .replace("depth_ratio: 2.6", f"width: {number}.1, DC: 10").replace("depth_ratio: 2.5", "width: 0.5, DC: 10")
            .replace("{depth_ratio}", "{DC}")
        )  # fmt: skip

    problems = refused_house("add:" + "".join(rule(number) for number in range(1, 120)))
    assert "too many alternatives" in problems[-1].found


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs an endless file")
def test_endless_house_rules_are_not_read_to_their_end(tmp_path: Path) -> None:
    (tmp_path / "house.yaml").symlink_to("/dev/zero")
    with pytest.raises(BadInput, match="more than 8 MB"):
        house_base(rule_base(), tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_that_nobody_writes_to_is_not_waited_for(tmp_path: Path) -> None:
    job = laid(tmp_path)
    for name in ("crib.csv", "shop.yaml"):
        (tmp_path / name).unlink()
        os.mkfifo(tmp_path / name)
        with pytest.raises(BadInput, match="an empty file"):
            read_assignment(job)
    (tmp_path / "house.yaml").unlink(missing_ok=True)
    os.mkfifo(tmp_path / "house.yaml")
    with pytest.raises(BadInput):
        house_base(rule_base(), tmp_path)


@pytest.mark.skipif(not Path("/dev/fd").exists(), reason="needs /dev/fd")
def test_a_pipe_that_is_written_to_slowly_is_waited_for(tmp_path: Path) -> None:
    script = "import time, sys; time.sleep(0.3); sys.stdout.write(open(sys.argv[1]).read())"
    with subprocess.Popen([sys.executable, "-c", script, CASE / "crib.csv"], stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        assert len(read_crib(Path(f"/dev/fd/{writer.stdout.fileno()}")).cutters) == 3


def test_a_field_as_long_as_a_book_is_cut_where_it_is_told(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").write_text(f"id,body,DC,APMX,ZEFP\n{'x' * 100_000},drill,wide,10,2\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_crib(tmp_path / "crib.csv")
    assert len(str(caught.value.problems[0])) < LONGEST_FIELD + 700


def test_a_crib_of_millions_of_empty_lines_is_refused(tmp_path: Path) -> None:
    (tmp_path / "crib.csv").write_text("\n" * 1_000_000, encoding="utf-8")
    with at_most(2.0), pytest.raises(BadInput, match="more than 100000 lines"):
        read_crib(tmp_path / "crib.csv")


def test_a_plan_of_remarks_alone_does_not_keep_the_reader_busy(tmp_path: Path) -> None:
    (tmp_path / "plan.csv").write_text("#\n" * 400_000, encoding="utf-8")
    with at_most(2.0), pytest.raises(BadInput, match="more than 100000 lines"):
        read_plan(tmp_path / "plan.csv")


@pytest.mark.parametrize("field", ["spindle_speed", "ramp_angle"])
def test_a_number_of_a_plan_with_a_gulf_of_spaces_in_it_is_refused_at_once(field: str, tmp_path: Path) -> None:
    told = f"operations: [{{feature: S1, cutter: E10, {field}: '1{' ' * 40_000}x'}}]"
    (tmp_path / "plan.yaml").write_text(told, encoding="utf-8")
    with at_most(2.0), pytest.raises(BadInput, match=field):
        read_plan(tmp_path / "plan.yaml")


def test_a_feature_deeper_than_any_cutter_is_answered(tmp_path: Path) -> None:
    found = read_assignment(laid(tmp_path, job=("depth: 14", "depth: 1900")))
    told = record(all_completed(advise(found)))
    assert told.features[0].grade == "forbidden"


def test_no_cutter_is_offered_that_a_crib_could_not_hold(tmp_path: Path) -> None:
    found = read_assignment(laid(tmp_path, job=("depth: 14", "depth: 998")))
    advice = advise(found)
    bought = best_bought(found.job.features[0], found.crib, advice.bench)
    assert bought is None or bought[0].LPR <= 1000


def test_a_rule_switched_off_that_arithmetic_rests_on_is_told(tmp_path: Path) -> None:
    job = laid(
        tmp_path,
        shop=("power: [10, 15, 15]", "power: [0.001, 0.001, 0.001]"),
        crib=("E10,solid_end_mill,10,22,24,32", "E10,solid_end_mill,10,20,24,32"),
    )
    (tmp_path / "house.yaml").write_text("off: [{id: thinnest-chip, reason: not here}]", encoding="utf-8")
    shop = (tmp_path / "shop.yaml").read_text(encoding="utf-8")
    (tmp_path / "shop.yaml").write_text(f"{shop}house: .\n", encoding="utf-8")
    with pytest.raises(BadInput, match=r"changes with which S1 cannot be worked out .*others than thinnest-chip"):
        advise(read_assignment(job))


def test_what_would_change_an_answer_is_looked_for_among_machines_that_can_be(tmp_path: Path) -> None:
    weak = ("power: [10, 15, 15]", "power: [0.001, 0.001, 0.001]")
    found = read_assignment(laid(tmp_path, shop=weak))
    advice = advise(found)
    told = [
        with_changes(answer, feature, found.crib, advice.bench)
        for answer, feature in zip(advice.features, found.job.features, strict=True)
    ]
    assert all(turn.at >= 0.001 for answer in told for turn in answer.changes if turn.name == "spindle power")
    changed = changed_machine(found.machine, "spindle power", 0.0009)
    assert possible_machine(found.machine)
    assert not possible_machine(changed)


def test_a_plan_that_ramps_straight_down_is_refused(tmp_path: Path) -> None:
    told = "operations: [{feature: S1, cutter: E10, entry: helical_ramp, ramp_angle: 90}]"
    (tmp_path / "plan.yaml").write_text(told, encoding="utf-8")
    with pytest.raises(BadInput, match="at most 89 degrees"):
        read_plan(tmp_path / "plan.yaml")


@pytest.mark.parametrize("speed", [0.04068, 0.999])
def test_less_than_a_turn_a_minute_is_a_slip(speed: float, tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="at least 1 /min"):
        make_cutter(id="E", body="solid_end_mill", DC=10, APMX=20, ZEFP=3, RPMX=speed)
    job = laid(tmp_path, shop=("speed: [1500,", f"speed: [{speed},"))
    with pytest.raises(BadInput, match="at least 1 /min"):
        read_assignment(job)


@pytest.mark.parametrize(
    ("between", "substrate"), [(":" * 60, "hss"), (":" * 90, "carbide"), ("-" * 90, "carbide"), (" " * 90, "hss")]
)
def test_a_head_too_long_for_a_word_names_no_column(between: str, substrate: str, tmp_path: Path) -> None:
    """Of many blanks one is meant."""
    job = laid(tmp_path, crib=("substrate", f"subst{between}rate"))
    crib = tmp_path / "crib.csv"
    crib.write_text(crib.read_text(encoding="utf-8").replace("carbide", "hss"), encoding="utf-8")
    found = read_assignment(job)
    check_read({path.name: path.read_bytes() for path in tmp_path.iterdir()}, found)
    assert {cutter.substrate for cutter in found.crib} == {substrate}


def test_a_hostile_file_takes_no_more_memory_than_a_large_one(tmp_path: Path) -> None:
    text = (
        f"a: &a '{'x' * 1_000_000}'\nadd:{RULE.replace('id: our-own-rule', 'id: [' + ', '.join(['*a'] * 9000) + ']')}"
    )
    (tmp_path / "house.yaml").write_text(text, encoding="utf-8")
    program = (
        "import sys; from pathlib import Path; from advisor.knowledge.house import house_base;"
        "from advisor.knowledge.shipped import rule_base; from advisor.files.problems import BadInput\n"
        "try: house_base(rule_base(), Path(sys.argv[1]))\nexcept BadInput: print('refused')"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program, tmp_path], capture_output=True, text=True, check=False, cwd=data_root(),
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (700_000_000, 700_000_000)),
    )  # fmt: skip
    assert ended.stdout == "refused\n", ended.stderr[-500:]


def test_a_million_question_marks_are_refused_at_once() -> None:
    def refused(count: int) -> None:
        with pytest.raises(BadInput):
            parse_yaml("? " * count, "x.yaml")

    few, many = effort(lambda: refused(100_000), times=9), effort(lambda: refused(1_000_000))
    assert many < 40 * few  # 10 times where it grows as the text does


def test_a_hole_narrower_than_any_cutter_is_answered() -> None:
    hole = {"kind": "round_hole", "diameter": 0.04, "depth": 0.1, "floor": True}
    (answer,) = all_completed(advise(job(hole, [solid(12, 26)]))).features
    assert answer.best is None


def test_a_plan_that_leaves_more_than_stays_on_a_cast_floor_is_refused() -> None:
    step = {"kind": "step", "depth": 20, "length": 90, "width": 40, "stock_wall": 0, "stock_floor": 2}
    asked = job(step, [solid(12, 26)])
    with pytest.raises(BadInput, match="less than the 2 mm that stay on the floor of F1"):
        check_plan(parse_operations("F1: E12 layers bottom 3", asked), asked)
