"""One small function per check."""
