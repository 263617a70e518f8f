"""Refitting, how far marks may miss, and better placements: the same functions, asked many times."""
