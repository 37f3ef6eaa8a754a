"""The blocks of a review: what to stop, change and consider, what is well chosen, what was taken or left open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.choosing.job_advice import Advice
from advisor.files.problems import printable
from advisor.files.unit_scales import length_word, parts_in_units_of, scale_of
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import WEIGHTS
from advisor.knowledge.wording import DOWN, GAP, capitalised, lower_first, quantity
from advisor.model.candidate import Candidate
from advisor.model.finding import Finding, WellChosen
from advisor.review.coverage import MAIN, PILOT, REST
from advisor.review.finding import HEAVY
from advisor.review.verdict import Judged, Remedies, Remedy, Review
from advisor.text.advice import under_what
from advisor.text.blocks import Block, Heading, Item, Pairs, Para, Table, section
from advisor.text.failures import failure_text
from advisor.text.findings import finding_text, not_judged_text, taken_text, well_chosen_text
from advisor.text.missing import missing_text
from advisor.text.section_text import sketch_blocks
from advisor.text.sheet import ENTRY_HOLE, first_sentence, setting_cells, short_entry, short_word
from advisor.text.words import seconds

TITLES = {"stop": "Stop", "change": "Change", "consider": "Consider"}
MEANT = {"stop": "likely to break or injure", "change": "works, at a cost", "consider": "worth a look"}
HEADS = ("op", "feature", "", "method", "cutter", "entry", "time")
ONE_CHANGE = "a cutter that stays in the spindle for the next operation costs one tool change"
SETTINGS = ("a_p × levels", "a_e", "n", "v_f", "stock left")


@parts_in_units_of(lambda review, sketches=True: review.assignment.job.units)
def review_blocks(review: Review, sketches: bool = True) -> Iterator[Block]:
    """The blocks of the review of one plan."""
    advice = Advice(review.assignment, review.bench, ())
    yield Heading(f"Review of {printable(review.plan.name)}", 1)
    whose = f" Chosen by {printable(review.plan.programmer)}." if review.plan.programmer else ""
    yield Para(f"{printable(review.assignment.job.part)}.{whose} {under_what(advice)} {units_text(review)}")
    yield Pairs((("verdict", verdict_text(review)), ("time", time_text(review))))
    rows = tuple(row for judged in review.operations for row in table_rows(judged))
    yield Table((*HEADS, *SETTINGS), rows, len(HEADS))
    yield from (Para(failure_text(one)) for one in review.failed)
    found = review.remedies
    yield from section("What to change", _to_change(review, found))
    for weight in WEIGHTS:
        told = [finding for finding in review.findings if finding.weight == weight]
        yield from section(f"{TITLES[weight]}: {MEANT[weight]}", _told_once(told, review, found))
    if any(not finding.rule.source.work for finding in review.findings):
        yield Para("Findings that name no source rest on common practice.")
    yield from section("Before the first run: safety", _told_once(review.cautions, review))
    yield from section("Well chosen", (_praise(praise, review) for praise in review.well_chosen))
    if review.not_said:
        yield Heading("Not given in the plan, and assumed")
        yield Para(f"{'; '.join(_open(review))}.")
    yield from section("Not judged", _not_judged(review))
    if sketches:
        yield from _sketches(review)


def units_text(review: Review) -> str:
    """In which unit the numbers of the plan were read, and who says so."""
    plan, job = review.plan, review.assignment.job.units
    who = "as the plan says" if plan.units_said else "as in the job" if plan.units == job else "the default of a plan"
    read = {"mm": "mm and mm/min", "inch": "inches and in/min"}[plan.units]
    told = "" if plan.units == job else f" All values are shown in {length_word()}."
    return f"Numbers of the plan without a unit are read in {read}, {who}.{told}"


def verdict_text(review: Review) -> str:
    """How many findings there are of each weight."""
    counts = {weight: sum(finding.weight == weight for finding in review.findings) for weight in WEIGHTS}
    praise = len(review.well_chosen)
    return f"{', '.join(f'{count} to {weight}' for weight, count in counts.items())}; {praise} well chosen"


def time_text(review: Review) -> str:
    """The time of the plan beside that of the advice."""
    plan, advised = review.time_plan, review.time_advised
    told = ["not known" if time is None else seconds(time) for time in (plan, advised)]
    if plan is not None and told[0] == told[1]:
        return f"{told[0]}, for plan and advice; {ONE_CHANGE}"
    return f"plan {told[0]}, advised {told[1]}; {ONE_CHANGE}"


def table_rows(judged: Judged) -> Iterator[tuple[str, ...]]:
    """An operation as it is planned, and under it what is advised, where it clears the feature."""
    candidate, best = judged.candidate, judged.advice.best
    region, idle = judged.advice.region, candidate.facts.get("nothing_left") == "yes"
    rest = "rest in the corners" if region.corners else "rest on the walls"
    named = {PILOT: "pilot hole" if region.round else ENTRY_HOLE, REST: rest}
    method = short_word(candidate.method) if idle else named.get(judged.role, short_word(candidate.method))
    time = quantity(candidate.time, "s") if candidate.time < float("inf") and judged.role == MAIN else ""
    head = (str(judged.operation.number), printable(judged.feature_id))
    yield (*head, "plan", method, *_way(candidate), time, *_typed(candidate, judged))
    if judged.role == MAIN:
        advised = ("not possible", "", "", "") if best is None else (short_word(best.method), *_way(best))
        settings = [""] * len(SETTINGS) if best is None else _typed(best, judged)
        yield ("", "", "advised", *advised[:3], quantity(best.time, "s") if best else "", *settings)


def _way(candidate: Candidate) -> tuple[str, str]:
    return printable(candidate.cutter.id), short_entry(candidate)


def _typed(candidate: Candidate, judged: Judged) -> Sequence[str]:
    """What is typed, as the part table of an advice has it; nothing where it could not be worked out."""
    plan = candidate.plan
    return [""] * len(SETTINGS) if plan is None else setting_cells(judged.advice.region, candidate, plan)


def where(operation: int | None, feature: str | None) -> str:
    """The operation and feature that something is about."""
    if operation is None:
        return "The whole plan"
    return f"Operation {operation}" if feature is None else f"Operation {operation}, {printable(feature)}"


def finding_item(finding: Finding, review: Review, with_remedy: bool = True) -> Item:
    """A finding as an entry of a list; without what to do about it where that stands elsewhere."""
    own = mark(finding.rule, review.bench.base)
    strong = "Safety:" if finding.rule.harm and finding.weight else ""
    place = where(finding.operation, finding.feature)
    source = (f"Source: {finding.rule.source}.",) if finding.rule.source.work else ()
    text = finding_text(finding if with_remedy else finding.without_remedy)
    return Item(f"{place}: {text}{own}", finding.rule.id, strong, source)


def _told_once(found: Sequence[Finding], review: Review, remedied: Remedies | None = None) -> Iterator[Item]:
    """What one rule finds in several features of an operation, or cautions in several operations, told for the first of
    them with the others named; without the remedies that stand in the set of all.
    """
    alike: dict[tuple[int | None, str], list[Finding]] = {}
    for finding in found:
        alike.setdefault((finding.operation if finding.weight else 0, finding.rule.id), []).append(finding)
    for first, *others in alike.values():
        item = finding_item(first, review, remedied is None or not _in_the_set(first, remedied))
        names = " and ".join(filter(None, [", ".join(_names(others[:-1])), *_names(others[-1:])]))
        own = "" if all(finding_text(other) == finding_text(first) for other in others) else ", with their own numbers"
        yield item._replace(after=(f"The same in {names}{own}.", *item.after)) if others else item


def _names(found: Sequence[Finding]) -> list[str]:
    return [
        printable(finding.feature or "the whole plan")
        if finding.weight
        else where(finding.operation, finding.feature).replace("Operation", "operation")
        for finding in found
    ]


def _in_the_set(finding: Finding, found: Remedies) -> bool:
    """Whether what to do about a finding stands in the set of remedies: of all that is to be stopped or changed, and of
    what the set answers besides.
    """
    return finding.weight in HEAVY or found.answers(finding)


def _to_change(review: Review, found: Remedies) -> Iterator[Item]:
    """The set of remedies: for each operation the numbers to type, then in words what these do not answer."""
    words: dict[tuple[int | None, str | None], dict[str, None]] = {}
    for finding in review.findings:
        if finding.weight in HEAVY and finding.rule.remedy and not found.answers(finding):
            words.setdefault((finding.operation, finding.feature), {})[finding.remedy] = None
    numbers: dict[tuple[int | None, str | None], str] = {
        (one.planned.operation.number, one.planned.feature_id): told
        for one in found.changes
        if (told := change_text(one))
    }
    alike: dict[tuple[str, ...], list[tuple[int | None, str | None]]] = {}
    for place in sorted({*words, *numbers}, key=lambda at: (at[0] is None, at[0] or 0)):
        together = (*filter(None, [numbers.get(place)]), *words.get(place, ()))
        alike.setdefault(together, []).append(place)
    for words_of, places in alike.items():
        yield Item(f"{'; '.join(where(*place) for place in places)}: {' '.join(words_of)}")


def change_text(remedy: Remedy) -> str:
    """What to type instead in an operation, each from what to what, and the time that it then takes; empty where none
    of it changes.
    """
    planned, changed = remedy.planned.candidate, remedy.changed
    heads = ("cutter", "entry", *SETTINGS)
    before = (*_way(planned), *_typed(planned, remedy.planned))
    after = (*_way(changed), *_typed(changed, remedy.planned))
    steps = [
        f"{head} {f'{was} → ' if was else ''}{now}{_unit(head, now)}"
        for head, was, now in zip(heads, before, after, strict=True)
        if was != now and now
    ]
    if planned.method != changed.method:
        steps.insert(0, f"{short_word(planned.method)} → {short_word(changed.method)}")
    steep, gentle = (one.way_in.ramp_angle if one.way_in else None for one in (planned, changed))
    if gentle is not None and gentle != steep:
        was = f"{quantity(steep, 'deg', typed=DOWN)} → " if steep is not None else ""
        steps.append(f"ramp angle {was}{quantity(gentle, 'deg', typed=DOWN)}")
    said, cooled = remedy.planned.operation.row.coolant, changed.facts.get("coolant")
    if said is not None and cooled not in (None, said):
        steps.append(f"coolant {said} → {cooled}")
    time = f" Then {quantity(changed.time, 's')}." if changed.time < float("inf") and steps else ""
    return f"{'; '.join(steps)}.{time}" if steps else ""


def _unit(head: str, told: str) -> str:
    """The unit behind a setting; none behind words and pairs of numbers."""
    unit = {"a_e": "mm", "n": "1/min", "v_f": "mm/min"}.get(head)
    return f"{GAP}{scale_of(unit).unit}" if unit and told[:1].isdigit() else ""


def _praise(praise: WellChosen, review: Review) -> Item:
    text = well_chosen_text(praise, review.bench.base)
    if praise.rule is not None:
        text = first_sentence(text)
    return Item(f"{where(praise.operation, praise.feature)}: {text}", praise.rule.id if praise.rule else "")


def _open(review: Review) -> Iterator[str]:
    """What is not given, by operation and feature; what was assumed alike of several, once."""
    alike: dict[str, list[str]] = {}
    for place in dict.fromkeys((said.operation, said.feature) for said in review.not_said):
        told = [taken_text(said) for said in review.not_said if (said.operation, said.feature) == place]
        alike.setdefault(", ".join(told), []).append(where(*place))
    return (f"{' and '.join(places)}: {told}" for told, places in alike.items())


def _not_judged(review: Review) -> Iterator[str]:
    missing: dict[str, list[str]] = {}
    for item in review.not_judged:
        if item.missing is not None:
            missing.setdefault(missing_text(item.missing, review.bench.base), []).append(printable(item.feature))
        else:
            told = not_judged_text(item, review.bench.base)
            yield f"{capitalised(told)}."
    for told, names in missing.items():
        yield f"{', '.join(names)}: {told}."
    if review.uncovered:
        yield f"No operation for {', '.join(map(printable, review.uncovered))}."


def _sketches(review: Review) -> Iterator[Block]:
    """The side of each operation that is to be stopped: a collision is seen at once."""
    stopped = {(found.operation, found.feature) for found in review.findings if found.weight == "stop"}
    for judged in review.operations:
        if (judged.operation.number, judged.feature_id) in stopped:
            head, *rest = sketch_blocks(judged.candidate, judged.advice.region, review.bench.limits)
            place = where(judged.operation.number, judged.feature_id)
            yield (head._replace(text=f"{place}: {lower_first(head.text)}") if isinstance(head, Heading) else head)
            yield from rest
