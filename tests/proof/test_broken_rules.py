"""Rules broken on purpose, in each way that is looked for: found, and the job that is given shows it when it is run."""

from collections.abc import Callable
from pathlib import Path

from advisor.choosing.ranking import standing
from advisor.inference import start
from advisor.knowledge.conditions import All, Compare
from advisor.knowledge.house import house_base
from advisor.knowledge.origin import with_limits
from advisor.knowledge.schema import Change, ChangeKind, Rule, RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.proof.context import Finding
from advisor.proof.jobs import Run, run_files, write_files
from advisor.proof.prove import Proof, prove
from advisor.proof.world import UNDECIDED, together, world_of
from advisor.render import terminal
from advisor.render.proof_record import proof_record
from advisor.text.proof import proof_blocks

BASE = rule_base()
JOBS = 300
ADDED = """
add:
  - id: our-rule
    title: Our own rule
    stage: clearing
    reason: to see whether it is noticed
    about: {{method: {method}}}
    when: {when}
    verdict: {verdict}
    because: At {{depth_ratio}} it is so.
    source: {{common_practice: true}}
    examples: {examples}
"""


def with_house(folder: Path, text: str) -> RuleBase:
    (folder / "house.yaml").write_text(text, encoding="utf-8")
    return house_base(BASE, folder)


def added(folder: Path, method: str, when: str, verdict: str, fires: str, silent: str) -> RuleBase:
    examples = f"{{fires: [{fires}], silent: [{silent}]}}"
    return with_house(folder, ADDED.format(method=method, when=when, verdict=verdict, examples=examples))


def with_rules(*rules: Rule) -> RuleBase:
    """The shipped rules with some of them others, or others beside them, whatever the reader would say."""
    own = {rule.id: rule._replace(house=True, reason="a test") for rule in rules}
    kept = [own.get(rule.id, rule) for rule in BASE.rules]
    every = (*kept, *(rule for name, rule in own.items() if name not in BASE.by_id))
    change = Change(ChangeKind.ADDED, rules[0].id, "a test", "house.yaml", 1)
    return RuleBase(
        every, BASE.thresholds, BASE.measures, {rule.id: rule for rule in every}, BASE.limits, changes=(change,)
    )


def with_threshold(name: str, value: float) -> RuleBase:
    """The shipped rules with another value of a threshold, whatever the reader would say."""
    limits = dict(BASE.limits) | {name: value}
    thresholds = dict(BASE.thresholds) | {name: BASE.thresholds[name]._replace(value=value)}
    rules = tuple(rule._replace(condition=with_limits(rule.condition, limits)) for rule in BASE.rules)
    change = Change(ChangeKind.MOVED, name, "a test", "house.yaml", 1, BASE.limits[name], value)
    return RuleBase(rules, thresholds, BASE.measures, {rule.id: rule for rule in rules}, limits, changes=(change,))


def only(proof: Proof, obligation: str) -> Finding:
    """The one finding of an obligation."""
    (found,) = [one for one in proof.findings if one.obligation == obligation]
    return found


def again(found: Finding, base: RuleBase, folder: Path) -> Run:
    """The job of a finding, written, read and advised."""
    assert found.confirmed
    assert found.job is not None
    write_files(found.job, folder / "job")
    return run_files(folder / "job", start(base, "evaluator"))


def test_a_rule_that_can_never_fire_is_found_with_a_job_that_all_but_meets_it(tmp_path: Path) -> None:
    when = "[width_ratio > 3, narrowest_width <= 20, DC >= 10]"
    fires, silent = "{width_ratio: 3.1, narrowest_width: 20, DC: 10}", "{width_ratio: 3, narrowest_width: 20, DC: 10}"
    base = added(tmp_path, "engagement_limited_clearing", when, "against", fires, silent)
    found = only(prove(base, house=True, jobs=JOBS), "fires")
    assert found.names == ("our-rule",)
    ran = again(found, base, tmp_path)
    assert "our-rule" not in ran.fired
    meets = [one.facts for one in ran.asked if one.facts.get("method") == "engagement_limited_clearing"]
    tests: list[Callable[[float, float, float], bool]] = [
        lambda ratio, width, DC: ratio > 3,
        lambda ratio, width, DC: width <= 20,
        lambda ratio, width, DC: DC >= 10,
    ]
    met = [
        sum(test(*(float(facts[name]) for name in ("width_ratio", "narrowest_width", "DC"))) for test in tests)
        for facts in meets
    ]
    assert max(met) == 2


def test_a_rule_that_speaks_for_what_another_forbids_is_found(tmp_path: Path) -> None:
    when = "[width_ratio > 1.9]"
    base = added(tmp_path, "ramped_slotting", when, "for", "{width_ratio: 1.91}", "{width_ratio: 1.9}")
    found = only(prove(base, house=True, jobs=JOBS), "apart")
    assert found.names == ("our-rule", "slot-too-wide-to-ramp")
    ran = again(found, base, tmp_path)
    assert any(set(found.names) <= {rule.id for rule in one.fired} for one in ran.asked)


def test_of_several_contradictions_each_is_named_in_the_report(tmp_path: Path) -> None:
    """The one must not hide behind the other: each is told with the names of its two rules."""
    text = ADDED.format(
        method="ramped_slotting",
        when="[width_ratio > 1.9]",
        verdict="for",
        examples="{fires: [{width_ratio: 1.91}], silent: [{width_ratio: 1.9}]}",
    )
    other = ADDED.format(
        method="engagement_limited_clearing",
        when="[width_ratio < 1.14, width_ratio > 1.02]",
        verdict="for",
        examples="{fires: [{width_ratio: 1.13}], silent: [{width_ratio: 1.14}, {width_ratio: 1.02}]}",
    ).replace("our-rule", "our-other")
    base = with_house(tmp_path, text + other.replace("\nadd:\n", ""))
    proof = prove(base, house=True, jobs=JOBS)
    wanted = {("our-rule", "slot-too-wide-to-ramp"), ("our-other", "no-room-to-loop")}
    wanted |= {("our-other", "short-edges-at-full-depth")}  # it speaks for inserted cutters, too
    assert {found.names for found in proof.findings if found.obligation == "apart"} == wanted
    assert proof.left == ()
    told = " ".join(terminal.text(proof_blocks(proof), 80).split())
    record = proof_record(proof)["findings"]
    for speaks, forbids in wanted:
        assert f"{speaks} recommends a way that {forbids} forbids, and neither takes precedence." in told
        assert [speaks, forbids] in [one["names"] for one in record]


def test_a_rule_that_says_what_another_says_already_is_found(tmp_path: Path) -> None:
    base = added(
        tmp_path,
        "engagement_limited_clearing",
        "[depth_ratio < 0.09, passes > 1]",
        "against",
        "{depth_ratio: 0.08, passes: 2}",
        "{depth_ratio: 0.09, passes: 2}, {depth_ratio: 0.08, passes: 1}",
    )
    found = only(prove(base, house=True, jobs=JOBS), "needed")
    assert found.names == ("our-rule", "too-shallow-for-engagement")
    ran = again(found, base, tmp_path)
    assert set(found.names) <= ran.fired


def test_thresholds_out_of_order_are_found_with_a_job_between_them(tmp_path: Path) -> None:
    """In the shipped table: of a shop's own they are refused at reading."""
    base = with_threshold("load_kept_weak", 0.9)
    found = only(prove(base, house=True, jobs=JOBS), "order")
    assert found.names == ("load_kept_weak", "load_kept_fair")
    ran = again(found, base, tmp_path)
    shares = [float(one.facts.get("load_kept", 1)) for one in ran.asked]
    assert any(0.55 < share < 0.9 for share in shares)


def test_rules_that_override_one_another_in_a_circle_are_found_with_a_job_where_none_stands(tmp_path: Path) -> None:
    names = ("stacked-inserts-off-their-ground", "stacked-inserts-want-torque", "too-shallow-for-engagement")
    rules = [
        BASE.by_id[name]._replace(overrides=(other,)) for name, other in zip(names, names[1:] + names[:1], strict=True)
    ]
    base = with_rules(*rules)
    found = only(prove(base, house=True, jobs=JOBS), "circle")
    assert set(found.names) == set(names)
    ran = again(found, base, tmp_path)
    fired = next(one.fired for one in ran.asked if set(names) <= {rule.id for rule in one.fired})
    assert not set(names) & {rule.id for rule in standing(fired)}


def test_rules_that_conclude_what_the_other_reads_are_found_with_a_job_where_one_is_lost(tmp_path: Path) -> None:
    thin = BASE.by_id["wall-is-thin"]
    from_floor = thin._replace(
        id="wall-from-floor",
        condition=All((Compare("floor_kind", "=", "thin"),)),
        concludes=("wall_kind", "thin", None),
    )
    from_wall = thin._replace(
        id="floor-from-wall",
        condition=All((Compare("wall_kind", "=", "thin"),)),
        concludes=("floor_kind", "thin", None),
    )
    base = with_rules(from_floor, from_wall)
    found = only(prove(base, house=True, jobs=JOBS), "circle")
    assert set(found.names) == {"wall-from-floor", "floor-from-wall"}
    ran = again(found, base, tmp_path)
    facts = next(one.facts for one in ran.asked if one.scope == "candidate")
    assert {facts.get("floor_kind"), facts.get("wall_kind")} == {"thin", None}


def test_two_values_for_one_fact_are_found_with_a_job_that_cannot_be_advised(tmp_path: Path) -> None:
    other = BASE.by_id["usual-side-allowance"]._replace(
        id="our-allowance",
        condition=All((Compare("group", "=", "P"), Compare("DC", ">=", 12.0))),  # hardened steel has a rule of its own
        concludes=("side_allowance_usual", 0.8, None),
    )
    base = with_rules(other)
    found = only(prove(base, house=True, jobs=JOBS), "one_value")
    assert set(found.names) == {"our-allowance", "usual-side-allowance"}
    assert "conclude different values for side_allowance_usual" in again(found, base, tmp_path).fault


def test_what_the_solver_cannot_tell_in_its_time_is_undecided_not_proved() -> None:
    """A thousandth of a second is not enough to find sizes that fit together."""
    hard = [BASE.by_id["short-flutes-in-layers"], BASE.by_id["shank-rubs"], BASE.by_id["little-reach-left"]]
    assert together(world_of(BASE, 0.001), hard, in_turn=False).can_be == UNDECIDED


def test_beside_a_rule_that_forbids_outright_none_that_speaks_for_the_way_stands() -> None:
    good, outright = BASE.by_id["narrow-slot-is-ramped"], BASE.by_id["no-drill-for-the-hole"]
    other = BASE.by_id["slot-cut-to-size"]
    assert standing((good, outright, other)) == (outright, other)
    assert standing((good, outright._replace(outright=False))) == (good, outright._replace(outright=False))
