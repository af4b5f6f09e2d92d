"""The name of a check comes in; out goes how an instructor calls it before a class, and what to practise."""

from __future__ import annotations

from typing import Final

LESSONS: Final[dict[str, tuple[str, str]]] = {
    "level": (
        "A level baseline",
        "Rule the baseline with a straight edge, from the edge of the sheet, before any letter.",
    ),
    "parallel": (
        "Parallel guidelines",
        "Mark the height of the mean line and the cap line at both ends of the sheet, then rule through the marks.",
    ),
    "upright": (
        "Upright stems",
        "Rule a few light uprights across the guidelines first and draw the stems along them.",
    ),
    "seat": (
        "Letters on their lines",
        "Draw each letter to touch baseline and mean line; round letters pass them by a hair.",
    ),
    "fill": (
        "An even black",
        "Colour in one direction to the very edge, then a second layer across it, with a soft pencil.",
    ),
    "likeness": ("Repeated letters alike", "Draw the letter once on tracing paper and lay it under its repeats."),
    "kin": ("Letters that share parts", "Draw n, m, h and u from one arch, b, d, p and q from one bowl, side by side."),
    "counters": ("Counters", "Look at the white inside the letters alone; cover the black and compare the whites."),
    "weight": (
        "Stems of one weight",
        "Measure one stem, mark its width on a paper strip, and hold the strip to the others.",
    ),
    "contrast": ("Thick and thin", "Lay the model beside the drawing and mark where its stroke swells and thins."),
    "spaces": (
        "Even spaces",
        "Set the word from cut-out letters and move them until no space is seen first; then turn it upside down and look again.",
    ),
    "size": ("One x-height", "Rule the mean line, and draw all small letters up to it before any ascender."),
    "edge": ("Calm edges", "Draw the contour in long strokes from the arm, and turn the sheet to the hand."),
    "model": ("Nearness to the model", "Lay tracing paper over the model and look for the one part that differs most."),
}
"""Common practice, no source: what is said and practised at the table."""


def lesson_of(check: str) -> tuple[str, str]:
    """Title and what to practise; a check without an entry is called by its name."""
    return LESSONS.get(check, (check.capitalize(), "Look at these drawings together and say what is seen first."))
