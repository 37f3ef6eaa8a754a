"""What the table of ways says of a method, from the solid and of castings, is read in one place."""

import pytest

from advisor.readers.ways import Way, ways


@pytest.mark.parametrize("way", ways().values(), ids=ways())
def test_the_kinds_and_entries_of_a_method_are_those_from_the_solid_and_of_castings(way: Way) -> None:
    assert way.every_kind == way.features | way.cored
    assert set(way.every_entry) == {*way.strip, *way.open, *way.closed, *way.cored_entries}


def test_a_method_is_found_for_a_casting_alone_too() -> None:
    of_castings = Way("m", "m", frozenset(), frozenset(), (), (), (), cored=frozenset({"slot"}), cored_entries=("in",))
    assert of_castings.every_kind == {"slot"}
    assert of_castings.every_entry == ("in",)
