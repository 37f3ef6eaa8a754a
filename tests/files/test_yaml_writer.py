"""What is written as YAML is read as it was: no number is taken for thousands."""

from hypothesis import given
from hypothesis import strategies as st

from advisor.files.decimals import UNCLEAR_POINT
from advisor.files.yaml_reader import parse_yaml
from advisor.files.yaml_writer import sure, yaml_text

NUMBERS = st.floats(allow_nan=False, allow_infinity=False) | st.integers(1, 999_999).map(lambda number: number / 1000)


@given(numbers=st.lists(NUMBERS, min_size=1, max_size=4), flow=st.sampled_from([None, False, True]))
def test_a_number_is_read_as_it_was_written_and_leaves_no_doubt(numbers: list[float], flow: bool | None) -> None:
    document = parse_yaml(yaml_text({"numbers": numbers}, flow=flow), "x.yaml")
    assert document.value["numbers"] == numbers
    assert not any(UNCLEAR_POINT.fullmatch(text) for text in document.texts.values())


def test_only_a_number_that_may_be_a_thousand_gets_a_place_more() -> None:
    assert [sure(number) for number in ("8.125", "8.12", "0.125", "1234.125", "8", "8.1255")] == [
        "8.1250", "8.12", "0.125", "1234.125", "8", "8.1255",
    ]  # fmt: skip
