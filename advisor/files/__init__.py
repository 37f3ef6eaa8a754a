"""Files as text: YAML and CSV with their lines, units, faults with their place, writing whole or not at all."""
