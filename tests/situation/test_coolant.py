"""What cools a cut and clears its chips, by material, cutter and machine. Common practice, no source."""

import pytest

from advisor.knowledge.conditions import Situation
from advisor.model.cutter import Cutter
from advisor.model.region import regions_of
from advisor.situation.bench import bench_of
from advisor.situation.facts import cutter_in, feature_facts
from tests.jobs.judged import HARD, IRON, STAINLESS, SUPERALLOY, TITANIUM, hole, short_drill
from tests.jobs.small import ALUMINIUM, EVERYDAY, STEEL, drill, inserted, job, solid

MAGNESIUM = "UNS M11916"
END_MILL, INSERTS, DRILL, SLOW_DRILL = solid(12, 26), inserted(25), drill(12), short_drill(12, 30, substrate="hss")


def settled(material: str, coolants: list[str], cutter: Cutter) -> Situation:
    asked = job(hole(30, 20), [cutter], material, EVERYDAY | {"coolant": coolants})
    bench, (region,) = bench_of(asked), regions_of(asked.job.features[0])
    return cutter_in(region, cutter, feature_facts(region, bench), bench).facts


@pytest.mark.parametrize(
    ("material", "coolants", "cutter", "wanted"),
    [
        (ALUMINIUM, ["flood", "air", "through"], END_MILL, "flood"),
        (ALUMINIUM, ["flood", "air", "through"], DRILL, "through"),
        (ALUMINIUM, ["flood", "air", "through"], SLOW_DRILL, "flood"),
        (ALUMINIUM, ["mist", "air"], END_MILL, "mist"),
        (ALUMINIUM, ["air"], END_MILL, "air"),
        (ALUMINIUM, ["none"], END_MILL, "none"),
        (STEEL, ["flood", "air"], END_MILL, "flood"),
        (STEEL, ["flood", "air"], INSERTS, "air"),
        (STEEL, ["flood"], INSERTS, "none"),
        (STEEL, ["flood", "air"], DRILL, "flood"),
        (STAINLESS, ["flood", "air"], INSERTS, "flood"),
        (IRON, ["flood", "air"], END_MILL, "air"),
        (IRON, ["flood"], END_MILL, "none"),
        (IRON, ["flood"], DRILL, "flood"),
        (HARD, ["flood", "air"], END_MILL, "air"),
        (HARD, ["flood"], END_MILL, "none"),
        (TITANIUM, ["flood", "air"], END_MILL, "flood"),
        (TITANIUM, ["air"], END_MILL, "none"),
        (SUPERALLOY, ["air"], END_MILL, "air"),
        (MAGNESIUM, ["flood", "air", "through"], END_MILL, "none"),
        (MAGNESIUM, ["flood", "air", "through"], DRILL, "none"),
    ],
)
def test_what_cools_a_cut(material: str, coolants: list[str], cutter: Cutter, wanted: str) -> None:
    assert settled(material, coolants, cutter)["coolant"] == wanted


@pytest.mark.parametrize(
    ("material", "coolants", "cutter", "wanted"),
    [
        (ALUMINIUM, ["flood", "air"], END_MILL, "flush"),
        (ALUMINIUM, ["air"], END_MILL, "blow"),
        (ALUMINIUM, ["mist"], END_MILL, "brush"),
        (STEEL, ["flood", "air"], INSERTS, "blow"),
        (STEEL, ["flood"], INSERTS, "brush"),
        (IRON, ["flood"], END_MILL, "brush"),
        (MAGNESIUM, ["flood", "air"], END_MILL, "brush"),
    ],
)
def test_how_chips_are_cleared(material: str, coolants: list[str], cutter: Cutter, wanted: str) -> None:
    assert settled(material, coolants, cutter)["chips_out"] == wanted
