"""Drawings of a way of roughing, computed from its numbers, as SVG for a page."""
