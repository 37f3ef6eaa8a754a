"""Whose an input is."""

from enum import StrEnum


class Owner(StrEnum):
    """What a number of the input belongs to."""

    FEATURE = "feature"
    CUTTER = "cutter"
    DRILL = "drill"
    MACHINE = "machine"
