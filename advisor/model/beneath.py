"""What happens at the bottom of a cut."""

from enum import StrEnum


class BottomPolicy(StrEnum):
    """What the rules conclude for the bottom of a feature; the words of the measure ``bottom_policy``."""

    PAST_THE_BOTTOM = "past_the_bottom"
    LEAVE_A_SKIN = "leave_a_skin"
    FLOOR_ALLOWANCE = "floor_allowance"
    TO_DEPTH = "to_depth"
    ABOVE_A_CAST_FLOOR = "above_a_cast_floor"

    @property
    def leaves_stock(self) -> bool:
        """Whether something stays there."""
        return self in (self.FLOOR_ALLOWANCE, self.LEAVE_A_SKIN, self.ABOVE_A_CAST_FLOOR)
