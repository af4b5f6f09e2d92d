"""How far a run is comes in; a line on a terminal goes out, drawn over itself, and nothing where there is no terminal."""

from __future__ import annotations

import time
from typing import Final, TextIO

WIDTH: Final = 24
CLEAR: Final = "\r\x1b[K"


class Bar:
    """A bar for `total` pictures on `stream`; hidden where the stream is no terminal or there is only one picture."""

    def __init__(self, total: int, stream: TextIO) -> None:
        self._total = total
        self._stream = stream
        self._shown = stream.isatty() and total > 1
        self._started = time.monotonic()

    def away(self) -> None:
        """Clear the line, so that something can be said."""
        self._put(CLEAR)

    def at(self, done: int) -> None:
        """So many are done."""
        if done < self._total:
            self._put(CLEAR + line(done, self._total, time.monotonic() - self._started))

    def _put(self, text: str) -> None:
        if self._shown:
            self._stream.write(text)
            self._stream.flush()


def line(done: int, total: int, seconds: float) -> str:
    """'[======      ] 6 of 12, about 2 min more'."""
    filled = WIDTH * done // total
    said = f"[{'=' * filled}{' ' * (WIDTH - filled)}] {done} of {total}"
    return f"{said}, about {_length(seconds / done * (total - done))} more" if done else said


def _length(seconds: float) -> str:
    return f"{max(1, round(seconds))} s" if seconds < 90 else f"{round(seconds / 60)} min"
