"""Which rules fire: durable-rules, or the Python evaluator where that engine cannot be installed."""

from advisor.inference.questions import Disagreement, Inference, free_idle, start

__all__ = ["Disagreement", "Inference", "free_idle", "start"]
