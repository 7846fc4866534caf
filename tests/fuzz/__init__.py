"""Inputs that nobody would type, by the million."""
