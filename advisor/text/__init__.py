"""Answers as sentences and tables: blocks of plain text, before anyone lays them out."""
