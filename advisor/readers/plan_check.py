"""A plan held against its job and crib: unknown ids, numbers that cannot be true of the cutter, contradictions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from advisor.files.checking import raise_if_any
from advisor.files.problems import Problem, listed, nearest_word, shown
from advisor.files.unit_scales import plain, plain_length, scale_of, showing
from advisor.files.units import MM_PER_INCH
from advisor.knowledge.assumptions import assumed
from advisor.mechanics.lengths import exceeds, reaches
from advisor.model.assignment import Assignment
from advisor.model.cutter import Cutter
from advisor.model.features import FeatureBase
from advisor.model.operations import Operation, Plan
from advisor.model.region import regions_of

NUMBERS = ("axial_depth", "radial_width", "levels", "feed_per_tooth", "feed_rate", "spindle_speed", "ramp_angle")
LEFT = ("allowance_side", "allowance_bottom", "overcut")
UNITS = {"axial_depth": "mm", "radial_width": "mm", "feed_per_tooth": "mm", "feed_rate": "mm/min"}


def check_plan(plan: Plan, assignment: Assignment) -> None:
    """Nothing where the plan can be meant for this job and crib.

    Raises:
        BadInput: with everything that contradicts job, crib, or the plan itself.
    """
    features = {feature.id: feature for feature in assignment.job.features}
    crib = {cutter.id: cutter for cutter in assignment.crib}
    with showing(plan.units):
        problems = [*_unknown(plan, assignment)]
        problems += [problem for operation in plan.operations for problem in _of_one(operation, features, crib)]
        if plan.units == "inch":
            problems += [problem for operation in plan.operations for problem in _not_in_inches(operation, features)]
        problems += _deeper_than_the_floor(plan, assignment.job.parts, features)
        problems += _twice(plan)
    raise_if_any(problems)


def check_names(plan: Plan, assignment: Assignment) -> None:
    """Nothing where job and crib have all features and cutters that the plan names.

    Raises:
        BadInput: with all that they do not have.
    """
    raise_if_any([*_unknown(plan, assignment)])


def name_of(operation: Operation) -> str:
    """An operation as a fault names it."""
    return f"operation {operation.number}"


def _problem(operation: Operation, field: str, found: str, wanted: str, nearest: str | None = None) -> Problem:
    return Problem(operation.file, operation.line, f"{name_of(operation)}.{field}", found, wanted, nearest)


def _unknown(plan: Plan, assignment: Assignment) -> Iterator[Problem]:
    """Yield what a plan names that job and crib do not have; of a feature that is answered in two, which these are."""
    features = {feature.id for feature in assignment.job.features}
    known, crib = [feature.id for feature in assignment.job.features], [cutter.id for cutter in assignment.crib]
    cutters = set(crib)
    for operation in plan.operations:
        for name in operation.features:
            if name not in features:
                wanted, parts = f"a feature of the job: {listed(known)}", assignment.job.parts.get(name)
                wanted = wanted if parts is None else in_parts_text(parts)
                yield _problem(operation, "feature", shown(name), wanted, nearest_word(name, () if parts else known))
        for field in ("cutter", "entry_cutter"):
            asked = getattr(operation.row, field)
            if asked is not None and asked not in cutters:
                wanted = f"a cutter of the crib: {listed(crib)}"
                yield _problem(operation, field, shown(asked), wanted, nearest_word(asked, crib))


def in_parts_text(parts: Sequence[str]) -> str:
    """Which of the two that a feature is answered as is to be named, and why there are two."""
    return f"{' or '.join(parts)}: stock on the walls and stock on the floor are two cuts"


def _of_one(operation: Operation, features: Mapping[str, FeatureBase], crib: Mapping[str, Cutter]) -> Iterator[Problem]:
    row = operation.row
    for feature in operation.features:
        if feature not in features:
            continue
        depth, to_cut = features[feature].depth, regions_of(features[feature])[0].depth
        if row.allowance_bottom is not None and reaches(row.allowance_bottom, to_cut):
            less = f"less than the {plain_length(to_cut)} that "
            wanted = less + (f"{feature} is deep" if to_cut == depth else f"stay on the floor of {feature}")
            yield _problem(operation, "allowance_bottom", plain_length(row.allowance_bottom), wanted)
        thinnest = depth / assumed("bounds", "levels_most")
        if row.axial_depth is not None and exceeds(thinnest, row.axial_depth):
            wanted = f"{plain(thinnest, 'mm', 1, 3)} or more: {feature} is {plain_length(depth)} deep"
            yield _problem(operation, "axial_depth", plain_length(row.axial_depth), wanted)
        for fault in features[feature].side_faults(row.allowance_side):
            yield _problem(operation, "allowance_side", fault.found or "", f"{fault.wanted} of {feature}")
    drill = crib.get(row.entry_cutter or "")
    if drill is not None and not drill.kind.drill:
        yield _problem(operation, "entry_cutter", f"{drill.id}, which is no drill", "a drill of the crib")
    if row.entry_cutter is not None and row.entry is not None and not row.entry_kind.needs_drill:
        yield _problem(operation, "entry_cutter", f"a drill for {row.entry}", "predrilled_hole, or no entry_cutter")
    cutter = crib.get(row.cutter)
    if cutter is not None:
        yield from _numbers(operation, cutter)


def _deeper_than_the_floor(
    plan: Plan, parts: Mapping[str, Sequence[str]], features: Mapping[str, FeatureBase]
) -> Iterator[Problem]:
    """One level for walls and floor of a casting that is deeper than one of the two: nobody knows for which it is."""
    for operation in plan.operations:
        level = operation.row.axial_depth
        for two in parts.values():
            if level is None or not set(two) <= set(operation.features):
                continue
            for name in two:
                depth = regions_of(features[name])[0].depth
                if exceeds(level, depth):
                    found = f"{plain_length(level)} for {' and '.join(two)}"
                    wanted = f"{' or '.join(two)} alone as the feature: {name} is {plain_length(depth)} deep"
                    yield _problem(operation, "axial_depth", found, wanted)


def _not_in_inches(operation: Operation, features: Mapping[str, FeatureBase]) -> Iterator[Problem]:
    """A level that no feature here is deep enough for, unless its number is in mm."""
    deep = operation.row.axial_depth
    most = max((features[name].depth for name in operation.features if name in features), default=None)
    if deep is None or most is None:
        return
    far = assumed("bounds", "level_beyond_depth") * most
    if deep > far >= deep / MM_PER_INCH:
        found = f"{deep / MM_PER_INCH:.4g} in ({deep:.4g} mm) where {plain(most, 'mm', figures=4)} are to be cut"
        yield _problem(operation, "axial_depth", found, f"its unit, such as '{deep / MM_PER_INCH:.4g} mm', or inches")


def _numbers(operation: Operation, cutter: Cutter) -> Iterator[Problem]:
    row, tooth = operation.row, operation.row.feed_per_tooth
    if row.radial_width is not None and exceeds(row.radial_width, cutter.DC):
        wanted = f"at most the {plain_length(cutter.DC)} that {cutter.id} is wide, in the unit that is meant"
        yield _problem(operation, "radial_width", plain_length(row.radial_width), wanted)
    if tooth is not None and row.feed_rate is not None and row.spindle_speed is not None:
        found = tooth * cutter.ZEFP * row.spindle_speed
        if abs(found - row.feed_rate) > assumed("bounds", "feed_agreement") * max(found, row.feed_rate):
            given = f"{plain_length(tooth)}, {cutter.ZEFP} teeth and {row.spindle_speed:g} /min"
            wanted = f"{plain(found, 'mm/min', figures=4)}, as {given} give, or one of the three left out"
            yield _problem(operation, "feed_rate", plain(row.feed_rate, "mm/min"), wanted)


def _twice(plan: Plan) -> Iterator[Problem]:
    """Operations with one method and cutter on one feature whose numbers differ, though both are to leave the same:
    nobody knows which is meant. Where the one leaves more than the other, they are stages.
    """
    first: dict[tuple[str, str, str | None], Operation] = {}
    for operation in plan.operations:
        for feature in operation.features:
            key = feature, operation.row.cutter, operation.row.method
            earlier = first.setdefault(key, operation)
            if any(getattr(earlier.row, field) != getattr(operation.row, field) for field in LEFT):
                continue
            for field in NUMBERS:
                one, other = getattr(earlier.row, field), getattr(operation.row, field)
                if earlier is not operation and None not in (one, other) and one != other:
                    unit = UNITS.get(field, "")
                    values = [plain(value, unit).removesuffix(f" {scale_of(unit).unit}") for value in (other, one)]
                    found = (
                        f"{values[0]} for {feature} with {operation.row.cutter}, and {values[1]} in {name_of(earlier)}"
                    )
                    yield _problem(operation, field, found, "one of the two")
