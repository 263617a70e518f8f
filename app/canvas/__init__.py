"""The drawing of the head in the middle of the window."""
