"""Filling the JSON record from an answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from advisor.choosing.entry_feed import entry_feed
from advisor.choosing.job_advice import Advice
from advisor.choosing.left_on_walls import left_on_walls
from advisor.choosing.time_parts import time_parts
from advisor.choosing.whole_part import CutterUse, PartCaution, SparedCutter, whole_part
from advisor.knowledge.conditions import Facts, Value
from advisor.knowledge.evidence import source_text
from advisor.knowledge.origin import of_house
from advisor.knowledge.schema import Change, Rule, RuleBase
from advisor.knowledge.wording import fill
from advisor.model.answer import Alternative, Breakpoint, Failed, FeatureAdvice, Preferred, RestSettings
from advisor.model.candidate import Candidate
from advisor.model.cause import Held
from advisor.render import record as model
from advisor.render.figures import figures
from advisor.text.alternatives import choice_text, difference_text
from advisor.text.causes import cause_text
from advisor.text.changes import input_name
from advisor.text.house import behind, preferred_text
from advisor.text.missing import missing_text
from advisor.text.reasons import facts_shown, reasons, repair_texts
from advisor.text.words import MEASURE_OF, held_back

RANKING = "grade, then time"


def record(advice: Advice) -> model.AdviceRecord:
    """The advice for a job, numbers with six significant figures."""
    assignment, part = advice.assignment, whole_part(advice)
    notes = (*assignment.notes, *(f"{assignment.machine.name}: {one.text}" for one in assignment.machine.assumed))
    return model.AdviceRecord(
        part=assignment.job.part,
        job_units=assignment.job.units,
        engine=advice.bench.inference.name,
        time_s=figures(part.time),
        cutters=tuple(_cutter(use) for use in part.cutters),
        fewer_cutters=tuple(_spared(one) for one in part.spared),
        cautions=tuple(_part_caution(one, advice.bench.base) for one in part.cautions),
        house=tuple(_change(change) for change in advice.bench.base.changes),
        notes=notes,
        features=tuple(feature_record(answer, advice) for answer in advice.features),
        failed=failed_records(advice.failed),
    )


def _cutter(use: CutterUse) -> model.CutterUseRecord:
    cutter = use.cutter
    return model.CutterUseRecord(
        id=cutter.id, body=cutter.body, DC=cutter.DC, ZEFP=cutter.ZEFP, LPR=cutter.LPR, features=use.features
    )


def _spared(one: SparedCutter) -> model.SparedCutterRecord:
    then = one.then
    return model.SparedCutterRecord(
        id=one.cutter.id,
        feature=one.feature,
        method=then.method,
        cutter=then.cutter.id,
        entry=then.entry,
        entry_cutter=then.drill.id if then.drill else None,
        more_s=figures(one.more),
    )


def _part_caution(one: PartCaution, base: RuleBase) -> model.PartCautionRecord:
    facts = one.worst.cautioned
    return model.PartCautionRecord(
        letter=one.letter,
        rule=one.rule.id,
        features=one.features,
        everywhere=one.everywhere,
        safety=one.rule.harm,
        text=fill(base, one.rule, one.rule.because, facts),
        remedy=fill(base, one.rule, one.rule.remedy, facts),
    )


def failed_records(failed: Sequence[Failed]) -> tuple[model.FailedRecord, ...]:
    """The features without an answer, through a fault of our own."""
    return tuple(model.FailedRecord(feature=one.feature, error=one.error) for one in failed)


def _change(change: Change) -> model.HouseRecord:
    values = {"kind": change.kind.value, "name": change.name, "reason": change.reason}
    return model.HouseRecord.model_validate(values | {"from": change.before, "to": change.after})


def feature_record(answer: FeatureAdvice, advice: Advice) -> model.FeatureRecord:
    """The answer for one feature."""
    base, best = advice.bench.base, answer.best
    return model.FeatureRecord(
        house=any(of_house(rule, base) for rule in (*reasons(answer), *answer.cautions)) or bool(behind(answer, base)),
        id=answer.region.id,
        kind=answer.region.kind,
        count=answer.region.copies,
        grade=cast(model.Grade, answer.grade),
        method=best.method if best else None,
        cutter=best.cutter.id if best else None,
        cutter_body=best.cutter.body if best else None,
        entry=best.entry if best else None,
        entry_cutter=best.drill.id if best and best.drill else None,
        rest_cutter=answer.rest.cutter.id if answer.rest and answer.rest.cutter else None,
        rest_settings=_rest_settings(answer.rest.settings) if answer.rest else None,
        settings=settings_record(best),
        loads=_loads(best),
        held_back=tuple(_held(held, base) for held in held_back(best)) if best else (),
        time_s=figures(best.time) if best else None,
        time_parts=model.TimePartsRecord(**{name: figures(value) for name, value in time_parts(best).items()})
        if best
        else None,
        reasons=_reasons(answer, base),
        cautions=_said(answer.cautions, answer.cautioned, base),
        alternatives=tuple(_alternative(other, base) for other in answer.alternatives),
        changes=tuple(_breakpoint(change) for change in answer.changes),
        not_asked=tuple(
            model.NotAskedRecord(missing=item.missing, told=missing_text(item, base), rules=item.rules)
            for item in answer.not_asked
        ),
        ways_out=repair_texts(answer),
        preferred=_preferred(answer.preferred) if answer.preferred else None,
    )


def _preferred(found: Preferred) -> model.PreferredRecord:
    other = found.without
    return model.PreferredRecord(
        rule=found.preference.id,
        what=found.preference.what,
        reason=found.preference.reason,
        text=preferred_text(found),
        method=other.method,
        cutter=other.cutter.id,
        entry=other.entry,
        time_s=figures(other.time),
        longer_s=figures(found.longer),
    )


def _value(value: Value) -> float | str:
    return value if isinstance(value, str) else figures(value)


def settings_record(best: Candidate | None) -> model.SettingsRecord | None:
    """The record of the settings of a way; nothing where there are none."""
    if best is None or best.plan is None:
        return None
    plan, angle = best.plan, best.way_in.ramp_angle if best.way_in else None
    return model.SettingsRecord(
        axial_depth=figures(plan.axial_depth),
        radial_width=figures(plan.radial_width),
        levels=plan.levels,
        allowance_side=figures(left_on_walls(best, plan)),
        allowance_bottom=figures(float(best.facts.get("bottom_allowance", 0.0))),
        overcut=figures(float(best.facts.get("overcut", 0.0))),
        feed_per_tooth=figures(plan.feed_per_tooth),
        feed_per_revolution=_figures(plan.facts.get("feed_per_revolution")),
        spindle_speed=figures(plan.spindle_speed),
        feed_rate=figures(plan.feed_rate),
        centre_feed=figures(float(best.facts["centre_feed"])) if "centre_feed" in best.facts else None,
        opening_feed=figures(float(best.facts["opening_feed"])) if "opening_length" in best.facts else None,
        entry_feed=_figures(entry_feed(best)),
        ramp_angle=None if angle is None else figures(angle),
        coolant=cast(model.Coolant | None, best.facts.get("coolant")),
    )


def _rest_settings(found: RestSettings | None) -> model.RestSettingsRecord | None:
    if found is None:
        return None
    return model.RestSettingsRecord(
        axial_depth=figures(found.axial_depth),
        levels=found.levels,
        radial_width=figures(found.radial_width),
        spindle_speed=figures(found.spindle_speed),
        feed_per_tooth=figures(found.feed_per_tooth),
        feed_rate=figures(found.feed_rate),
    )


def _figures(value: float | str | None) -> float | None:
    return None if value is None else figures(float(value))


def _loads(best: Candidate | None) -> model.LoadsRecord | None:
    if best is None or best.plan is None:
        return None
    load = best.plan.load
    return model.LoadsRecord(
        power=figures(load.power),
        power_available=figures(load.power_available),
        torque=figures(load.torque),
        torque_available=figures(load.torque_available),
        force=figures(load.force),
        deflection=figures(load.deflection),
        engagement=figures(best.plan.engagement),
    )


def _held(held: Held, base: RuleBase) -> model.HeldRecord:
    name = MEASURE_OF.get(held.setting, held.setting)
    unit = base.measures[name].unit if name in base.measures else ""
    return model.HeldRecord.model_validate(
        {
            "setting": held.setting,
            "from": figures(held.before),
            "to": figures(held.after),
            "cause": cause_text(held.cause),
            "unit": unit,
        }
    )


def _reasons(answer: FeatureAdvice, base: RuleBase) -> tuple[model.SaidRecord, ...]:
    best = answer.best
    if best is None:
        return ()
    found = _said(reasons(answer), best.facts, base)
    if answer.chosen is None:
        return found
    time = model.FactRecord(value=figures(best.time), unit="s", limit=None)
    ranked = model.SaidRecord(
        rule=None,
        verdict="ranking",
        text=choice_text(answer.chosen, base),
        remedy="",
        facts={"total_time": time},
        source=RANKING,
        house=False,
    )
    return (ranked, *found)


def _said(rules: tuple[Rule, ...], facts: Facts, base: RuleBase) -> tuple[model.SaidRecord, ...]:
    return tuple(_one(rule, facts, base) for rule in rules)


def fact_records(rule: Rule, facts: Facts, base: RuleBase) -> dict[str, model.FactRecord]:
    """The facts that a rule rests on here, each with what it is compared with."""
    return {
        name: model.FactRecord(
            value=_value(facts[name]), unit=base.measures[name].unit, limit=_value(leaf.value) if leaf else None
        )
        for name, leaf in facts_shown(rule, facts, base).items()
    }


def _one(rule: Rule, facts: Facts, base: RuleBase) -> model.SaidRecord:
    return model.SaidRecord(
        rule=rule.id,
        verdict=cast(model.Verdict, rule.verdict),
        text=fill(base, rule, rule.because, facts),
        remedy=fill(base, rule, rule.remedy, facts),
        facts=fact_records(rule, facts, base),
        source=source_text(rule),
        house=of_house(rule, base),
    )


def _alternative(other: Alternative, base: RuleBase) -> model.AlternativeRecord:
    rival = other.candidate
    return model.AlternativeRecord(
        method=rival.method,
        cutter=rival.cutter.id,
        entry=rival.entry,
        grade=cast(model.Grade, rival.grade),
        time_s=None if rival.time == float("inf") else figures(rival.time),
        reasons=_said(other.reasons, rival.facts, base),
        differs=cast(model.Differs, other.differs),
        deciding=difference_text(other.difference, base),
        held_back=_held(other.held, base) if other.held else None,
    )


def _breakpoint(change: Breakpoint) -> model.ChangeRecord:
    return model.ChangeRecord.model_validate(
        {
            "input": input_name(change),
            "from": change.start,
            "to": change.at,
            "unit": change.unit,
            "method": change.method,
            "cutter": change.cutter,
            "entry": change.entry,
        }
    )
