"""Frozen values that cross the rooms of the house: job, machine, cutter, region, plan, answer."""
