"""The same head for another nut, and for a range of widths."""
