"""Widgets: they paint frozen view models and post messages; they compute and store nothing."""
