"""Costs come in, the tables of the section on speed go out as Markdown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchmarks.process import Cost

Single = Mapping[str, Mapping[str, Cost]]


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A Markdown table."""
    return "\n".join(f"| {' | '.join(row)} |" for row in (head, ["---"] * len(head), *rows))


def pictures(single: Single) -> str:
    """Whole processes beside the naive reference and the floor."""
    head = (
        "picture",
        "wall s",
        "CPU s",
        "peak MB",
        "naive wall s",
        "CPU s",
        "floor wall s",
        "times naive, wall",
        "CPU",
    )
    rows = []
    for name, costs in single.items():
        v, n, f = costs["vectorize"], costs["naive"], costs["floor"]
        seconds = [f"{s:.2f}" for s in (n.wall_s, n.cpu_s, f.wall_s)]
        ratios = f"{v.wall_s / n.wall_s:.1f}", f"{v.cpu_s / n.cpu_s:.1f}"
        rows.append((name, f"{v.wall_s:.2f}", f"{v.cpu_s:.2f}", f"{v.peak_mb:.0f}", *seconds, *ratios))
    return table(head, rows)


def stages(single: Single) -> str:
    """Seconds of each stage, a column a picture."""
    told = {name: costs["vectorize"].stages for name, costs in single.items()}
    names = list(next(iter(told.values())))
    rows = [(stage, *(f"{s.get(stage, 0.0):.2f}" for s in told.values())) for stage in names]
    return table(("stage, s", *told), rows)


def growth(single: Single, letters: Mapping[str, int]) -> str:
    """What a further letter costs."""
    (n0, c0), (n1, c1), (n2, c2) = ((n, single[name]["vectorize"].cpu_s) for name, n in letters.items())
    early, late = (c1 - c0) / (n1 - n0), (c2 - c1) / (n2 - n1)
    return (
        f"On one and the same sheet a letter costs {early:.3f} s of CPU from {n0} to {n1} letters and {late:.3f} s from "
        f"{n1} to {n2}."
    )


def classes(many: Mapping[tuple[int, str], Cost]) -> str:
    """Runs of many pictures."""
    rows = [
        (str(count), who, f"{c.wall_s:.1f}", f"{count / c.wall_s:.2f}", f"{c.cpu_s / count:.2f}", f"{c.peak_mb:.0f}")
        for (count, who), c in many.items()
    ]
    return table(("pictures", "by", "wall s", "a second", "CPU s a picture", "peak MB of a process"), rows)
