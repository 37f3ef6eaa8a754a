"""What is claimed of any answer, and what is found where a claim does not hold."""

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from fitting import ordinary_job
from random_jobs import Asked, random_job

from advisor.analysis.inputs import changed_lengths
from advisor.analysis.repair import lacking, ways_out
from advisor.analysis.standard_cutters import on_offer, suiting_drill
from advisor.choosing.advice import advise_feature
from advisor.model.answer import FeatureAdvice, WayOut
from advisor.model.candidate import GRADES
from advisor.readers.materials import load_materials
from advisor.situation.bench import Bench, shared_inference

GAP = "\u00a0"
CHANGED = re.compile(r"a (depth|width|diameter|length|top) of ([\d\s.]+)mm instead of ([\d\s.]+)mm")
RAISED = re.compile(r"With ([\d\s.]+)mm free beneath instead of ")


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
    """Ask a random question, and hold every claim about ways out against the answer."""
    asked = question(seed)
    bench = bench_for(asked)
    answer = advise_feature(asked.feature, asked.crib, bench)
    if answer.best is None:
        named = ways_out(asked.feature, asked.crib, bench)
        findings = [] if named else [Finding("no way out named", seed, told(asked))]
    else:
        named = lacking(answer, asked.feature, asked.crib, bench) if seed % 5 == 0 else ()
        findings = []
    for way in named:
        findings += [
            Finding(claim, seed, f"{way.text} | {told(asked)}") for claim in _refuted(way, answer, asked, bench)
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


def _refuted(way: WayOut, answer: FeatureAdvice, asked: Asked, bench: Bench) -> Iterator[str]:
    """Which claims about a way out do not hold when it is run again."""
    changes = [(name, _number(value), _number(now)) for name, value, now in CHANGED.findall(way.text)]
    beneath = getattr(asked.feature, "clearance_below", None)
    changes += [("clearance_below", _number(value), beneath or 0.0) for value in RAISED.findall(way.text)]
    if changes:
        yield from _lengths(changes, way, asked, bench)
    else:
        yield from _cutter(way, answer, asked, bench)


def _number(text: str) -> float:
    return float(re.sub(r"\s", "", text))


def _lengths(changes: list[tuple[str, float, float]], way: WayOut, asked: Asked, bench: Bench) -> Iterator[str]:
    """With the very lengths that are read, the answer is the one told; it is the way that the text says it is."""
    for name, value, now in changes:
        if now != (getattr(asked.feature, name) or 0.0) or (value >= now if name in ("depth", "top") else value <= now):
            yield f"a change of the {name} that is none"
    changed = changed_lengths(asked.feature, {name: value for name, value, _ in changes})
    told = " and ".join(name for name, _, _ in changes)
    if changed is None:
        yield f"a {told} that no such feature has"
        return
    if ", and " in way.text:
        yield from _cutter(way, None, asked._replace(feature=changed), bench)
        return
    again = advise_feature(changed, asked.crib, bench)
    if again.best is None:
        yield f"with the {told} named there is no way"
    elif (again.best.method, again.best.cutter.id, again.best.entry, again.grade) != tuple(way[1:5]):
        yield f"with the {told} named the way is another"


def _cutter(way: WayOut, answer: FeatureAdvice | None, asked: Asked, bench: Bench) -> Iterator[str]:
    """With the cutter named beside the whole crib the answer is as good as was said, and the cutter is the one told."""
    bought = [cutter for cutter in on_offer(asked.feature, bench) if cutter.id == way.cutter]
    drill = suiting_drill(answer.best.cutter, asked.feature, bench) if answer and answer.best else None
    if not bought and drill is not None:
        bought = [drill]
    if not bought:
        yield "a cutter that nobody offers"
        return
    if f"{bought[0].DC:.3g}{GAP}mm" not in way.text:
        yield "the text tells another cutter"
    again = advise_feature(asked.feature, (*asked.crib, bought[0]), bench)
    if again.best is None:
        yield "with the cutter named there is no way"
    elif GRADES.index(again.best.grade) > GRADES.index(way.grade):
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
