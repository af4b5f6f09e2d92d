"""Ink to closed Bezier contours drawn the way type is drawn."""
