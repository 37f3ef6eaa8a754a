"""The advice as it would be without some rules: they are dropped, and the whole is worked out anew."""

from __future__ import annotations

from collections.abc import Collection

from advisor.choosing.advice import advise_feature
from advisor.coach.scene import Scene
from advisor.inference import Inference
from advisor.inference.questions import Places
from advisor.knowledge.conditions import Facts
from advisor.knowledge.schema import Rule
from advisor.model.candidate import Candidate


class Without(Inference):
    """An inference that passes over some rules; every question still goes to the one it stands before."""

    def __init__(self, inner: Inference, dropped: Collection[Rule]) -> None:
        self.base, self.name = inner.base, inner.name
        self._inner, self._dropped = inner, frozenset(rule.id for rule in dropped)

    def every(
        self, stages: tuple[str, ...], levels: tuple[str, ...], facts: Facts, method: str | None = None
    ) -> tuple[Rule, ...]:
        """The rules that fire, less those dropped."""
        return self._kept(self._inner.every(stages, levels, facts, method))

    def fired(self, stage: str, level: str, facts: Facts, method: str | None = None) -> tuple[Rule, ...]:
        """The rules of a stage and level that fire, less those dropped."""
        return self._kept(self._inner.fired(stage, level, facts, method))

    def places(self, stages: tuple[str, ...], levels: tuple[str, ...], methods: tuple[str, ...]) -> Places:
        """All that the rules can tell of facts, those dropped included."""
        return self._inner.places(stages, levels, methods)

    def _kept(self, fired: tuple[Rule, ...]) -> tuple[Rule, ...]:
        return tuple(rule for rule in fired if rule.id not in self._dropped)


def best_without(scene: Scene, dropped: Collection[Rule]) -> Candidate | None:
    """What would be advised if some rules were not there; nothing where all would be forbidden."""
    bench = scene.bench._replace(inference=Without(scene.bench.inference, dropped))
    return advise_feature(scene.feature, scene.assignment.crib, bench).best
