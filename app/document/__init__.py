"""The open build: its file, its history, what is chosen and shown of it; no widgets."""
