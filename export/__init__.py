"""Finished drawings out to files."""
