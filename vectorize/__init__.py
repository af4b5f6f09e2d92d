"""Rebuilds a pencilled word as clean, evenly spaced Bezier outlines and measures what a critique rests on."""

__version__ = "0.1.0"
