"""Showing advice: blocks of content, laid out for the terminal or as Markdown, and the JSON record."""
