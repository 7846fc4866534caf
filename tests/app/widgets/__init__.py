"""Widgets and what they are painted from."""
