"""Reading what a shop prefers among ways of one rating, with every fault noted where it stands."""

from __future__ import annotations

from typing import Any as Anything

from advisor.files.checking import checked
from advisor.knowledge.condition_reader import ConditionReader
from advisor.knowledge.fields import WrittenPreference
from advisor.knowledge.measures import JUDGING, LEVELS, STAGES, Measure
from advisor.knowledge.schema import Preference


class PreferenceReader(ConditionReader):
    """Reads the preferences of one file: they are asked of ways that are rated."""

    when = "of a way that is rated"

    def known(self, measure: Measure) -> bool:
        """Whether a fact is known of a way that is rated."""
        return STAGES.index(measure.since) <= STAGES.index(JUDGING[-1])

    def preference(self, index: int, entry: Anything, reason: str) -> Preference | None:
        """What is preferred, for this reason; nothing where it cannot be read."""
        written = checked(WrittenPreference, self.document, (index,), self.spelt(index, entry), self.faults.problems)
        if written is None:
            self.condition_alone(index, entry)
            return None
        about = self.about(index, written)
        condition = self.condition(index, written.id, about, written.when)
        if condition is None:
            return None
        level = self.level_of(condition)
        if level == LEVELS[0]:
            wanted = "one that tells ways apart: on the cutter, the method, the entry or what is worked out"
            self.fault((index, "when"), f"{written.id}.when", "a condition on the feature alone", wanted)
        place, examples = (index, "examples"), written.examples
        return Preference(
            id=written.id,
            what=" ".join(written.what.split()),
            level=level,
            about=about,
            condition=condition,
            reason=reason,
            examples=() if examples is None else self.examples.of_rule(place, written.id, examples),
            file=self.document.name,
            line=self.document.line((index,)),
        )
