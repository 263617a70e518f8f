"""Plane geometry that would fit any trade."""
