"""The first files of a shop as text: shop, crib and job, with a remark on every line that wants one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import TYPE_CHECKING

import yaml

from advisor.files.unit_scales import OURS, converted, showing
from advisor.model.setup import Setup
from advisor.paths import SHOP, setup_dir

if TYPE_CHECKING:
    from jinja2 import Environment

JOB, CRIB = "job.yaml", "crib.csv"


def setup_files(setup: Setup) -> Mapping[str, str]:
    """The files by their names; the job names the shop beside it unless that becomes the default shop."""
    with showing(setup.units):
        inch = setup.units != OURS
        power = max(setup.machine.spindle.power)
        values = {
            "machine": setup.machine,
            "units": setup.units,
            "material": setup.material,
            "shop": None if setup.default else SHOP,
            "size": lambda mm, inches: inches if inch else mm,
            "in_inch": lambda feed: f" ({_shown(converted(feed, 'mm/min'))} in/min)" if inch else "",
            "in_hp": f"    # {_shown(converted(power, 'kW'))} hp" if inch else "",
        }
        found = {name: _environment().get_template(f"{name}.j2").render(values) for name in (SHOP, CRIB, JOB)}
    return {name: "\n".join(line.rstrip() for line in text.splitlines()) + "\n" for name, text in found.items()}


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    found = Environment(
        loader=FileSystemLoader(setup_dir()), undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        autoescape=False,
    )  # fmt: skip
    found.filters |= {"text": _text, "number": _number, "numbers": _numbers}
    return found


def _text(value: str) -> str:
    """A text as YAML has it, in quotes where it needs them."""
    found: str = yaml.safe_dump([value], default_flow_style=True, allow_unicode=True, width=float("inf"))
    return found.strip()[1:-1]


def _number(value: float) -> str:
    """A number in full, without a point where it is a whole one."""
    return str(int(value)) if value == int(value) else repr(value)


def _numbers(values: Iterable[float]) -> str:
    return f"[{', '.join(map(_number, values))}]"


def _shown(value: float) -> str:
    """A number as a remark tells it."""
    return f"{value:.4g}" if value < 1000 else f"{value:.0f}"
