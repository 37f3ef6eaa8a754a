"""Settings, loads and times, method by method: ``plan(cut)`` of each module works out one cutter in one region."""
