"""Stage names come in as each begins; out goes one sentence that says how long each took."""

from __future__ import annotations

import time


class Stopwatch:
    """Times stages by the wall clock: call it with a stage's name as the stage begins."""

    def __init__(self) -> None:
        self._begun: list[tuple[str, float]] = []

    def __call__(self, stage: str) -> None:
        """Stage `stage` begins now."""
        self._begun.append((stage, time.perf_counter()))

    def sentence(self) -> str:
        """Seconds of each stage and of all, up to now."""
        ends = [t for _, t in self._begun[1:]] + [time.perf_counter()]
        parts = [f"{stage} {end - t:.2f}" for (stage, t), end in zip(self._begun, ends, strict=True)]
        return f"Seconds: {', '.join(parts)}; together {ends[-1] - self._begun[0][1]:.2f}."
