"""What went wrong, as a sentence for a learner: what was seen, what is needed, what to do.

VectorizeError
|-- PictureError     a picture that cannot be used
|-- ModelError       a model typeface that cannot be used
|-- OutputError      a folder or file that cannot be written
`-- BriefError       options that contradict each other or ask for nothing sensible
"""

from __future__ import annotations


class VectorizeError(Exception):
    """Root of all errors that this package raises on purpose."""


class PictureError(VectorizeError):
    """A picture could not be used; the text says what was seen, what is needed and what to do."""


class ModelError(VectorizeError):
    """A model typeface, font file or specimen picture, could not be used."""


class OutputError(VectorizeError):
    """A result could not be written; nothing half-written is left behind."""


class BriefError(VectorizeError):
    """What was asked for makes no sense (a negative x-height, a line number of zero)."""
