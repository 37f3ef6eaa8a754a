"""Jobs in inches: answered in inches throughout, and as the same job in mm is."""
