"""The evidence for one feature as JSON."""

from __future__ import annotations

from typing import Any

from advisor.choosing.job_advice import Advice
from advisor.knowledge.evidence import Ground, ground
from advisor.model.answer import FeatureAdvice
from advisor.render.recording import feature_record
from advisor.text.glossary import used
from advisor.text.sources import cited
from advisor.text.why import Evidence, tables
from advisor.text.words import ways_text


def why_record(answer: FeatureAdvice, advice: Advice) -> dict[str, Any]:
    """The answer as in the advice, and under ``evidence`` every rule, number and threshold it rests on."""
    evidence = Evidence(answer, advice)
    return {
        "part": advice.assignment.job.part,
        "job_units": advice.assignment.job.units,
        "engine": advice.bench.inference.name,
        "feature": feature_record(answer, advice).model_dump(by_alias=True),
        "evidence": {
            "reasons": [ground_record(found) for found in evidence.reasons],
            "concluded": [ground_record(found) for found in evidence.concluded],
            "cautions": [ground_record(found) for found in evidence.cautions],
            "obstacles": [
                {"way": ways_text(tried), **ground_record(ground(rule, tried[0].facts, evidence.base))}
                for tried, rule in answer.obstacles
            ],
            "numbers": [item._asdict() for item in evidence.worked],
            "set_back": [
                {"way": way, "deciding": deciding, "rules": [ground_record(found) for found in grounds]}
                for way, deciding, grounds in evidence.set_back
            ],
            "thresholds": [
                {"name": name, "value": value, "what": told, "source": source}
                for name, value, told, source in evidence.thresholds
            ],
            "tables": list(tables(advice)),
            "words": used(evidence.sentences),
        },
    }


def ground_record(found: Ground) -> dict[str, Any]:
    """One rule that fired, with its evidence."""
    rule = found.rule
    return {
        "rule": rule.id,
        "title": rule.title,
        "verdict": rule.verdict,
        "text": found.text,
        "remedy": found.remedy,
        "conditions": list(found.conditions),
        "measures": [item._asdict() for item in found.measures],
        "source": cited(rule.source),
        "house": bool(found.own),
    }
