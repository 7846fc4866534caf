"""Scores of the forecast and of plain baselines on simulated cooks."""
