"""Which letters have stems, and what the trade calls the parts of a letter."""

from __future__ import annotations

from typing import Final

STEMS: Final = dict.fromkeys("abdfgijklpqrtyBDEFGIJKLPRTY1", 1) | dict.fromkeys("hnuHMNU", 2) | {"m": 3}
"""How many upright stems a letter may have; bowls and curves beside them are none (common practice, no source)."""

STEMLESS: Final = frozenset("ceosvwxyzACOQSVWXZ03689&")
"""Letters of curves and diagonals alone (common practice, no source)."""
