"""How it is told what each change of the house does on jobs: where it fired, what it changed, how near it came."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.analysis.house_trial import ChangeTrial, FeatureFiring, Miss, WithAndWithout
from advisor.files.problems import printable
from advisor.knowledge.conditions import Compare, Known
from advisor.knowledge.schema import RuleBase
from advisor.knowledge.wording import counted, known_text, looks_equal, quantity, wanted_text
from advisor.model.answer import FeatureAdvice
from advisor.text.blocks import Item
from advisor.text.house import change_text
from advisor.text.words import way_text

SOMEWHERE, NOWHERE = "Fires on", "Never fires"
WORDS = {  # of a change that is no rule: what it does on a feature, and that it never does
    "moved": ("Counts on", "Never counts"),
    "off": ("Would fire on", "Would never fire here"),
    "preference": ("Is met on", "Is never met"),
}
MOST_UNMET = 3  # conditions that are told of a near miss


def trial_item(found: ChangeTrial, base: RuleBase, several: bool) -> Item:
    """A change of the house with all the features that it fired on, or the nearest miss. Of ``several`` jobs each
    feature has the name of its job.
    """
    lines = [f"{_place(one) if several else printable(one.feature)}: {_effect(one)}" for one in found.firings]
    return Item(f"{change_text(found.change, base)}. {summary(found, base)}", "", "", tuple(lines))


def summary(found: ChangeTrial, base: RuleBase) -> str:
    """On how many features a change fired, counted or was met; for one that never did, what came nearest."""
    if not found.asked:
        return "A rule of the review: it is asked of plans, not of advice."
    somewhere, never = WORDS.get(found.change.kind, (SOMEWHERE, NOWHERE))
    if found.firings:
        advised = sum(one.advised for one in found.firings)
        changed = sum(one.changed is not None for one in found.firings)
        where = counted(str(len(found.firings)), "feature")
        return f"{somewhere} {where}, {advised} of them for the advised way, and changes {changed}."
    if found.miss is None:
        return f"{never}: no way here has a value that it turns, and no number rests on it."
    return f"{never}. {miss_text(found.miss, base)}"


def miss_text(miss: Miss, base: RuleBase) -> str:
    """What came nearest to a rule's condition, and what of it does not hold."""
    way = f" with {way_text(miss.way)}" if miss.way is not None else ""
    place = f"{printable(miss.job)}, {printable(miss.feature)}{way}"
    if not miss.unmet:
        return f"Its condition holds on {place}, but it is not asked there."
    wanted = [unmet_text(leaf, miss, base) for leaf in miss.unmet]
    more = f"; and {len(wanted) - MOST_UNMET} more" if len(wanted) > MOST_UNMET else ""
    return f"Nearest is {place}: wants {'; '.join(wanted[:MOST_UNMET])}{more}."


def unmet_text(leaf: Compare | Known, miss: Miss, base: RuleBase) -> str:
    """A condition of a near miss that does not hold, with its value there."""
    if isinstance(leaf, Compare):
        return wanted_text(base, leaf, miss.facts)
    return known_text(leaf, verb="")


def _place(one: FeatureFiring) -> str:
    return f"{printable(one.job)}, {printable(one.feature)}"


def _effect(one: FeatureFiring) -> str:
    """What a change did on a feature, before → after."""
    if one.needed:
        return "cannot be left out alone: the other changes cannot be worked out without it"
    if one.changed is None:
        return f"changes nothing{'' if one.advised else '; only for ways that are not advised'}"
    return "; ".join(_differences(one.changed))


def _differences(both: WithAndWithout) -> Iterator[str]:
    before, after = way_of(both.without), way_of(both.own)
    if before != after:
        yield f"{before} → {after}"
    if both.without.grade != both.own.grade:
        yield f"{both.without.grade} → {both.own.grade}"
    one, other = both.without.best, both.own.best
    if one is not None and other is not None:
        levels = [item.plan.levels if item.plan else 0 for item in (one, other)]
        if levels[0] != levels[1]:
            yield f"levels {levels[0]} → {levels[1]}"
        if not looks_equal(one.time, other.time, "s"):
            yield f"{quantity(one.time, 's')} → {quantity(other.time, 's')}"
    more, less = both.cautions
    if more:
        yield f"cautions also of {', '.join(more)}"
    if less:
        yield f"no longer cautions of {', '.join(less)}"


def way_of(answer: FeatureAdvice) -> str:
    """The advised way of an answer in words."""
    return way_text(answer.best) if answer.best else "not possible"
