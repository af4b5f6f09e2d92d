"""Which letters have stems, and what the trade calls the parts of a letter."""

from __future__ import annotations

from typing import Final

STEMMED: Final = frozenset("bdfhijklmnpqrtuBDEFHIKLMNPRT1")
"""Letters that stand on at least one straight upright stem in every upright model (common practice, no source)."""

STEMLESS: Final = frozenset("ceosvwxyzACOQSVWXZ03689&")
"""Letters of curves and diagonals alone (common practice, no source)."""
