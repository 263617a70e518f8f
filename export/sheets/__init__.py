"""Which marks a drawing holds."""
