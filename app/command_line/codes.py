"""The exit codes of the command line."""

from __future__ import annotations

DONE = 0
STOPPED = 1
"""Something is at stop."""

FAILED = 2
"""A file cannot be read or written, or the command was not understood."""

WENT_WRONG = 3
"""The program itself is at fault; it says where its report lies."""

INTERRUPTED = 130
"""As shells have it for Ctrl+C: 128 and the number of the signal."""
