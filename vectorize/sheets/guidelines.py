"""Proportions and a sheet of paper come in; a page ruled at true size to draw a word on goes out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from vectorize.curves import Contour, box
from vectorize.errors import BriefError
from vectorize.geometry import Affine
from vectorize.sheets.drawing import Drawing, Group, Item, Label, Rule, Shape, placed
from vectorize.sheets.palette import QUIET
from vectorize.trade.paper import (
    BASELINE_MM,
    CAP_OF_X_HEIGHT,
    CHECK_RULE_MM,
    DESCENDER_OF_CAP,
    LINE_MM,
    MARGIN_MM,
    PITCH_OF_CAP,
    SHEETS_MM,
    SLANT_STEP,
)
from vectorize.trade.sheets import SMALL_TEXT_MM

LINE_COLOUR = "#8c8c8c"  # 3.3:1 on white: WCAG 2.2, 1.4.11, asks 3:1 of lines that mean something
MODEL_COLOUR = "#d9d9d9"  # to draw over: light by purpose, and told in words beside it
FOOT_MM = 16.0  # the check rule and its words


@dataclass(frozen=True, slots=True)
class Lines:
    """One line of lettering: heights above (below: negative) the baseline in mm, None for a line that is not ruled."""

    x_height_mm: float
    cap_mm: float
    ascender_mm: float | None = None
    descender_mm: float | None = None

    @property
    def top_mm(self) -> float:
        """The highest line."""
        return max(self.cap_mm, self.x_height_mm, self.ascender_mm or 0.0)

    @property
    def named(self) -> tuple[tuple[str, float], ...]:
        """Name and height of each line, the highest first."""
        some = (
            ("ascender line", self.ascender_mm),
            ("cap line", self.cap_mm),
            ("mean line", self.x_height_mm),
            ("baseline", 0.0),
            ("descender line", self.descender_mm),
        )
        return tuple(sorted(((n, h) for n, h in some if h is not None), key=lambda line: -line[1]))


def iso_lines(x_height_mm: float, *, cap_ratio: float | None = None, tails: bool = False) -> Lines:
    """The lines of ISO 3098 lettering type B for this x-height, or with another height of capitals.

    cap_ratio: height of capitals in x-heights. tails: the descender line is ruled too; ascenders reach the cap line.
    """
    cap = x_height_mm * (CAP_OF_X_HEIGHT if cap_ratio is None else cap_ratio)
    descender = -DESCENDER_OF_CAP * cap
    return Lines(x_height_mm, cap, None, descender) if tails else Lines(x_height_mm, cap)


def pitch_mm(lines: Lines) -> float:
    """From baseline to baseline: b = 1.5 h of ISO 3098, more where a model's tails and ascenders need it."""
    needed = lines.top_mm - (lines.descender_mm or 0.0) + 0.2 * lines.cap_mm
    return max(float(PITCH_OF_CAP) * lines.cap_mm, needed)


def guidelines(
    lines: Lines,
    *,
    sheet: str = "A4",
    rows: int | None = None,
    slant_deg: float = 0.0,
    model: Sequence[Contour] = (),
    title: str = "",
) -> Drawing:
    """The ruled page.

    rows: so many lines of lettering, as many as fit when None. slant_deg: light sloping lines, positive when the top leans
    right. model: a word in letter units (1000 = x-height), drawn light on the first line. title: told at the foot.

    A model that is wider than the sheet turns it on its side. Raises BriefError where the lines or the model do not fit.
    """
    if sheet not in SHEETS_MM:
        raise BriefError(f"The paper {sheet} is not known. Choose one of {', '.join(SHEETS_MM)}.")
    width, height = _sheet_for(SHEETS_MM[sheet], model, lines.x_height_mm, sheet)
    baselines = _baselines(lines, height, rows, sheet)
    x0, x1 = float(MARGIN_MM), width - MARGIN_MM
    items: list[Item] = []
    for row, y in enumerate(baselines):
        items.append(_ruled_line(lines, y, x0, x1, slant_deg=slant_deg, id_prefix=f"line-{row + 1}-"))
    items.append(_names(lines, baselines[0], x0))
    if model:
        items.append(_model(model, lines.x_height_mm, baselines[0], x0, x1))
    items.append(_check_rule(x0, height - MARGIN_MM + 5.0))
    foot = (x0, height - MARGIN_MM - 2.5)
    items.append(Label(_told(lines, slant_deg, title), foot, float(SMALL_TEXT_MM), colour=QUIET))
    return Drawing(width, height, f"Guidelines, {sheet}", tuple(items), "Guidelines at true size to draw a word on.")


def _sheet_for(
    upright: tuple[float, float], model: Sequence[Contour], x_height_mm: float, sheet: str
) -> tuple[float, float]:
    needed = (box(model).width * x_height_mm / 1000.0 if model else 0.0) + 2 * MARGIN_MM
    for width, height in (upright, upright[::-1]):
        if needed <= width:
            return width, height
    fitting = x_height_mm * (upright[1] - 2 * MARGIN_MM) / (needed - 2 * MARGIN_MM)
    raise BriefError(
        f"At an x-height of {x_height_mm:g} mm the word is {needed - 2 * MARGIN_MM:.0f} mm long and does not fit on {sheet}. "
        f"Take larger paper, or an x-height of {math.floor(fitting)} mm."
    )


def _baselines(lines: Lines, height: float, rows: int | None, sheet: str) -> list[float]:
    """Heights of the baselines on the page, y down."""
    pitch = pitch_mm(lines)
    first = MARGIN_MM + lines.top_mm
    last = height - MARGIN_MM - FOOT_MM + (lines.descender_mm or 0.0)
    room = math.floor((last - first) / pitch + 1e-9) + 1 if last >= first else 0
    if room < 1 or (rows or 0) > room:
        raise BriefError(
            f"{rows or 1} lines with an x-height of {lines.x_height_mm:g} mm do not fit on {sheet}: "
            f"there is room for {room}. Take larger paper, fewer lines or a smaller x-height."
        )
    return [first + i * pitch for i in range(rows or room)]


def _ruled_line(
    lines: Lines, baseline_y: float, x0: float, x1: float, *, slant_deg: float = 0.0, id_prefix: str = ""
) -> Group:
    """One line of lettering, ruled from x0 to x1 mm on a page."""
    rules: list[Item] = []
    for name, above in lines.named:
        width = float(BASELINE_MM if name == "baseline" else LINE_MM)
        dash = (3.0, 1.5) if name in {"ascender line", "descender line"} else ()
        y = baseline_y - above
        rules.append(Rule((x0, y), (x1, y), LINE_COLOUR, width, dash, f"{id_prefix}{name.replace(' ', '-')}", name))
    if slant_deg:
        rules.extend(_slant(lines, baseline_y, x0, x1, slant_deg))
    return Group(tuple(rules))


def _slant(lines: Lines, baseline_y: float, x0: float, x1: float, slant_deg: float) -> list[Item]:
    rise, low = lines.top_mm, lines.descender_mm or 0.0
    lean = math.tan(math.radians(slant_deg))
    step = SLANT_STEP * lines.x_height_mm
    left, right = x0 - min(rise * lean, low * lean), x1 - max(rise * lean, low * lean)
    count = math.floor((right - left) / step) + 1 if right >= left else 0
    feet = [left + i * step for i in range(count)]
    return [
        Rule((x + low * lean, baseline_y - low), (x + rise * lean, baseline_y - rise), LINE_COLOUR, 0.13, (1.0, 1.5))
        for x in feet
    ]


def _names(lines: Lines, baseline_y: float, x0: float) -> Group:
    """The lines' names on the first line of lettering; a line close below another has its name further right."""
    size = min(2.2, lines.x_height_mm / 3.0)
    labels: list[Item] = []
    x, above_it = x0, float("inf")
    for name, height in lines.named:
        x = x + 12.0 * size if above_it - height < 1.6 * size else x0
        labels.append(Label(name, (x, baseline_y - height - 0.5), size, colour=QUIET))
        above_it = height
    return Group(tuple(labels))


def _model(model: Sequence[Contour], x_height_mm: float, baseline_y: float, x0: float, x1: float) -> Shape:
    scale = x_height_mm / 1000.0
    around = box(model)
    left = (x0 + x1 - around.width * scale) / 2.0 - around.x0 * scale
    to_mm = Affine(scale, 0.0, 0.0, -scale, left, baseline_y)
    return Shape(placed(model, to_mm), MODEL_COLOUR, title="the model, to draw over")


def _check_rule(x: float, y: float) -> Group:
    """A line of exactly 100 mm with its ends marked, to check the printer by."""
    end = x + CHECK_RULE_MM
    marks = tuple(Rule((q, y - 1.5), (q, y + 1.5), QUIET, 0.2) for q in (x, end))
    words = "This line is 100 mm long. If yours is not, print again at 100 per cent."
    return Group(
        (
            Rule((x, y), (end, y), QUIET, 0.2, (), "check-rule", "100 mm"),
            *marks,
            Label(words, (x, y - 2.5), float(SMALL_TEXT_MM), colour=QUIET),
        ),
        "printer-check",
    )


def _told(lines: Lines, slant_deg: float, title: str) -> str:
    told = [f"x-height {lines.x_height_mm:g} mm", f"capitals {lines.cap_mm:.3g} mm"]
    if slant_deg:
        told.append(f"slant {slant_deg:g} degrees")
    return " · ".join(([title] if title else []) + told)
