"""The answers of an advice completed, as ``advisor.service`` completes those that it gives."""

from advisor.choosing.job_advice import Advice
from advisor.service import completed


def all_completed(advice: Advice) -> Advice:
    """Return an advice, each answer of which is completed."""
    features = {feature.id: feature for feature in advice.assignment.job.features}
    crib, bench = advice.assignment.crib, advice.bench
    told = (completed(answer, features[answer.region.id], crib, bench) for answer in advice.features)
    return advice._replace(features=tuple(told))
