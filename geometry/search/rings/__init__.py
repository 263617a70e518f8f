"""How far marks may miss: margins as rows of what moves, shared out over all holes."""
