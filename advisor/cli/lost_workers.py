"""What is raised where workers are lost."""

from __future__ import annotations


class Broken(Exception):
    """Workers were lost. What was given before is right; after it there is nothing."""
