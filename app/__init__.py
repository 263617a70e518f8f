"""Window and command line."""

VERSION = "0.1.0"
"""Of this program, as in pyproject.toml."""
