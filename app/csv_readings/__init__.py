"""Readings from any plain table of text: found, understood and told before anything is saved."""
