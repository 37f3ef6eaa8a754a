"""Blocks laid out for a terminal, as Markdown and as HTML with drawings; answers as JSON."""
