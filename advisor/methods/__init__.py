"""Settings, loads and times, method by method, and the least time that each can take."""
