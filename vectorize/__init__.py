"""Rebuilds a pencilled word as clean, evenly spaced Bezier outlines and measures what a critique rests on.

`from vectorize import rebuild, compare, guidelines` gives the jobs as functions; they are loaded when they are first asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vectorize.api import Result, compare, guidelines, rebuild

__version__ = "0.1.0"

__all__ = ["Result", "__version__", "compare", "guidelines", "rebuild"]


def __getattr__(name: str) -> Any:
    """The public functions, with the libraries they need."""
    if name in __all__:
        import importlib

        return getattr(importlib.import_module("vectorize.api"), name)
    raise AttributeError(f"module 'vectorize' has no attribute {name!r}")


def __dir__() -> list[str]:
    """The public names."""
    return sorted(__all__)
