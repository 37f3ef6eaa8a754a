"""What would change an answer, what would open a way, what other cutters would do, and comparison."""
