"""The same head for another nut, and families of widths."""
