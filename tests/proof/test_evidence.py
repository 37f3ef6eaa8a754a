"""What jobs showed is kept so that hundreds of rules stay small: all that two rules tell of each other, and no more."""

from collections.abc import Iterator
from random import Random

import pytest

from advisor.choosing.ranking import standing
from advisor.inference import start
from advisor.knowledge.conditions import All, Compare, Known
from advisor.knowledge.schema import Rule, RuleBase
from advisor.knowledge.shipped import rule_base
from advisor.proof import context as proving
from advisor.proof import witness
from advisor.proof.context import Court
from advisor.proof.evidence import Evidence, evidence
from advisor.proof.example_job import Witness
from advisor.proof.jobs import Asked, Run, SmallJob, run
from advisor.proof.obligations import part_text
from advisor.proof.plan_jobs import near_worked, seldom, worked_plans
from advisor.proof.prove import prove
from advisor.proof.search import about, small_jobs
from advisor.proof.world import world_of

BASE = rule_base()
JUDGING = BASE.of("clearing", "candidate")[:12]


def asked_of(runs: list[Run]) -> Iterator[tuple[SmallJob, set[str], set[str]]]:
    for ran in runs:
        for one in ran.asked:
            yield ran.job, {rule.id for rule in one.fired}, {rule.id for rule in standing(one.fired)}


def by_chance(count: int) -> list[Run]:
    """Runs in which some rules fire, whatever their conditions say."""
    chance = Random(7)
    job = next(small_jobs(1))
    return [
        Run(
            job._replace(origin=str(number)),
            tuple(Asked("candidate", tuple(rule for rule in JUDGING if chance.random() < 0.3), {}) for _ in range(3)),
            None,
        )
        for number in range(count)
    ]


def test_evidence_names_the_first_job_that_shows_anything_of_two_rules() -> None:
    runs, kept = by_chance(60), Evidence()
    for ran in runs:
        kept.add(ran)
    every = list(asked_of(runs))
    for one in JUDGING:
        assert kept.fires(one) == next((job for job, fired, _ in every if one.id in fired), None)
        for other in JUDGING:
            both = {one.id, other.id}
            assert kept.together(one, other) == next((job for job, fired, _ in every if both <= fired), None)
            assert kept.both_stand(one, other) == next((job for job, _, stood in every if both <= stood), None)
            alone = (job for job, fired, _ in every if one.id in fired and other.id not in fired)
            assert kept.without(one, other) == next(alone, None)


def test_sets_of_rules_that_show_nothing_new_are_not_kept() -> None:
    kept = Evidence()
    for ran in by_chance(3000):
        kept.add(ran)
    assert len({id(shown) for every in kept._kept.values() for shown in every}) < 2 * len(JUDGING) ** 2


def own_rules(count: int) -> RuleBase:
    """The shipped rules, and so many of a shop's own that differ in their title alone."""
    model = BASE.by_id["slot-too-narrow-to-loop"]
    own = [model._replace(id=f"our-{number}", house=True, reason="a test") for number in range(count)]
    every = (*BASE.rules, *own)
    return RuleBase(every, BASE.thresholds, BASE.measures, {rule.id: rule for rule in every}, BASE.limits)


def test_a_rule_that_repeats_many_is_told_once() -> None:
    proof = prove(own_rules(8), house=True, jobs=200)
    told = [found.names[0] for found in proof.findings if found.obligation == "needed"]
    assert sorted(set(told)) == sorted(told)
    assert {f"our-{number}" for number in range(8)} <= set(told)


def counting(monkeypatch: pytest.MonkeyPatch, module: object) -> list[SmallJob]:
    ran: list[SmallJob] = []

    def counted(job: SmallJob, *rest: object) -> Run | None:
        ran.append(job)
        return run(job, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "run", counted)
    return ran


def court(rules: tuple[Rule, ...]) -> Court:
    inference = start(BASE, "evaluator")
    return Court(BASE, world_of(BASE, 1.0), inference, Evidence(), lambda rule: rule in rules, 1)


def test_jobs_by_chance_are_not_tried_again_for_rules_about_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    one, other = BASE.by_id["drill-fits-the-hole"], BASE.by_id["drill-leaves-much"]
    assert about([one]) == about([other])
    seat, ran = court((one, other)), counting(monkeypatch, witness)
    monkeypatch.setattr(proving, "chance_witness", lambda *given: witness.chance_witness(*given, most=50))
    monkeypatch.setattr(proving, "witness_beside", lambda *_: Witness(None, 0))
    monkeypatch.setattr(proving, "guided_witness", lambda *_: Witness(None, 0))
    first = seat.seek({}, [one], lambda _: False, unseen=True)
    tries = first.tries
    assert (first.job, len(ran)) == (None, tries)
    assert tries > 50, "each job without a plan, some again with plans"
    again = seat.seek({}, [other], lambda _: False, unseen=True)
    assert (again.job, again.tries, len(ran)) == (None, tries, tries)
    asked_otherwise = seat.seek({}, [other], lambda _: False)
    assert (asked_otherwise.tries, len(ran)) == (tries, 2 * tries)
    assert any(map(seat.evidence.fires, BASE.rules)), "what was tried in vain for one thing may show another"


def test_a_job_is_looked_for_beside_those_in_which_a_rule_was_seen_to_fire(monkeypatch: pytest.MonkeyPatch) -> None:
    rule = BASE.by_id["drill-fits-the-hole"]
    seat = court((rule,))
    found = witness.chance_witness([rule], False, witness.fires_together([rule.id]), seat.inference, 1)
    assert found.job is not None
    ran = run(found.job, seat.inference)
    assert ran is not None
    seat.evidence.add(ran)
    monkeypatch.setattr(proving, "chance_witness", lambda *_: Witness(None, 0))
    beside = seat.seek({}, [rule], witness.fires_together([rule.id]))
    assert beside.job is not None
    assert beside.job.origin.startswith(found.job.origin)


def test_rules_that_seldom_fire_share_the_jobs_made_for_them(monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.proof import evidence as gathering

    dead = [rule._replace(id=f"never-{number}") for number, rule in enumerate([JUDGING[0]] * 5)]
    ran = counting(monkeypatch, gathering)
    evidence(start(BASE, "evaluator"), 1, 0, dead)
    assert ran == []
    evidence(start(BASE, "evaluator"), 1, 100, dead)
    assert len(ran) == 100 + 10 + len(seldom())


def test_a_plan_with_a_carbide_drill_is_tried_with_inserts_too() -> None:
    """No cutter of the demo shop is such a drill, so that no rule about them would be shown otherwise."""
    near = [job for job in near_worked(1) if job.origin.endswith("the drill with inserts")]
    teeth = {
        one["ZEFP"] for job in near for one in job.cutters if one["body"] == "drill" and one.get("substrate") != "hss"
    }
    assert len(worked_plans()) > len(near) > 0
    assert teeth == {1}
    assert any("feed-breaks-the-inserts-of-a-drill" in found.fired for job in near if (found := run(job, start(BASE))))


def test_a_part_of_a_condition_is_told_as_its_file_has_it() -> None:
    condition = All((Compare("DC", "<", 10.0), Known("corner_radius"), Known("island", present=False)))
    assert part_text(condition) == "DC < 10.0 / known: corner_radius / not: {known: island}"
