"""Many jobs, each with a house of its own: told in order, each as it is alone, whoever works and whatever is freed."""

import shutil
from pathlib import Path

import pytest

from advisor.paths import cases_dir
from advisor.situation.bench import MOST_HOUSES
from tests.cli.commands import roughing

WORN = cases_dir() / "rack-slot-worn-axes"
COUNT = MOST_HOUSES + 4  # more than are kept
FAULTY = 5
FILES = [f"job-{number:02}/job.yaml" for number in range(COUNT)]
HOUSE = (
    "thresholds: {{open_width_ratio_least: {{value: 2, reason: worn axes}},"
    " {name}: {{value: {value}, reason: worn axes}}}}\n"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Jobs in folders of their own: the houses of two have the same text, one has a fault, the last two share one."""
    top = tmp_path_factory.mktemp("jobs")
    for number in range(COUNT):
        place = shutil.copytree(WORN, top / f"job-{number:02}")
        value = 1.2 + (number - (number == 3)) / 20
        text = HOUSE.format(name="loop_width_ratio_lest" if number == FAULTY else "loop_width_ratio_least", value=value)
        (place / "house" / "house.yaml").write_text(text, encoding="utf-8")
        if number == COUNT - 1:
            shop = (place / "shop.yaml").read_text(encoding="utf-8")
            (place / "shop.yaml").write_text(
                shop.replace("house: house/", f"house: ./house/../../job-{COUNT - 2:02}/house"), encoding="utf-8"
            )
    return top


@pytest.fixture(scope="module")
def alone(folder: Path) -> list[str]:
    """What each job gives in a process of its own."""
    return [roughing("advise", file, "--quick", "--full", folder=folder).stdout for file in FILES]


@pytest.mark.parametrize("processes", ["1", "2"])
def test_each_is_told_in_order_as_it_is_alone(processes: str, folder: Path, alone: list[str]) -> None:
    together = roughing("advise", *FILES, "--quick", "--full", "--processes", processes, folder=folder)
    parts = together.stdout.split("\n\njob-")
    assert len(parts) == COUNT
    assert together.returncode == 2
    assert together.stderr.count(f"job-{FAULTY:02}/house/house.yaml:1:") == 1
    assert len({part.partition("\n")[2] for part in parts}) > 3, "the houses decide differently"
    for number, (file, part) in enumerate(zip(FILES, parts, strict=True)):
        heading, _, told = part.removeprefix("job-").partition("\n\n")
        assert heading.strip() == file.removeprefix("job-")
        assert ("Not read: 1 fault" in told) if number == FAULTY else told.strip() == alone[number].strip()
