"""A feature that could not be worked out, through a fault of our own, told beside the others that were."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from advisor.files.problems import BadInput, printable

REPORT = "Report this with the files of job, shop, crib and plan; for this feature decide without the advisor."


class Failed(NamedTuple):
    """The id of a feature for which there is no answer, and the error that came up."""

    feature: str
    error: str

    @classmethod
    def of(cls, feature: str, error: Exception) -> Failed:
        """What came up while a feature was worked out."""
        return cls(feature, f"{type(error).__name__}: {error}")

    @property
    def told(self) -> str:
        """In one line, which feature has no answer, why, and what to do."""
        return printable(f"{self.feature}: internal error, no advice given for this feature: {self.error}. {REPORT}")


def of_each(names: Iterable[str], work: Callable[[str], object]) -> tuple[Failed, ...]:
    """The features for which a piece of work ends in a fault of our own, with the first error of each.

    Raises:
        BadInput, OSError: a file is at fault.
    """
    found = []
    for name in names:
        try:
            work(name)
        except (BadInput, OSError):
            raise
        except Exception as error:
            found.append(Failed.of(name, error))
    return tuple(found)
