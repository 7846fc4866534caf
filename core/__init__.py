"""Numbers and meaning: the cook's values, the heat-balance model and its forecast.

Everything inside is °C, seconds from meat-on and kilograms. There is no clock and no I/O here:
time and random seeds arrive as arguments.
"""
