"""The answer on a page: the part in a table, its cutters, its cautions once each, and a few lines a feature."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from advisor.choosing.entry_feed import entry_feed, typed_feed
from advisor.choosing.job_advice import Advice
from advisor.choosing.left_on_walls import left_on_walls
from advisor.choosing.whole_part import CutterUse, PartCaution, WholePart, whole_part
from advisor.files.problems import printable
from advisor.files.unit_scales import parts_in_units_of, scale_of
from advisor.knowledge.origin import mark
from advisor.knowledge.schema import WEIGHTS, Rule, RuleBase
from advisor.knowledge.trade_words import words_of
from advisor.knowledge.wording import DOWN, GAP, UP, apart, fact_text, fill, given, quantity, share_of
from advisor.methods.registry import METHODS
from advisor.model.answer import Alternative, Breakpoint, FeatureAdvice
from advisor.model.candidate import GRADES, Candidate
from advisor.model.cause import Held
from advisor.model.plan import Plan
from advisor.model.region import Region
from advisor.text.advice import not_answered, not_counted, under_what
from advisor.text.alternatives import choice_text
from advisor.text.blocks import Block, Heading, Item, Items, Pairs, Para, Table
from advisor.text.changes import changed_text, nearest_changes, of_the_drawing
from advisor.text.feature import (
    each_line,
    engagement_text,
    entry_line,
    entry_place,
    heading,
    own_changes,
    rest_line,
    thinner_last,
)
from advisor.text.names import spaced
from advisor.text.reasons import obstacle, reasons, repair_texts, said
from advisor.text.words import alike, cutter_kind, held_back, held_text, marked, millimetres, no_way, seconds

MOST_OBSTACLES = 3
MOST_LIMITS = 2
MOST_SPARED = 3
MOST_DOUBTS = 2
WORTH_A_WORD = 0.1  # share by which a setting is reduced: by less, nobody asks why
SYMBOLS = {
    "axial_depth": "a_p",
    "radial_width": "a_e",
    "feed_per_tooth": "f_z",
    "spindle_speed": "n",
    "centre_feed": "v_f",
    "feed_per_tooth_on_the_way_in": "f_z on entry",
}
ENTRY_HOLE = "entry hole"
BY_DRILL = next(name for name, method in METHODS.items() if method.by_drill)
NOTHING = "\u2013"
FIRST = ("id", "feature", "method", "cutter", "entry", "time")
SECOND = ("a_p × lv", "a_e", "n", "v_f", "left", "coolant", "cautions", "grade")


@parts_in_units_of(lambda advice: advice.assignment.job.units)
def sheet_blocks(advice: Advice) -> Iterator[Block]:
    """The answer on a page: the part first, then each feature in a few lines, then what was not given."""
    part = whole_part(advice)
    yield from part_blocks(advice, part)
    yield from caution_blocks(advice, part)
    yield Heading("Features", 2)
    for answer in advice.features:
        yield from feature_lines(answer, advice)
    yield from end_blocks(advice)


@parts_in_units_of(lambda advice: advice.assignment.job.units)
def short_blocks(advice: Advice) -> Iterator[Block]:
    """The part table alone, with what must be seen before the first run."""
    yield from part_blocks(advice, whole_part(advice), alone=True)


def part_blocks(advice: Advice, part: WholePart, alone: bool = False) -> Iterator[Block]:
    """The part, what to see to before the first run, the part table, and the cutters; ``alone`` without these, without
    the reasons of what to see to, and without the letters of cautions that stand nowhere then.
    """
    yield Heading(printable(advice.assignment.job.part), 1)
    yield Para(under_what(advice))
    yield from not_answered(advice.failed)
    yield from before_first_run(part, advice, alone)
    table = part_table(advice, part)
    if alone:
        table = without_column(table, "cautions")
    if table.rows:
        yield Heading(_over_the_table(), 2)
        yield table
        yield Para(_under_the_table(advice, part))
    if part.cutters and not alone:
        yield cutter_table(part.cutters)
        yield from _fewer_cutters(part)


def _fewer_cutters(part: WholePart) -> Iterator[Block]:
    """The cutters that the part could do without, and what each costs."""
    told = []
    for one in part.spared[:MOST_SPARED]:
        costs = f"{seconds(one.more)} more" if one.more > 0 else f"{seconds(-one.more)} less"
        told.append(
            Item(f"Without {printable(one.cutter.id)}: {printable(one.feature)} by {_short_way(one.then)}; {costs}.")
        )
    if told:
        yield Heading("Fewer cutters, each alone: as good, tool change counted", 2)
        yield Items(tuple(told))


def before_first_run(part: WholePart, advice: Advice, short: bool = False) -> tuple[Block, ...]:
    """What can hurt somebody, fire first, then what comes loose, under the letters of the cautions: what to do, then
    why, unless it is to be ``short``. Nothing of it is told again.
    """
    items = tuple(_first_item(alike, advice.bench.base, short) for alike in _first(part))
    return (Heading("Before the first run: safety", 2), Items(items)) if items else ()


def _first(part: WholePart) -> tuple[tuple[PartCaution, ...], ...]:
    """The cautions that stand before everything else, those of one letter together."""
    return tuple(alike for alike in _by_letter(part) if alike[0].rule.harm and alike[0].rule.remedy)


def _by_letter(part: WholePart) -> tuple[tuple[PartCaution, ...], ...]:
    """The cautions of the part, those that share a letter together."""
    return tuple(tuple(alike) for _, alike in groupby(part.cautions, key=lambda one: one.letter))


def _first_item(alike: Sequence[PartCaution], base: RuleBase, short: bool) -> Item:
    """A caution that stands first: what to do, then why."""
    where = "" if alike[0].everywhere else f"{_where(alike)}{'' if short else _whose(alike, base)}: "
    why = "" if short else f" {_because(alike, base)}"
    return Item(f"{where}{' '.join(_remedies(alike, base))}{why}", "", alike[0].letter)


def part_table(advice: Advice, part: WholePart) -> Table:
    """A row a feature, in the order of the job, with all that is typed first, and before it one for the hole that is
    drilled for its entry; numbers without their units.
    """
    empty = [""] * (len(FIRST) + len(SECOND) - 2)
    lines = {answer.region.id: (*_hole_row(answer), _row(answer, part)) for answer in advice.features}
    lines |= {one.feature: ((printable(one.feature), "not answered", *empty),) for one in advice.failed}
    order = [feature.id for feature in advice.assignment.job.features if feature.id in lines]
    table = Table((*FIRST, *SECOND), tuple(row for name in order for row in lines[name]), len(FIRST))
    unmarked = all(answer.grade == "good" for answer in advice.features)  # what is not good is marked
    return without_column(table, "grade") if unmarked else table


def without_column(table: Table, head: str) -> Table:
    """A table without one of its columns."""
    at = table.heads.index(head)
    heads, *rows = (row[:at] + row[at + 1 :] for row in (table.heads, *table.rows))
    return table._replace(heads=heads, rows=tuple(rows))


def _row(answer: FeatureAdvice, part: WholePart) -> tuple[str, ...]:
    best, letters = answer.best, " ".join(part.letters(answer))
    if best is None or best.plan is None:
        empty = [""] * (len(FIRST) + len(SECOND) - 5)
        return (printable(answer.region.id), short_size(answer.region), "not possible", *empty, letters, answer.grade)
    plan = best.plan
    return (
        printable(answer.region.id),
        short_size(answer.region),
        short_word(best.method),
        printable(best.cutter.id),
        short_entry(best),
        quantity(best.time, "s"),
        *setting_cells(answer.region, best, plan),
        str(best.facts.get("coolant", "")),
        letters,
        answer.grade,
    )


def _hole_row(answer: FeatureAdvice) -> Iterator[tuple[str, ...]]:
    """The hole that is drilled for the entry, where there is one, with all that is typed for it."""
    best = answer.best
    if best is None or best.drill is None or "hole_feed" not in best.facts:
        return
    facts, drill = best.facts, best.drill
    size = given(drill.DC, bare=True).replace(GAP, "")
    deep, speed, feed = (
        figure(float(facts[name]), unit, DOWN)
        for name, unit in (("hole_depth", "mm"), ("hole_speed", "1/min"), ("hole_feed", "mm/min"))
    )
    yield (
        printable(answer.region.id),
        f"{ENTRY_HOLE} ⌀{size}",
        short_word(BY_DRILL),
        printable(drill.id),
        *("", ""),
        *(f"{deep} tip", NOTHING, speed, feed, "", str(facts["hole_cooled_by"]), "", ""),
    )


def setting_cells(region: Region, best: Candidate, plan: Plan) -> tuple[str, ...]:
    """What is typed, and what is left: the cells of the part table from the depth of a level to the stock."""
    return (
        levels_cell(plan),
        width_cell(plan),
        figure(plan.spindle_speed, "1/min", DOWN),
        figure(typed_feed(best, plan), "mm/min", DOWN),
        left_cell(region, best, plan),
    )


def figure(value: float, unit: str, typed: str | None = None) -> str:
    """A number as it is shown elsewhere, without its unit and without gaps, so that it can be copied."""
    return quantity(value, unit, typed=typed, bare=True).replace(GAP, "")


def short_size(region: Region) -> str:
    """Kind and sizes of a feature in short: ``closed pocket 96 × 60 × 29 R13``, ``round hole ⌀6.8 × 20 (M8)``."""

    def size(value: float) -> str:
        return given(value, bare=True).replace(GAP, "")

    sides = f"⌀{size(region.width)}" if region.round else f"{size(region.length)} × {size(region.width)}"
    corners = f" R{size(region.corner_radius)}" if region.corner_radius else ""
    through = "" if region.floor or region.kind == "outside_profile" else " through"
    told = f"{alike(region)}{spaced(region.kind)} {sides} × {size(region.depth)}{corners}{through}"
    return f"{told}{_skin(region, size)}{marked(region)}"


def _skin(region: Region, size: Callable[[float], str]) -> str:
    """What is cut of a casting, forging or pre-machined feature, in short: the stock on its walls, or the floor."""
    if region.rough == "walls":
        return f" stock {size(region.strip or 0.0)}"
    return " floor" if region.rough == "floor" else ""


def short_word(method: str) -> str:
    """The short word for a method, the first that people type for it."""
    return next(iter(words_of("methods").ours[method]), spaced(method))


def short_entry(best: Candidate) -> str:
    """The entry in a word, or by which drill's hole; nothing where the cut has none of its own."""
    if best.entry is None or METHODS[best.method].by_drill:
        return ""
    return f"hole {printable(best.drill.id)}" if best.drill else spaced(best.entry).split()[0]


def levels_cell(plan: Plan) -> str:
    """Depth and number of levels of a table: of a helix those of its turns, of a drill the depth of its tip."""
    deep = figure(plan.axial_depth, "mm", DOWN)
    method = METHODS[plan.method]
    if method.by_drill:
        return f"{deep} tip"
    return f"{deep} × {plan.levels}"


def width_cell(plan: Plan) -> str:
    """The width of cut of a table."""
    method = METHODS[plan.method]
    if method.by_drill:
        return NOTHING
    return "full" if method.full_width else figure(plan.radial_width, "mm", DOWN)


def left_cell(region: Region, best: Candidate, plan: Plan) -> str:
    """Stock left on the wall and at the bottom, or how far past that the cutter goes."""
    wall = NOTHING if region.kind == "planar_face" else figure(left_on_walls(best, plan), "mm", UP)
    past = float(best.facts.get("overcut", 0.0))
    if past > 0:
        return f"{wall} / {figure(past, 'mm')} past"
    return f"{wall} / {figure(float(best.facts.get('bottom_allowance', 0.0)), 'mm', UP)}"


def _over_the_table() -> str:
    """The units of the columns."""
    length, feed, speed = (scale_of(unit).unit for unit in ("mm", "mm/min", "1/min"))
    return f"Part: lengths {length}, v_f {feed}, n {speed}; a_p × levels; stock left on wall / floor"


def _under_the_table(advice: Advice, part: WholePart) -> str:
    """The time of the part, and what is not in it."""
    cutters = f"{len(part.cutters)} cutter{'' if len(part.cutters) == 1 else 's'}"
    cutters += " and one for the corners that the crib lacks" if part.lacks_one else ""
    return f"Total {seconds(part.time)}: {cutters}, one tool change each.{not_counted(advice)}"


def cutter_table(cutters: Sequence[CutterUse]) -> Table:
    """The cutters of the part, each with its stick-out and the features that it serves."""
    rows = tuple(
        (
            printable(use.cutter.id),
            cutter_kind(use.cutter),
            millimetres(use.cutter.LPR),
            ", ".join(map(printable, use.features)),
        )
        for use in cutters
    )
    return Table(("id", "cutter", "stick-out", "features"), rows)


def caution_blocks(advice: Advice, part: WholePart) -> Iterator[Block]:
    """The cautions of the part by letter, each once, with the features that have it and its worst numbers; without
    those that stand before the first run.
    """
    base, first = advice.bench.base, _first(part)
    rest = tuple(_caution(alike, base) for alike in _by_letter(part) if alike not in first)
    if rest:
        yield Heading("Cautions", 2)
        yield Items(rest)


def _caution(alike: Sequence[PartCaution], base: RuleBase) -> Item:
    """A caution of the part: where it holds, what can go wrong, what to do."""
    text = " ".join((f"{_where(alike)}{_whose(alike, base)}: {_because(alike, base)}", *_remedies(alike, base)))
    return Item(text, "", f"{alike[0].letter}{' Safety,' if alike[0].rule.harm else ''}")


def _where(alike: Sequence[PartCaution]) -> str:
    """The features that a caution is about."""
    if alike[0].everywhere and len(alike[0].having) > 1:
        return "all"
    return ", ".join(dict.fromkeys(printable(name) for one in alike for name in one.features))


def _whose(alike: Sequence[PartCaution], base: RuleBase) -> str:
    """With whose numbers a caution is told, where those of its features differ."""
    told = {said(one.rule, answer.cautioned, base).text for one in alike for answer in one.having}
    return "" if len(told) == 1 else f" (numbers for {printable(alike[0].worst.region.id)})"


def _because(alike: Sequence[PartCaution], base: RuleBase) -> str:
    """What can go wrong, with the worst numbers."""
    return said(alike[0].rule, alike[0].worst.cautioned, base).text


def _remedies(alike: Sequence[PartCaution], base: RuleBase) -> Iterator[str]:
    """What to do; where that differs from feature to feature, with the features of each."""
    for one in alike:
        if one.rule.remedy:
            whose = f"{', '.join(map(printable, one.features))}: " if len(alike) > 1 else ""
            yield f"{whose}{fill(base, one.rule, one.rule.remedy, one.worst.cautioned)}"


def feature_lines(answer: FeatureAdvice, advice: Advice) -> Iterator[Block]:
    """A feature in a few lines: what the table has no room for, the reason, what limits it, the nearest other way and
    the nearest change.
    """
    base = advice.bench.base
    yield heading(answer)._replace(tight=True)
    if answer.best is None:
        obstacles = [obstacle(tried, rule, base).text for tried, rule in answer.obstacles][:MOST_OBSTACLES]
        yield Para(no_way(answer.region))
        rows = [("why not", text) for text in obstacles]
        rows += [("fix", text) for text in repair_texts(answer)[:MOST_OBSTACLES]]
        yield Pairs(tuple(rows) or (("why not", "The crib has no cutter for it."),))
        return
    yield Pairs(tuple(_lines(answer, answer.best, base)))


def _lines(answer: FeatureAdvice, best: Candidate, base: RuleBase) -> Iterator[tuple[str, str]]:
    if best.plan is not None:
        yield "set", "; ".join((*_settings(best, best.plan, base), *_entry(best)))
        yield "load", _load(best.plan)
    yield from each_line(answer.region, best)
    yield from rest_line(answer)
    if reason := _why(answer, best, base):
        yield "why", reason
    if best.grade != "good" and (doubts := _against(answer, best, base)):
        yield "against", doubts
    if limits := limits_text(best, base):
        yield "limit", limits
    if (other := nearest(answer.alternatives)) is not None:
        yield "or", _otherwise(best, other.candidate)
    turning = (one for one in nearest_changes(answer) if one.method is not None)  # a mere limit is no change
    for change in list(filter(of_the_drawing, turning))[:1]:
        yield "change", _change(change)
    if own := " ".join(own_changes(answer, base)):
        yield "house", own


def _settings(best: Candidate, plan: Plan, base: RuleBase) -> Iterator[str]:
    """The settings that the part table has no room for, each with its symbol."""
    facts, method = best.facts, METHODS[best.method]
    if "feed_per_revolution" in plan.facts:
        yield f"f_n {millimetres(float(plan.facts['feed_per_revolution']), DOWN)}/rev"
    else:
        yield f"f_z {millimetres(plan.feed_per_tooth, DOWN)}"
    yield f"v_c {fact_text(base, 'cutting_speed', facts)}"
    if method.by_drill:
        yield f"{millimetres(float(plan.facts['full_depth']), DOWN)} at full diameter"
    elif not method.full_width:
        yield f"a_e {quantity(plan.radial_width / plan.cutter.DC, 'share')} of DC, engaged {engagement_text(plan)}"
    if "opening_length" in facts:
        yield f"first cut of a level {fact_text(base, 'opening_feed', facts)}"
    if "centre_feed" in facts:
        yield f"v_f is for the cutter's centre, {quantity(plan.feed_rate, 'mm/min', typed=DOWN)} at the wall"
    if "cone_height" in facts and float(facts["cone_height"]) > 0:
        yield f"last {fact_text(base, 'cone_height', facts)} at {fact_text(base, 'cone_feed', facts)}"
    if (last := thinner_last(plan)) is not None:
        yield f"last level {millimetres(last, DOWN)}"


def _entry(best: Candidate) -> Iterator[str]:
    """The entry with its angle and feed, where it is more than a roll-in at the full feed."""
    feed, plan = entry_feed(best), best.plan
    if plan is None or best.entry is None or METHODS[best.method].by_drill:
        return
    if best.entry_kind.from_the_side:
        if feed is not None and feed < plan.feed_rate:
            yield f"arc in at {quantity(feed, 'mm/min', typed=DOWN)}"
        return
    if best.drill is not None:  # its row of the part table tells the hole
        place = entry_place(best).removeprefix(", ")
        down = f"down the hole, v_f {quantity(feed, 'mm/min', typed=DOWN)}" if feed is not None else ""
        yield from filter(None, (" ".join((ENTRY_HOLE, place)) if place else "", down))
        return
    told = entry_line(best)
    if best.way_in is not None and best.way_in.ramp_angle is not None and "helix_bore" not in best.facts:
        told += f" at {quantity(best.way_in.ramp_angle, 'deg', typed=DOWN)}"
    if feed is not None and "helix_feed" not in best.facts:
        told += f", v_f {quantity(feed, 'mm/min', typed=DOWN)}"
    yield told


def _load(plan: Plan) -> str:
    load = plan.load
    power = share_of(load.power, load.power_available, "kW")
    told = f"{power}, {share_of(load.torque, load.torque_available, 'Nm')}"
    if load.force > 0:
        bent = "tip and wall bend" if plan.facts.get("wall_deflection") else "tip bends"
        told += f"; {quantity(load.force, 'N')}, {bent} {millimetres(load.deflection)}"
    return told + (f"; thrust {quantity(plan.facts['thrust'], 'N')}" if "thrust" in plan.facts else "")


def _why(answer: FeatureAdvice, best: Candidate, base: RuleBase) -> str:
    """The reason in a sentence or two: what puts it first where no rule speaks for it, and the first rule that is for
    it; of a good way without one, the first that is against it.
    """
    verdicts = ("for", "against") if best.grade == "good" else ("for",)
    carrying = [rule for rule in reasons(answer) if rule.verdict in verdicts]
    told = [] if answer.chosen is None else [choice_text(answer.chosen, base)]
    told += [_reason(rule, best, base) for rule in carrying[:1]]
    return " ".join(told)


def _against(answer: FeatureAdvice, best: Candidate, base: RuleBase) -> str:
    """What makes the way no good one, a sentence a rule, the gravest first."""
    doubts = [rule for rule in reasons(answer) if rule.verdict == "against"]
    gravest = sorted(doubts, key=lambda rule: WEIGHTS.index(rule.weight or WEIGHTS[-1]))
    return " ".join(_reason(rule, best, base) for rule in gravest[:MOST_DOUBTS])


def _reason(rule: Rule, best: Candidate, base: RuleBase) -> str:
    """The first sentence of a rule with the numbers of the way, and the mark of a shop's change."""
    return f"{first_sentence(fill(base, rule, rule.because, best.facts))}{mark(rule, base)}"


def first_sentence(text: str) -> str:
    """The first sentence of a text."""
    return re.split(r"(?<=\.) (?=[A-Z])", text, maxsplit=1)[0]


def limits_text(best: Candidate, base: RuleBase) -> str:
    """What limits the settings, the greatest reductions alone: from what to what, and by what most."""
    found: dict[str, list[Held]] = {}
    for held in held_back(best):
        found.setdefault(held.setting, []).append(held)
    whole = [
        max(steps, key=_reduction)._replace(before=steps[0].before, after=steps[-1].after) for steps in found.values()
    ]
    told = sorted((held for held in whole if abs(_reduction(held)) >= WORTH_A_WORD), key=_reduction, reverse=True)
    return "; ".join(held_text(held, base, SYMBOLS) for held in told[:MOST_LIMITS])


def _reduction(held: Held) -> float:
    return 1 - held.after / held.before if held.before else 0.0


def nearest(alternatives: Sequence[Alternative]) -> Alternative | None:
    """The other way that comes nearest to being advised: of the best grade, the quickest."""
    allowed = [one for one in alternatives if one.candidate.grade != "forbidden"]
    return min(allowed, key=lambda one: (GRADES.index(one.candidate.grade), one.candidate.time), default=None)


def _otherwise(best: Candidate, rival: Candidate) -> str:
    """Another way in a line: what it is, its grade, and its time beside that of the advised one."""
    mine, other = apart(best.time, rival.time, "s")
    return f"{_short_way(rival)}: {rival.grade}, {other} against {mine}"


def _short_way(way: Candidate) -> str:
    """A way by the short words for it: method, cutter, entry."""
    return ", ".join(filter(None, (short_word(way.method), printable(way.cutter.id), short_entry(way))))


def _change(change: Breakpoint) -> str:
    """A change of the input in a line, and the way that is advised beyond it."""
    method = change.method or ""
    entry = f", {spaced(change.entry).split()[0]}" if change.entry and not METHODS[method].by_drill else ""
    return f"{changed_text(change)}: {short_word(method)}, {printable(change.cutter or '')}{entry}"


def end_blocks(advice: Advice) -> Iterator[Block]:
    """What was not given, once, and how to ask on."""
    if not advice.features:
        return
    missing: dict[str, list[str]] = {}
    for answer in advice.features:
        for item in answer.not_asked:
            if not item.idle:
                missing.setdefault(item.missing, []).append(printable(answer.region.id))
    if missing:
        yield Heading("Not given, so not checked", 2)
        told = "; ".join(f"{name} ({', '.join(ids)})" for name, ids in missing.items())
        yield Para(f"{told}.")
    else:
        yield Heading("More", 2)
    first = printable(advice.features[0].region.id)
    yield Para(f"roughing why JOB {first} tells all of one feature; --full all of every feature.")
