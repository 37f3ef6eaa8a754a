"""Words of the register that the program itself has as an enumeration: they are the same."""

from advisor.knowledge.shipped import rule_base
from advisor.model.beneath import BottomPolicy


def test_the_policies_of_the_bottom_are_those_of_the_register() -> None:
    assert set(BottomPolicy) == set(rule_base().measures["bottom_policy"].words)
