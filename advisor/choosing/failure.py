"""A feature that could not be worked out, through a fault of our own, told beside the others that were."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from advisor.files.problems import BadInput
from advisor.model.answer import Failed


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
