"""The three lengths, in millimetres, that decide when two things are the same."""

SAME = 1e-6
"""Two computed lengths closer than this are equal: exactly 3 mm satisfies 3 mm."""

CHORD = 0.0003
"""How far the chords of an edge, by which distances are judged, may stray from its arcs."""

FLAT = 0.005
"""How far a flattened curve may stray that nothing is measured to."""

PRINT = 0.001
"""How far any output may stray from the model."""

PASS = PRINT / 2
"""What a quantity may be short of its limit and still pass: no output shows it, and chords stray by less."""

ARCS = 0.0009
"""How far the arcs of an edge may stray from the drawn cubics; with rounding in a file it stays within PRINT."""
