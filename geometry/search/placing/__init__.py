"""Better places: what may move, the margins as lines, the climb, the gate, what cures the rest."""
