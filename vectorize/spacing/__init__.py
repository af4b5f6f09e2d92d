"""Outlines to where each letter stands: the area rule."""
