"""The panels beside the canvas: each shows a Scene and turns what is typed into acts of the session."""
