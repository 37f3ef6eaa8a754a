"""Exercises made from the reasoning, and what comes of the answers."""
