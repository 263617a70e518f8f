"""What the bench needs, page by page: strings, nut, drilling, strength, balance, and what holds the head."""
