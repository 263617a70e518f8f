"""Window and command line."""
