"""What is true of this head: no window, no writers, no PDF or DXF library."""
