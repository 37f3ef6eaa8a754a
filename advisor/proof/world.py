"""A rule base as the solver sees it: which rules fire together with which facts, and what was asked by then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from time import monotonic
from typing import Any as Anything
from typing import NamedTuple

import z3

from advisor.knowledge.formulas import names
from advisor.knowledge.measures import JUDGING, LEVELS
from advisor.knowledge.schema import Rule, RuleBase, reads
from advisor.proof.domains import PLANNED, constraints, usual
from advisor.proof.formulas import Constraint
from advisor.proof.translate import Term, fails, holds, known, meant, number, seen

REVIEW = "review"
HUBS = frozenset(("feature", "method", "body", "entry", "open_side", "floor", "group", "material_class"))
IMPOSSIBLE, POSSIBLE, UNDECIDED = "impossible", "possible", "undecided"
BESIDE: dict[str, tuple[str, ...]] = {
    "narrowest_width": ("width", "length", "island", "island_length", "open_sides", "open_at"),
    "fit_width": ("narrowest_width", "width", "length", "island", "island_length", "open_sides", "open_at"),
}
BESIDE |= {"ramp_strokes": ("length", "side_allowance", "DC"), "hole_diameter": ("DC",)}
BESIDE |= {
    "drill_depth": (
        *("drill_point", "point_angle", "DC", "depth_to_cut", "bottom_allowance", "flat_floor"),
        *("axial_depth", "LPR", "LU", "APMX"),
    ),
    "hole_depth": (
        *("hole_point", "hole_diameter", "depth", "bottom_allowance", "floor", "top"),
        *("hole_reach_margin", "hole_flute_margin", "hole_holder_margin"),
    ),
}
BESIDE |= dict.fromkeys(("hole_thrust", "hole_power_share", "hole_chip_kept", "hole_beyond"), ("hole_diameter",))
BESIDE |= dict.fromkeys(("hole_substrate", "hole_inserts", "hole_ground_here"), ("hole_diameter",))
BESIDE |= {f"hole_{name}_margin": ("hole_depth",) for name in ("reach", "flute", "holder")}
BESIDE |= {"overcut": ("bottom_policy",), "bottom_allowance": ("bottom_policy", "depth")}


class Answer(NamedTuple):
    """Whether something can be, and, where it can, facts under which it is; ``seconds`` that the solver took."""

    can_be: str
    facts: Mapping[str, float | str]
    seconds: float


@dataclass(frozen=True)
class World:
    """A rule base with what is true of all facts, as terms of the solver; ``timeout`` in seconds a question.

    ``told`` keeps the conditions of rules once they are translated.
    """

    base: RuleBase
    truths: tuple[Constraint, ...]
    overriding: Mapping[str, tuple[Rule, ...]]
    timeout: float
    told: dict[str, tuple[Term, Term]] = field(default_factory=dict)


def world_of(base: RuleBase, timeout: float) -> World:
    """The world of a rule base."""
    overriding = {rule.id: tuple(one for one in base.rules if overrides(one, rule)) for rule in base.rules}
    return World(base, constraints(base), overriding, timeout)


def overrides(one: Rule, other: Rule) -> bool:
    """Whether a rule is declared to take precedence over another."""
    return other.id in one.overrides or (one.outright and other.verdict == "for")


def fires(rule: Rule) -> Term:
    """That a rule fires."""
    return z3.Bool(f"{rule.id}!")


def stands(rule: Rule, world: World) -> Term:
    """That a rule fires, and none that overrides it."""
    return z3.And(fires(rule), *(z3.Not(fires(other)) for other in world.overriding[rule.id]))


def together(world: World, firing: Iterable[Rule], silent: Iterable[Rule] = (), in_turn: bool = True) -> Answer:
    """Whether these rules can fire for one candidate while those are silent.

    The solver is asked with ever more that is true of facts, and the first no is one: ranges and tables; formulas;
    what must have been silent for these rules to be asked at all, first without and then with its own formulas. Advice
    asks ``in_turn``, and what is forbidden by then no further; a review asks all judging rules side by side.
    """
    firing, silent = tuple(firing), tuple(silent)
    about, guards = [*firing, *silent], _before(firing, world) if in_turn else []
    chosen = any(rule.stage == REVIEW for rule in about)
    begun, spent = monotonic(), 0.0
    near, far = _cone(about, world), _cone([*about, *guards], world)
    answer = Answer(UNDECIDED, {}, 0.0)
    for cone, nonlinear, asked in ((near, frozenset(), ()), (near, near, ()), (far, near, guards), (far, far, guards)):
        if asked is guards and not guards:
            continue
        solver = z3.Solver()
        solver.set("timeout", max(1, int(1000 * (world.timeout - spent))))
        solver.add(*_truths(world, cone, nonlinear, chosen))
        solver.add(*_rules(world, cone, [*about, *asked]))
        solver.add(*map(fires, firing), *(z3.Not(fires(rule)) for rule in silent))
        solver.add(*_asked(firing, world, asked or (about if in_turn else ())))
        found = str(solver.check())
        spent = monotonic() - begun
        if found == "unsat":
            return Answer(IMPOSSIBLE, {}, spent)
        answer = (
            Answer(POSSIBLE, _handy(solver, cone, world), spent) if found == "sat" else Answer(UNDECIDED, {}, spent)
        )
    return answer


def _handy(solver: Anything, cone: frozenset[str], world: World) -> Mapping[str, float | str]:
    """Facts under which the solver's constraints hold, of a size that jobs have where there are such."""
    model = solver.model()
    solver.push()
    solver.add(*(truth.term for truth in usual(world.base) if truth.facts <= cone))
    numbers = (measure for fact in cone if (measure := world.base.measures[fact]).numeric)
    solver.add(*(seen(measure) == meant(measure) for measure in numbers))
    if str(solver.check()) == "sat":
        model = solver.model()
    solver.pop()
    return _facts(model, cone, world)


def _before(firing: Iterable[Rule], world: World) -> list[Rule]:
    """The rules that must not have forbidden the candidate before one of these is asked."""
    found: dict[str, Rule] = {}
    for rule in firing:
        for other in world.base.rules:
            if other.verdict == "forbids" and other.id != rule.id and earlier(other, rule):
                found[other.id] = other
    return list(found.values())


def earlier(forbidding: Rule, rule: Rule) -> bool:
    """Whether a candidate that one rule forbids is not asked about the other: candidates are judged level by level,
    and cautions are for the advised way alone.
    """
    if rule.stage in JUDGING:
        return LEVELS.index(forbidding.level) < LEVELS.index(rule.level) and not {forbidding.level, rule.level} <= {
            "feature",
            "cutter",
        }
    return rule.stage == "caution" and rule.level != "feature"


def _asked(firing: Iterable[Rule], world: World, among: Iterable[Rule]) -> Iterator[Term]:
    """That rules are asked: of these others none has forbidden the candidate by then."""
    for rule in firing:
        for other in among:
            if other.verdict == "forbids" and other.id != rule.id and earlier(other, rule):
                yield z3.Not(stands(other, world))
        if (rule.stage in JUDGING and rule.level == "candidate") or (
            rule.stage == "caution" and rule.level != "feature"
        ):
            yield z3.Bool(PLANNED)


def _cone(rules: Iterable[Rule], world: World) -> frozenset[str]:
    """The facts that bear on whether rules fire, through conclusions and formulas."""
    base = world.base
    waiting = [fact for rule in (*rules,) for one in (rule, *world.overriding[rule.id]) for fact in reads(one)]
    found: set[str] = set(HUBS)
    while waiting:
        fact = waiting.pop()
        if fact in found and fact not in HUBS:
            continue
        found.add(fact)
        measure = base.measures[fact]
        more = {name for _, formula in measure.formulas for name in names(formula) if name in base.measures}
        more.update(BESIDE.get(fact, ()))
        for rule in _concluding(fact, world):
            more |= {name for one in (rule, *world.overriding[rule.id]) for name in reads(one)}
        waiting += [name for name in more if name not in found]
    return frozenset(found)


def _concluding(fact: str, world: World) -> list[Rule]:
    return [rule for rule in world.base.rules if rule.concludes and rule.concludes[0] == fact]


def _truths(world: World, cone: frozenset[str], nonlinear: frozenset[str], chosen: bool) -> Iterator[Term]:
    """What is true of these facts; of a way that somebody chose, what no advice would do may be true as well."""
    for truth in world.truths:
        if not (chosen and truth.advised) and truth.facts <= (cone if truth.linear else nonlinear):
            yield truth.term


def _rules(world: World, cone: frozenset[str], rules: Iterable[Rule]) -> Iterator[Term]:
    """That rules fire just where their conditions hold, and that what they conclude is so."""
    measures = world.base.measures
    concluding = {fact: found for fact in cone if (found := _concluding(fact, world))}
    every = {
        one.id: one
        for rule in (*rules, *(r for found in concluding.values() for r in found))
        for one in (rule, *world.overriding[rule.id])
    }
    for rule in every.values():
        if reads(rule) <= cone:
            if rule.id not in world.told:
                term, unmet = holds(rule.condition, measures), fails(rule.condition, measures)
                world.told[rule.id] = z3.Implies(fires(rule), term), z3.Implies(z3.Not(fires(rule)), unmet)
            yield from world.told[rule.id]
    for fact, found in concluding.items():
        yield z3.Implies(known(fact), z3.Or(*(stands(rule, world) for rule in found)))
        for rule in found:
            assert rule.concludes is not None
            concluded, measure = rule.concludes[1], measures[fact]
            what = measure.words.index(concluded) if isinstance(concluded, str) else number(concluded)
            yield z3.Implies(stands(rule, world), z3.And(known(fact), seen(measure) == what))


def _facts(model: Anything, cone: Iterable[str], world: World) -> Mapping[str, float | str]:
    """The facts of a model, as far as they are there."""
    found: dict[str, float | str] = {}
    for fact in sorted(cone):
        measure = world.base.measures[fact]
        if not z3.is_true(model.eval(known(fact), model_completion=True)):
            continue
        what = model.eval(meant(measure), model_completion=True)
        found[fact] = measure.words[what.as_long()] if measure.words else _number(what)
    return found


def _number(what: Anything) -> float:
    if z3.is_algebraic_value(what):
        what = what.approx(12)
    return float(what.as_fraction())
