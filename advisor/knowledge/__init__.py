"""The rule base: conditions, thresholds, measures, words; read, checked, and with the shop's own rules in it."""
