"""What a process engineer found in the questions that no senior would ask: it does not come up again."""

from random import Random

from advisor.coach.invent import invented
from advisor.coach.table import table
from advisor.coach.topics import topics
from advisor.model.assignment import Assignment
from tests.coach.made import make

SEEDS = range(60)
FIRE = table().fire


def _invented(topic: str | None) -> list[Assignment]:
    found = (invented(topic, 2, Random(seed)) for seed in SEEDS)
    return [assignment for assignment in found if assignment is not None]


def test_a_middle_that_comes_loose_is_left_only_where_that_is_the_question() -> None:
    """Roughing such a window frees the middle at full cut, and the question was how much stays on the wall."""
    for topic in (None, *topics()):
        for assignment in _invented(topic):
            feature = assignment.job.features[0]
            left = getattr(feature, "island", None)
            assert left is None or (topic == FIRE.topic and left > 0.5 * feature.width)


def test_what_burns_is_used_only_where_that_is_the_question() -> None:
    for topic in (None, *topics()):
        burning = [one for one in _invented(topic) if one.material.cutting_class in FIRE.classes]
        assert bool(burning) == (topic == FIRE.topic)


def test_traps_of_safety_differ() -> None:
    """All were of the middle of a window: a part that is cut free and magnesium come up too."""
    faults = {make("trap", seed, 2, FIRE.topic).key.finding.rule.id for seed in (21, 6, 9)}
    assert len(faults) == 3
