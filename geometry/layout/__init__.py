"""Where everything lands."""
