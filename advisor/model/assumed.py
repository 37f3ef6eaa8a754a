"""What was assumed of a cutter or a machine that a file leaves out."""

from typing import NamedTuple

from advisor.files.unit_scales import in_prose, plain

FIGURES = 4  # of a length in a reason: it can be reckoned with


class Assumed(NamedTuple):
    """A field that was left out, what was taken for it and why. A number has its unit; lengths within the reason are
    marked, as in ``DCONMS + {20 mm}``. ``where`` says more of the value.
    """

    name: str
    value: float | str
    unit: str
    why: str
    where: str = ""

    @property
    def text(self) -> str:
        """What was assumed in words, in the units that are shown."""
        told = self.value if isinstance(self.value, str) else plain(self.value, self.unit)
        return f"{self.name} = {told}{self.where} ({in_prose(self.why, FIGURES)})"
