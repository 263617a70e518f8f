"""Preview, export and print."""
