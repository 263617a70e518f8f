"""What the mouse and keys do on the drawing."""
