"""Values written as YAML or into cells so that the readers take every number for what it is."""

from typing import Any

import yaml

from advisor.files.decimals import UNCLEAR_POINT


class _Dumper(yaml.SafeDumper):
    """Writes plain YAML, and no number that may be taken for thousands."""


def _float(dumper: yaml.SafeDumper, value: float) -> yaml.ScalarNode:
    node = yaml.SafeDumper.represent_float(dumper, value)
    node.value = sure(node.value)
    return node


_Dumper.add_representer(float, _float)


def sure(number: str) -> str:
    """A number as written, with a place more where three places may be taken for thousands: 8.125 becomes 8.1250."""
    return f"{number}0" if UNCLEAR_POINT.fullmatch(number) else number


def yaml_text(value: Any, *, flow: bool | None = False, width: int | None = None) -> str:
    """The YAML of a value, keys in their order; ``flow`` and ``width`` as for ``yaml.dump``."""
    text: str = yaml.dump(
        value, Dumper=_Dumper, sort_keys=False, allow_unicode=True, default_flow_style=flow, width=width or 80
    )
    return text
