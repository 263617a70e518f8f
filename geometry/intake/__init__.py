"""From a real head to a build: contours out of drawings, tables and pictures, as outlines of few nodes."""
