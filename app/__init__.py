"""The terminal screens, the typed line and the command line."""
