"""A Study comes in; out go its figures as the rows of tables and as plain lines, for both proofs."""

from __future__ import annotations

from typing import Final, TypeAlias

from vectorize.reading.records import GuideSource
from vectorize.sheets.said import NONE, between, gap_unit, gap_values, letter_name, looks, signed, white_values
from vectorize.spacing.records import Kind
from vectorize.study import Study

Table: TypeAlias = tuple[tuple[str, ...], tuple[tuple[str, ...], ...], tuple[float, ...]]
"""Heads, rows, widths of the columns in mm; on paper they are stretched to the page."""


def level_lines(study: Study) -> tuple[str, ...]:
    """Scale, angles and sources in sentences."""
    s, v = study.scale, study.level
    seen = {
        "page": "from the sheet's size",
        "resolution": "from the picture's resolution",
        "given": "as given",
        "assumed": "assumed",
    }
    lines = [f"x-height {s.x_height_mm:.2f} mm, {seen.get(s.source, s.source)}."]
    source = {GuideSource.DRAWN: "as drawn", GuideSource.GIVEN: "set by hand"}.get(
        v.source, "inferred from the letters"
    )
    base = f"Baseline in the picture {_deg(v.baseline_deg)}, {source}"
    if v.drawing_deg is not None and v.camera_deg is not None:
        base += f": the sheet {_deg(v.camera_deg)}, the drawing on it {_deg(v.drawing_deg)}"
    lines.append(f"{base}.")
    others = [(n, a) for n, a in (("mean line", v.mean_line_deg), ("cap line", v.cap_line_deg)) if a is not None]
    if others:
        said = ", ".join(f"{name} {_deg(angle - v.baseline_deg)}" for name, angle in others)
        lines.append(f"Against the baseline: {said}.")
    return tuple(lines)


def _deg(value: float) -> str:
    """'falls 0.80°', 'rises 0.12°', 'level': as the line runs from left to right."""
    if abs(value) < 0.005:
        return "level"
    return f"{'rises' if value > 0.0 else 'falls'} {abs(value):.2f}°"


def letter_table(study: Study) -> Table:
    """One row a letter."""
    heads = ("letter", "width", "foot", "head", "stem", "lean", "thinnest", "counters", "black", "nodes", "edge")
    rows = []
    for x in study.letters:
        a, box = x.anatomy, x.anatomy.body_u or x.outline.box_u
        rows.append(
            (
                letter_name(x),
                _units(x.outline.box_u.width),
                _units(box.y0),
                _units(box.y1),
                _ratio(a.stem_ratio),
                NONE if a.stem_deg is None else f"{signed(a.stem_deg)}°",
                _ratio(a.thin_ratio),
                " + ".join(f"{100.0 * c.area_ratio:.1f}" for c in a.counters) or NONE,
                _ratio(a.fill_evenness, 0),
                str(x.outline.node_count),
                _units(x.outline.fit_error_u),
            )
        )
    return heads, tuple(rows), (16.0, 15.0, 14.0, 16.0, 15.0, 16.0, 18.0, 25.0, 15.0, 15.0, 15.0)


def _units(value_u: float) -> str:
    return signed(value_u / 10.0)


def _ratio(value: float | None, decimals: int = 1) -> str:
    return NONE if value is None else f"{100.0 * value:.{decimals}f}"


FACES: Final = {
    Kind.CURVE_CURVE: "two curves",
    Kind.STRAIGHT_CURVE: "straight and curve",
    Kind.STRAIGHT_STRAIGHT: "two straights",
    Kind.OPEN: "an open side",
    Kind.WORD_SPACE: "two words",
}
"""What faces the space between two letters."""


def pair_table(study: Study) -> Table:
    """One row a gap."""
    unit = "mm" if gap_unit(study) == "mm" else "%"
    heads = ("between", "facing", "white", "when even", f"gap {unit}", "when even", "looks")
    rows = tuple(
        (
            between(study, p),
            FACES[p.kind],
            *white_values(p),
            *gap_values(study, p),
            looks(p),
        )
        for p in study.setting.pairs
    )
    return heads, rows, (22.0, 34.0, 20.0, 24.0, 22.0, 24.0, 22.0)
