"""Checks against sources outside the program."""
