"""Costs come in, a small SVG goes out: wall seconds of each command, and below what the stages take."""

from __future__ import annotations

from benchmarks.tables import Single

SHADES = {"vectorize": "#222222", "naive": "#8a8a8a", "floor": "#c8c8c8"}
STAGE_SHADES = (
    "#dddddd", "#4c72b0", "#7a9cc6", "#a9c1dd", "#55785a", "#86a98a", "#b5653a", "#d19a77", "#e6c4ae", "#8c7a9e", "#5e5e5e",
)  # fmt: skip
LEFT, BAR, WIDTH = 110, 12, 660


def bars(single: Single) -> str:
    """The whole picture."""
    longest = max(c.wall_s for costs in single.values() for c in costs.values())
    scale = (WIDTH - LEFT - 90) / longest
    body, y = _commands(single, scale, 26)
    staged, y = _stages(single, scale, y + 30)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{y:.0f}" font-family="sans-serif" font-size="10">'
        f'<rect width="100%" height="100%" fill="#ffffff"/>{"".join(body + staged)}</svg>\n'
    )


def _commands(single: Single, scale: float, y: float) -> tuple[list[str], float]:
    body = [_text(10, y - 12, "Whole processes, wall seconds", bold=True)]
    for name, costs in single.items():
        body.append(_text(LEFT - 8, y + 21, name, end=True))
        for command, cost in costs.items():
            width = cost.wall_s * scale
            body.append(_bar(LEFT, y, width, SHADES[command]))
            body.append(_text(LEFT + width + 5, y + 9, f"{command} {cost.wall_s:.2f}"))
            y += BAR
        y += 10
    return body, y


def _stages(single: Single, scale: float, y: float) -> tuple[list[str], float]:
    body = [_text(10, y - 12, "Stages, to the same scale", bold=True)]
    names = list(next(iter(single.values()))["vectorize"].stages)
    for name, costs in single.items():
        body.append(_text(LEFT - 8, y + 9, name, end=True))
        x = float(LEFT)
        for stage, shade in zip(names, STAGE_SHADES, strict=False):
            width = costs["vectorize"].stages.get(stage, 0.0) * scale
            body.append(_bar(x, y, width, shade))
            x += width
        y += BAR + 6
    x = float(LEFT)
    for stage, shade in zip(names, STAGE_SHADES, strict=False):
        wide = 22 + 5.6 * len(stage)
        if x + wide > WIDTH:
            x, y = float(LEFT), y + 14
        body += [_bar(x, y + 6, 9, shade), _text(x + 13, y + 15, stage)]
        x += wide
    return body, y + 26


def _bar(x: float, y: float, width: float, shade: str) -> str:
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{BAR - 2}" fill="{shade}"/>'


def _text(x: float, y: float, said: str, *, end: bool = False, bold: bool = False) -> str:
    anchor, weight = ' text-anchor="end"' if end else "", ' font-weight="bold"' if bold else ""
    return f'<text x="{x:.1f}" y="{y:.1f}"{anchor}{weight}>{said}</text>'
