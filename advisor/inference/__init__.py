"""Which rules fire: durable-rules, or the Python evaluator where that engine cannot be installed."""

from advisor.inference.questions import Disagreement, Inference, start

__all__ = ["Disagreement", "Inference", "start"]
