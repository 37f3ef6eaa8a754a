"""A usable length that the crib does not give is told as assumed where it is too short, else as it is given."""

import pytest

from advisor.choosing.advice import advise
from advisor.knowledge.wording import fill
from tests.jobs.small import job, solid

POCKET = {"id": "P1", "kind": "closed_pocket", "length": 90, "width": 60, "depth": 40, "floor": True}


def reason(more: dict[str, float]) -> str:
    """Return why the only cutter is too short."""
    found = advise(job(POCKET, [solid(16, 32, **more)], "C45"))
    (answer,) = found.features
    base, rule = found.bench.base, found.bench.base.by_id["shank-rubs"]
    tried = next(one for one in answer.candidates if rule in one.fired)
    return fill(base, rule, rule.because, tried.facts).replace("\u00a0", " ")


def test_an_assumed_usable_length_is_told_as_assumed() -> None:
    assert "The usable length of 32 mm is assumed, since the crib gives none." in reason({})


def test_a_usable_length_of_the_crib_is_told_as_it_is() -> None:
    told = reason({"LU": 34})
    assert "a usable length of 34 mm" in told
    assert "assumed" not in told


@pytest.mark.parametrize("rule", ["shank-rubs", "drill-shank-beside-higher-stock", "little-reach-left"])
def test_every_rule_that_tells_a_usable_length_says_where_it_is_assumed(rule: str) -> None:
    from advisor.knowledge.shipped import rule_base

    (found,) = (one for one in rule_base().rules if one.id == rule)
    assert "{LU}" in found.because
    assert "{assumed_reach} is assumed" in " ".join(found.because.split())


def test_no_other_rule_tells_a_usable_length() -> None:
    from advisor.knowledge.shipped import rule_base

    told = {one.id for one in rule_base().rules if "{LU}" in f"{one.because}{one.remedy}"}
    assert told == {"shank-rubs", "drill-shank-beside-higher-stock", "little-reach-left"}
