"""Attacks on what the program promises: kills, several writers, odd clocks, hostile values."""
