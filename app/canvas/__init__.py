"""The drawing surface: how the head is seen, painted and pointed at."""
