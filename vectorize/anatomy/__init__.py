"""Outlines and ink to the measures of each letter."""
