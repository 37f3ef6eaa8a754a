"""Reviewing what somebody else chose, on the same reasoning that advises."""
