"""What window and command line both do to write files; no Qt."""
