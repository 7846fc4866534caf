"""Journeys: keys in, visible text out, on a real data file and a clock that tests set."""
