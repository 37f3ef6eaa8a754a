"""What is proved of the rule base: its conditions given to a solver, and each finding with a job that shows it."""
