"""NDS 2018: bolts in wood and the member formulas they need. Pure functions, SI.

takes sizes, gravity and stresses; gives bearing, yield loads, distances, factors;
next: the check builders in ``parts``.
"""
