"""Candidates: every method with every cutter and entry, worked out, rated and ranked."""
