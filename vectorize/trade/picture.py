"""Figures for picture files and the sheets in them."""

from __future__ import annotations

from vectorize.trade.figure import COMMON_PRACTICE, MEASURED, Figure

PICTURE_LIMIT_PX = Figure(
    100e6,
    "px",
    reason="an A4 sheet scanned at 1000 dpi; a phone's picture has a tenth or half of it, and three bytes a pixel must fit"
    " into an ordinary computer",
    source=COMMON_PRACTICE,
)
FILE_LIMIT_BYTES = Figure(
    300e6,
    "bytes",
    reason="the largest accepted picture, uncompressed",
    source=COMMON_PRACTICE,
)
SMALLEST_SIDE_PX = Figure(
    64.0,
    "px",
    reason="a word of a few letters below this height has no strokes left to measure",
    source=MEASURED,
)
LOWEST_RESOLUTION_DPI = Figure(
    99.0,
    "dpi",
    reason="scanners start at 100 dpi; 72 and 96 are what cameras and programs write when they know nothing",
    source=COMMON_PRACTICE,
)
HIGHEST_RESOLUTION_DPI = Figure(
    2500.0,
    "dpi",
    reason="flatbed scanners end at 2400 dpi",
    source=COMMON_PRACTICE,
)
LARGEST_SHEET_MM = Figure(
    1250.0,
    "mm",
    reason="no sheet of a lettering class is longer than A0 (1189 mm); a longer page comes from a wrong resolution",
    source="ISO 216",
)
PAGE_RESOLUTION_DPI = Figure(
    300.0,
    "dpi",
    reason="a page drawn by lines and curves is rendered as finely as a good scan",
    source=COMMON_PRACTICE,
)
PAGE_SECONDS = Figure(
    60.0,
    "s",
    reason="a full page of lines and curves is drawn in two seconds; one that takes more than this will never end",
    source=MEASURED,
)
PAGE_MEMORY_BYTES = Figure(
    1.2e9,
    "bytes",
    reason="twice what a page takes that holds a picture of the largest accepted size; elsewhere than on Linux only time is held",
    source=MEASURED,
)
SHEET_SIZES_MM: dict[str, tuple[Figure, Figure]] = {
    name: tuple(  # type: ignore[misc]
        Figure(side, "mm", reason="a sheet that a class draws on", source=source) for side in sides
    )
    for name, sides, source in (
        ("A4", (210.0, 297.0), "ISO 216"),
        ("A2", (420.0, 594.0), "ISO 216"),
        ("A3", (297.0, 420.0), "ISO 216"),
        ("A5", (148.0, 210.0), "ISO 216"),
        ("Letter", (215.9, 279.4), "ANSI/ASME Y14.1"),
        ("Legal", (215.9, 355.6), COMMON_PRACTICE),
        ("Tabloid", (279.4, 431.8), "ANSI/ASME Y14.1"),
    )
}
"""Short side and long side of the sheets that are looked for; of sheets of one shape the first is the usual one."""
SHEET_ASPECT_TOLERANCE = Figure(
    0.02,
    "share",
    reason="half of what parts Letter (1.294) from A4 (1.414) is .045; a photographed sheet's aspect is good to about .01",
    source=MEASURED,
)
SAME_SHAPE_WITHIN = Figure(
    0.01,
    "share",
    reason="the sheets of one series differ in aspect by their rounding to whole millimetres, .004 at most",
    source="ISO 216",
)
SHEET_SIZE_TOLERANCE = Figure(
    0.01,
    "share",
    reason="sheets are cut to 2 mm at worst; a scanner's scale is good to half of that",
    source="ISO 216, which allows 1.5 mm up to 150 mm and 2 mm up to 600 mm; quoted from memory",
)
PRINTED_PITCHES_MM: tuple[Figure, ...] = tuple(
    Figure(pitch, "mm", reason=reason, source=COMMON_PRACTICE)
    for pitch, reason in (
        (5.0, "squared and dotted paper"),
        (7.0, "ruled paper"),
        (7.14, "ruled paper, 9/32 inch"),
        (8.0, "ruled paper"),
        (8.73, "ruled paper, 11/32 inch"),
    )
)
"""From line to line of printed ruling."""
PITCH_TOLERANCE = Figure(
    0.016,
    "share",
    reason="a photographed sheet's scale and the pitch on it are good to half a per cent each; paper is ruled to half a per cent too",
    source=MEASURED,
)
SOFTEST_EDGE = Figure(
    0.15,
    "x-heights",
    reason="from paper to black an edge drawn in pencil takes a fiftieth of the x-height, out of focus a twentieth; clouds take a third",
    source=MEASURED,
)
