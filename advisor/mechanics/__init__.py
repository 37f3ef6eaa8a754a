"""Handbook formulas of milling, one function each. Plain floats in, plain floats out; imports nothing of the house.

Units throughout: mm, degrees, N, N/mm², kW, Nm, s, 1/min and mm/min, unless a docstring says otherwise. Symbols are
those of ISO 3002 (a_p, a_e, f_z, v_c, h) in equations and of ISO 13399 (DC, APMX, KAPR) for the cutter's own sizes.
"""
