"""Costs come in, a small SVG of horizontal bars goes out."""

from __future__ import annotations

from benchmarks.process import Cost

SHADES = {"vectorize": "#222222", "naive": "#8a8a8a", "floor": "#c8c8c8"}
LEFT, BAR, WIDTH = 150, 12, 640


def bars(table: dict[str, dict[str, Cost]]) -> str:
    """Wall seconds of each command for each picture."""
    longest = max(c.wall_s for costs in table.values() for c in costs.values())
    scale = (WIDTH - LEFT - 60) / longest
    body, y = [], 10
    for name, costs in table.items():
        body.append(f'<text x="{LEFT - 8}" y="{y + 24}" text-anchor="end">{name}</text>')
        for command, cost in costs.items():
            width = cost.wall_s * scale
            body.append(f'<rect x="{LEFT}" y="{y}" width="{width:.1f}" height="{BAR - 2}" fill="{SHADES[command]}"/>')
            body.append(f'<text x="{LEFT + width + 5:.1f}" y="{y + 9}">{command} {cost.wall_s:.2f} s</text>')
            y += BAR
        y += 14
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH + 60}" height="{y}" font-family="sans-serif" font-size="10">'
        f'<rect width="100%" height="100%" fill="#ffffff"/>{"".join(body)}</svg>\n'
    )
