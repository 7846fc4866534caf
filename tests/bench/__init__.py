"""Benchmarks and scores of the forecast."""
