"""What is claimed of any answer, and what is found where a claim does not hold."""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from advisor.analysis.inputs import changed_lengths
from advisor.analysis.repair import improvements, repairs
from advisor.analysis.standard_cutters import on_offer, suiting_drill
from advisor.choosing.advice import advise_feature
from advisor.model.answer import FeatureAdvice, LengthChange, Repair
from advisor.model.candidate import GRADES, Candidate
from advisor.readers.materials import load_materials
from advisor.situation.bench import Bench, shared_inference
from advisor.text.repairs import repair_text
from tests.jobs.fitting import ordinary_job
from tests.jobs.random_jobs import Asked, random_job

GAP = "\u00a0"
NUMBER = re.compile(r"\d[\d\s.]*(?=\smm)")


class Finding(NamedTuple):
    """A claim that does not hold, and the number that brings the question back."""

    claim: str
    seed: int
    told: str


class Looked(NamedTuple):
    """What one question gave."""

    seed: int
    kind: str
    unserved: bool
    ways: int
    findings: tuple[Finding, ...]


def bench_for(asked: Asked) -> Bench:
    """The bench of a question, with the shipped rules."""
    inference = shared_inference()
    data = load_materials().cutting_class(asked.material.cutting_class)
    return Bench(asked.material, data, asked.machine, inference.base, inference, inference.base.limits)


def look(seed: int, question: Callable[[int], Asked] = random_job) -> Looked:
    """Ask a random question, and hold every claim about repairs against the answer."""
    asked = question(seed)
    bench = bench_for(asked)
    answer = advise_feature(asked.feature, asked.crib, bench)
    if answer.best is None:
        named = repairs(asked.feature, asked.crib, bench)
        findings = [] if named else [Finding("no way out named", seed, told(asked))]
    else:
        named = improvements(answer, asked.feature, asked.crib, bench) if seed % 5 == 0 else ()
        findings = []
    for way in named:
        findings += [
            Finding(claim, seed, f"{repair_text(way)} | {told(asked)}") for claim in _refuted(way, answer, asked, bench)
        ]
    return Looked(seed, asked.feature.kind, answer.best is None, len(named), tuple(findings))


def look_at_ordinary(seed: int) -> Looked | None:
    """Ask an ordinary question with a cutter that fits; there must be a way."""
    asked = ordinary_job(seed)
    if asked is None:
        return None
    answer = advise_feature(asked.feature, asked.crib, bench_for(asked))
    findings = () if answer.best else (Finding("no way for the ordinary", seed, told(asked)),)
    return Looked(seed, asked.feature.kind, answer.best is None, 0, findings)


def _refuted(way: Repair, answer: FeatureAdvice, asked: Asked, bench: Bench) -> Iterator[str]:
    """Which claims about a repair do not hold when it is run again."""
    if way.lengths:
        yield from _lengths(way, asked, bench)
    else:
        yield from _cutter(way, answer, asked, bench)


def _lengths(way: Repair, asked: Asked, bench: Bench) -> Iterator[str]:
    """With the very lengths that are read, the answer is the one told; it is the way that the repair says it is."""
    shown = [float(re.sub(r"\s", "", number)) for number in NUMBER.findall(repair_text(way))]
    for change in way.lengths:
        if change.before != getattr(asked.feature, change.name) or not _goes_further(change):
            yield f"a change of the {change.name} that is none"
        if not {change.after, change.before or change.after} <= set(shown):
            yield f"the text tells another {change.name}"
    changed = changed_lengths(asked.feature, {change.name: change.after for change in way.lengths})
    told = " and ".join(change.name for change in way.lengths)
    if changed is None:
        yield f"a {told} that no such feature has"
        return
    if way.cutter is not None:
        yield from _cutter(way, None, asked._replace(feature=changed), bench)
        return
    again = advise_feature(changed, asked.crib, bench)
    if again.best is None:
        yield f"with the {told} named there is no way"
    elif named_way(again.best) != named_way(way.then):
        yield f"with the {told} named the way is another"


def _goes_further(change: LengthChange) -> bool:
    """Whether a length changes towards what opens a way: less deep, or more of anything else."""
    now = change.before or 0.0
    return change.after < now if change.name in ("depth", "top") else change.after > now


def named_way(way: Candidate) -> tuple[str, str, str | None, str]:
    """What is told of a way: method, cutter, way in, grade."""
    return way.method, way.cutter.id, way.entry, way.grade


def _cutter(way: Repair, answer: FeatureAdvice | None, asked: Asked, bench: Bench) -> Iterator[str]:
    """With the cutter named beside the whole crib the answer is as good as was said, and the cutter is the one told."""
    bought = [cutter for cutter in on_offer(asked.feature, bench) if way.cutter and cutter.id == way.cutter.id]
    drill = suiting_drill(answer.best.cutter, asked.feature, bench) if answer and answer.best else None
    if not bought and drill is not None:
        bought = [drill]
    if not bought:
        yield "a cutter that nobody offers"
        return
    if bought[0] != way.cutter:
        yield "a cutter of that name is another"
    if f"{bought[0].DC:.3g}{GAP}mm" not in repair_text(way):
        yield "the text tells another cutter"
    again = advise_feature(asked.feature, (*asked.crib, bought[0]), bench)
    if again.best is None:
        yield "with the cutter named there is no way"
    elif GRADES.index(again.best.grade) > GRADES.index(way.then.grade):
        yield "with the cutter named the grade is worse than told"


def told(asked: Asked) -> str:
    """A question in a line."""
    feature = asked.feature.model_dump(exclude_none=True, exclude={"id"})
    cutters = "; ".join(
        f"{cutter.id} {cutter.body} DC {cutter.DC:g} APMX {cutter.APMX:g} LU {cutter.LU:g} LPR {cutter.LPR:g} "
        f"shank {cutter.DCONMS:g} RMPX {cutter.RMPX} {cutter.substrate}"
        for cutter in asked.crib
    )
    return f"{feature} | {asked.material.name} | {asked.machine.spindle} | {cutters}"
