"""What of this folder is no test."""

collect_ignore = ["report.py", "coverage_guided.py", "houses.py"]  # run by hand
