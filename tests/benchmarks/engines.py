"""The inference beside other engines: ``python -m tests.benchmarks.engines [PASSES]``.

Every question that the advice asks over all shipped cases is noted: a family of rules, and the facts. Then the same
rules are asked the same questions, in the same process, by

- our inference as the advice uses it, once with nothing remembered and once with all of it;
- durable-rules alone, every question;
- CLIPS through clipspy, every question (``pip install clipspy``, the extra ``benchmark``; left out where it is absent);
- the conditions compiled to one Python function a family;
- the Python evaluator, which interprets them.

All must fire the same rules. Told are ratios to CLIPS, and the time of the whole advice beside them.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from advisor.choosing.advice import advise
from advisor.inference import Inference, durable, evaluator, start
from advisor.inference.questions import Witnessed
from advisor.knowledge.conditions import All, Compare, Condition, Facts, Known
from advisor.knowledge.schema import Rule
from advisor.knowledge.shipped import rule_base
from advisor.model.assignment import Assignment
from advisor.paths import cases_dir
from advisor.readers.assignment import read_assignment
from advisor.situation.bench import bench_of

PASSES = 5
Fired = frozenset[str]
Answer = Callable[[Facts], Fired]


class Question(NamedTuple):
    """A family of rules, by its place among all of them, and the facts it is asked about, quantised."""

    family: int
    facts: Facts


class Noted(NamedTuple):
    """Every family that was asked, and every question in turn."""

    families: list[Sequence[Rule]]
    questions: list[Question]


def assignments() -> list[Assignment]:
    """Return every shipped case without rules of its own."""
    found = [read_assignment(path) for path in sorted(cases_dir().glob("*/job.yaml"))]
    return [assignment for assignment in found if assignment.house is None]


def noted(inference: Inference, asked: Sequence[Assignment]) -> Noted:
    """Return the questions that the advice asks; each with the facts that its family reads."""
    places: dict[int, int] = {}
    found = Noted([], [])
    answer = Witnessed.ask

    def listening(family: Witnessed, facts: Facts) -> tuple[Rule, ...]:
        if id(family) not in places:
            places[id(family)] = len(found.families)
            found.families.append(tuple(family.rules.values()))
        found.questions.append(Question(places[id(family)], family.question(facts)))
        return answer(family, facts)

    Witnessed.ask = listening  # type: ignore[method-assign]
    try:
        for assignment in asked:
            advise(assignment, bench_of(assignment, inference))
    finally:
        Witnessed.ask = answer  # type: ignore[method-assign]
    return found


def ours(rules: Sequence[Rule]) -> Witnessed:
    """Return our inference for a family: memory, engine and witness."""
    return Witnessed(rules, durable.Family)


def compiled(rules: Sequence[Rule]) -> Answer:
    """Return one Python function with all conditions of a family written out."""
    names: dict[str, str] = {}
    lines = [f"    if {_python(rule.condition, names)}: fired.append({rule.id!r})" for rule in rules]
    read = [f"    {variable} = get({fact!r})" for fact, variable in names.items()]
    text = "\n".join(["def ask(facts):", "    get, fired = facts.get, []", *read, *lines, "    return fired"])
    space: dict[str, Any] = {}
    exec(compile(text, "<compiled>", "exec"), space)  # the text is made here, of a checked rule base
    ask: Answer = space["ask"]
    return ask


def _python(condition: Condition, names: dict[str, str]) -> str:
    if isinstance(condition, Compare | Known):
        variable = names.setdefault(condition.fact, f"x{len(names)}")
        if isinstance(condition, Known):
            return f"{variable} is {'not ' if condition.present else ''}None"
        operator = "==" if condition.operator == "=" else condition.operator
        return f"({variable} is not None and {variable} {operator} {condition.value!r})"
    word, nothing = (" and ", "True") if isinstance(condition, All) else (" or ", "False")
    return f"({word.join(_python(part, names) for part in condition.parts) or nothing})"


class Clips:
    """A family in CLIPS: a template with a slot a fact, and a rule for each of ours; built once, reset a question."""

    def __init__(self, rules: Sequence[Rule], clips: Any) -> None:
        self.slots = {
            fact: f"s{place}"
            for place, fact in enumerate(dict.fromkeys(f for rule in rules for f in _facts(rule.condition)))
        }
        self.environment = clips.Environment()
        slots = " ".join(f"(slot {slot} (default nil))" for slot in self.slots.values())
        self.environment.build(f"(deftemplate question (slot asked) {slots})")
        self.environment.build("(defglobal ?*fired* = (create$))")
        for rule in rules:
            self.environment.build(self._rule(rule))
        self.template = self.environment.find_template("question")
        self.fired = self.environment.find_global("fired")
        self.empty = self.fired.value

    def _rule(self, rule: Rule) -> str:
        """A rule whose simple comparisons stand in the pattern, where CLIPS tests them first, and the rest after it."""
        simple: dict[str, list[str]] = {}
        nested = []
        for part in rule.condition.parts if isinstance(rule.condition, All) else (rule.condition,):
            if isinstance(part, Compare | Known):
                simple.setdefault(part.fact, []).append(self._test(part))
            else:
                nested.append(f"(test {self._test(part)})")
        slots = " ".join(
            f"({slot} ?{slot}{''.join(f'&:{test}' for test in simple.get(fact, ()))})"
            for fact, slot in self.slots.items()
            if fact in _facts(rule.condition)
        )
        tests = " ".join(nested)
        return f'(defrule r-{rule.id} (question {slots}) {tests} => (bind ?*fired* (create$ ?*fired* "{rule.id}")))'

    def _test(self, condition: Condition) -> str:
        if isinstance(condition, Known):
            return f"(neq ?{self.slots[condition.fact]} nil)" if condition.present else self._absent(condition.fact)
        if isinstance(condition, Compare):
            slot, value = f"?{self.slots[condition.fact]}", condition.value
            if isinstance(value, str):
                same = f'({"eq" if condition.operator == "=" else "neq"} {slot} "{value}")'
                return same if condition.operator == "=" else f"(and (neq {slot} nil) {same})"
            operator = "<>" if condition.operator == "!=" else condition.operator
            return f"(and (neq {slot} nil) ({operator} {slot} {value!r}))"
        word = "and" if isinstance(condition, All) else "or"
        return f"({word} {' '.join(self._test(part) for part in condition.parts)})"

    def _absent(self, fact: str) -> str:
        return f"(eq ?{self.slots[fact]} nil)"

    def ask(self, facts: Facts) -> list[str]:
        """Return the rules that fire."""
        self.fired.value = self.empty
        fact = self.template.assert_fact(**{self.slots[name]: value for name, value in facts.items()})
        self.environment.run()
        fired = list(self.fired.value)
        fact.retract()
        return fired


def _facts(condition: Condition) -> list[str]:
    if isinstance(condition, Compare | Known):
        return [condition.fact]
    return [fact for part in condition.parts for fact in _facts(part)]


def seconds(ask: Sequence[Callable[[Facts], object]], questions: Sequence[Question]) -> float:
    """Return how long it takes to ask all of them [s], of the processor's time."""
    start_ = time.process_time()
    for family, facts in questions:
        ask[family](facts)
    return time.process_time() - start_


def check(name: str, ask: Sequence[Callable[[Facts], Any]], asked: Noted) -> None:
    """Hold every answer against the evaluator's. Raises AssertionError."""
    witness = [evaluator.Family(rules) for rules in asked.families]
    for family, facts in asked.questions:
        fired = {getattr(rule, "id", rule) for rule in ask[family](facts)}
        assert fired == set(witness[family].ask(facts)), (name, facts)


def engines(asked: Noted) -> dict[str, list[Callable[[Facts], Any]]]:
    """Return what can be asked of each family, by the name of the engine."""
    found: dict[str, list[Callable[[Facts], Any]]] = {
        "ours, nothing remembered": [ours(rules).ask for rules in asked.families],
        "ours, all remembered": [ours(rules).ask for rules in asked.families],
        "durable-rules, every question": [durable.Family(rules).ask for rules in asked.families],
        "compiled to one Python function": [compiled(rules) for rules in asked.families],
        "Python evaluator": [evaluator.Family(rules).ask for rules in asked.families],
    }
    try:
        import clips
    except ImportError:
        print("clipspy is not installed (the extra `benchmark`): CLIPS is left out")
    else:
        found["CLIPS through clipspy"] = [Clips(rules, clips).ask for rules in asked.families]
    return found


def forget(ask: Sequence[Any]) -> None:
    """Make our inference forget its answers."""
    for bound in ask:
        bound.__self__.answers.clear()


def main() -> None:
    """Run all of it and print."""
    passes = int(sys.argv[1]) if len(sys.argv) > 1 else PASSES
    jobs = assignments()
    inference = start(rule_base(), "durable")
    whole = [_advice(jobs, inference) for _ in range(passes + 1)]
    fresh, asked = inference.questions, noted(inference, jobs)
    features = sum(len(job.job.features) for job in jobs)
    print(
        f"{len(jobs)} cases, {features} features, {len(rule_base().rules)} rules: {len(asked.questions)} questions of"
    )
    print(f"{len(asked.families)} families, {fresh} of them different to their rules; medians of {passes} passes\n")
    found = engines(asked)
    times: dict[str, list[float]] = {name: [] for name in found}
    for name, ask in found.items():
        check(name, ask, asked)
    for _ in range(passes):
        for name, ask in found.items():
            if name == "ours, nothing remembered":
                forget(ask)
            times[name].append(seconds(ask, asked.questions))
    middle = {name: statistics.median(found) for name, found in times.items()}
    beside = middle.get("CLIPS through clipspy", middle["durable-rules, every question"])
    name = "CLIPS" if "CLIPS through clipspy" in middle else "durable-rules"
    print(f"{'':34}      ms  µs a question  ratio to {name}")
    for which, spent in sorted(middle.items(), key=lambda item: item[1]):
        each = 1e6 * spent / len(asked.questions)
        print(f"{which:34} {1000 * spent:7.0f} {each:14.1f} {spent / beside:9.2f}")
    print("\nwhole advice, all arithmetic included")
    for which, spent in (("first time, rulesets built", whole[0]), ("later", statistics.median(whole[1:]))):
        print(f"{which:34} {1000 * spent:7.0f} {'':14} {spent / beside:9.2f}")


def _advice(jobs: Sequence[Assignment], inference: Inference) -> float:
    begun = time.process_time()
    for job in jobs:
        advise(job, bench_of(job, inference))
    return time.process_time() - begun


if __name__ == "__main__":
    main()
