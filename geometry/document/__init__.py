"""The document: what the maker decided, and its file."""
