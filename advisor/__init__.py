"""A rule-based strategy advisor for rough milling."""

__version__ = "0.1.0"
