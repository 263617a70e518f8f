"""Widgets and colours that any page of the window may use."""
