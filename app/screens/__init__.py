"""Screens: they wire widgets to the desk and the forecast, and act on the widgets' messages."""
