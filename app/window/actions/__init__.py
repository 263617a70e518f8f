"""Everything that can be done from the keyboard, menu by menu."""
