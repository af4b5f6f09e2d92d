"""Headings, paragraphs and figures come in one after another; out go pages, broken where a page is full."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from vectorize.sheets.arrange import arranged
from vectorize.sheets.disc import disc
from vectorize.sheets.drawing import Anchor, Drawing, Group, Item, Label, Rule, Shape
from vectorize.sheets.furniture import foot, measuring_rule
from vectorize.sheets.palette import LEADER, MARK, PAPER, QUIET, TEXT
from vectorize.sheets.points import WORDS, Point, check_name
from vectorize.sheets.type import fitted_size, width_mm, wrapped
from vectorize.study import Study
from vectorize.trade.sheets import HEADING_MM, PAGE_MARGIN_MM, SMALL_TEXT_MM, TEXT_SIZE_MM

MARGIN: Final = float(PAGE_MARGIN_MM)
TEXT_MM: Final = float(TEXT_SIZE_MM)
SMALL_MM: Final = float(SMALL_TEXT_MM)
LEADING: Final = 1.35
FOOT_MM: Final = 14.0
INDENT: Final = 9.0
DISC_MM: Final = 2.7  # radius of a number's
HEADING_ROOM: Final = 9.5


class Pages:
    """A builder: `y` is where the next thing stands on the page at hand; `finish` gives the pages.

    left, measure: the column that text is set in, the whole page unless `column` is told otherwise.
    """

    def __init__(self, study: Study, size: tuple[float, float]) -> None:
        self.study = study
        self.width, self.height = size
        self.y = MARGIN
        self.left = MARGIN
        self.measure = self.width - 2.0 * MARGIN
        self._title = ""
        self._items: list[Item] = []
        self._done: list[tuple[str, list[Item]]] = []

    @property
    def room(self) -> float:
        """Height that is left on the page."""
        return self.height - MARGIN - FOOT_MM - self.y

    def page(self, title: str, said: str = "") -> None:
        """Begin a new page with its heading."""
        self._turn()
        self._title = title
        self.whole(MARGIN + 5.0)
        room = self.measure - (width_mm(said, TEXT_MM) + 6.0 if said else 0.0)
        size = fitted_size(title, float(HEADING_MM), room, bold=True)
        self._items.append(Label(title, (MARGIN, self.y), size, bold=True, colour=TEXT))
        if said:
            self._items.append(Label(said, (self.width - MARGIN, self.y), TEXT_MM, Anchor.END, colour=QUIET))
        self.y += 7.0

    def column(self, left_mm: float, measure_mm: float, y: float) -> None:
        """Go on in a column of the page at hand, from height y; what does not fit goes on over a whole page."""
        self.left, self.measure, self.y = MARGIN + left_mm, measure_mm, y

    def whole(self, y: float) -> None:
        """Go on over the whole width."""
        self.column(0.0, self.width - 2.0 * MARGIN, y)

    def need(self, height: float) -> None:
        """Go on to a further page where less than `height` is left."""
        if self.room < height:
            title = self._title.removesuffix(", continued")
            self.page(f"{title}, continued")

    def heading(self, text: str) -> None:
        """A heading within the page, never alone at its foot."""
        self.need(22.0)
        self.y += HEADING_ROOM - 5.5
        self._items.append(Label(text, (self.left, self.y), 1.25 * TEXT_MM, bold=True, colour=TEXT))
        self.y += 5.5

    def paragraph(self, text: str, *, mark: str = "", colour: str = TEXT, size: float = TEXT_MM) -> None:
        """Lines of text, set in behind a mark where there is one."""
        indent = INDENT if mark else 0.0
        lines = wrapped(text, size, self.measure - indent)
        self.need(len(lines) * size * LEADING)
        if mark:
            self._items.append(Label(mark, (self.left + 2.0, self.y), size, colour=colour))
        self._items += self._lines(lines, self.left + indent, size, colour)
        self.y += 0.6 * size

    def height_of(self, texts: Sequence[str]) -> float:
        """Height of a heading and marked paragraphs of the usual size in the column at hand."""
        lines = sum(len(wrapped(t, TEXT_MM, self.measure - INDENT)) for t in texts)
        return HEADING_ROOM + lines * TEXT_MM * LEADING + len(texts) * 0.6 * TEXT_MM

    def _lines(self, lines: Sequence[str], x: float, size: float, colour: str) -> list[Label]:
        """Labels one below another from `y` on, which moves below them."""
        top = self.y
        self.y += len(lines) * size * LEADING
        return [Label(line, (x, top + i * size * LEADING), size, colour=colour) for i, line in enumerate(lines)]

    def point(self, point: Point, *, linked: bool) -> None:
        """A numbered point with its name and weight, led to its place on the drawing."""
        finding = point.finding
        lines = wrapped(finding.text, TEXT_MM, self.measure - INDENT)
        self.need((len(lines) + 1) * TEXT_MM * LEADING + 2.0)
        centre = (self.left + DISC_MM, self.y - 0.34 * TEXT_MM)
        name = check_name(finding)
        head = (
            Shape((disc(centre, DISC_MM),), MARK),
            Label(str(point.number), (centre[0], self.y), 0.95 * TEXT_MM, Anchor.MIDDLE, bold=True, colour=PAPER),
            Label(name, (self.left + INDENT, self.y), TEXT_MM, bold=True, colour=TEXT),
            Label(
                WORDS[finding.severity],
                (self.left + INDENT + width_mm(name, TEXT_MM, bold=True) + 2.5, self.y),
                TEXT_MM,
                colour=QUIET,
            ),
        )
        self.y += TEXT_MM * LEADING
        words = self._lines(lines, self.left + INDENT, TEXT_MM, TEXT)
        link = point.place_id if linked else None
        self._items.append(Group((*head, *words), point.text_id, link=link))
        self.y += 0.8 * TEXT_MM

    def figure(self, drawing: Drawing, scale: float, said: str = "") -> None:
        """A figure in the middle of the page, what is said of it below."""
        self.need(drawing.height_mm * scale + (6.0 if said else 2.0))
        left = (self.width - drawing.width_mm * scale) / 2.0
        self._items.append(arranged(drawing, left, self.y, scale))
        self.y += drawing.height_mm * scale + 2.0
        if said:
            self.y += SMALL_MM
            self._items.append(Label(said, (self.width / 2.0, self.y), SMALL_MM, Anchor.MIDDLE, colour=QUIET))
            self.y += 4.0

    def figures(self, drawings: Sequence[Drawing], apart: float) -> None:
        """Small figures of one size in rows."""
        width, height = drawings[0].width_mm, drawings[0].height_mm
        across = max(1, int((self.measure + apart) / (width + apart)))
        spread = (self.measure - across * width) / (across - 1) if across > 1 else 0.0
        for start in range(0, len(drawings), across):
            self.need(height)
            for k, drawing in enumerate(drawings[start : start + across]):
                self._items.append(arranged(drawing, MARGIN + k * (width + spread), self.y))
            self.y += height + apart

    def beside(self, figure: Drawing, head: str, said: Sequence[tuple[str, str]]) -> None:
        """A figure at the left margin, and at its right a heading with short paragraphs (text, colour)."""
        x = MARGIN + figure.width_mm + 5.0
        room = self.width - MARGIN - x
        lines = [(line, colour) for text, colour in said for line in wrapped(text, SMALL_MM, room)]
        leading = LEADING * SMALL_MM
        height = max(figure.height_mm, TEXT_MM + len(lines) * leading) + 4.0
        self.need(height)
        self._items.append(arranged(figure, MARGIN, self.y))
        self._items.append(Label(head, (x, self.y + TEXT_MM), 1.25 * TEXT_MM, bold=True, colour=TEXT))
        for i, (line, colour) in enumerate(lines, 1):
            self._items.append(Label(line, (x, self.y + TEXT_MM + i * leading), SMALL_MM, colour=colour))
        self.y += height

    def table(self, heads: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float]) -> None:
        """A table with its heads on each page it runs over; the first column from the left, the others from the right."""
        stretch = min(1.25, self.measure / sum(widths))
        widths = [stretch * w for w in widths]
        for i, row in enumerate(rows):
            if i == 0 or self.room < SMALL_MM * LEADING:
                self.need(5.0 * SMALL_MM * LEADING)
                self._row(heads, widths, bold=True)
                y = self.y - SMALL_MM * LEADING + 1.2
                self._items.append(Rule((MARGIN, y), (MARGIN + sum(widths), y), LEADER, 0.15))
                self.y += 1.0
            self._row(row, widths, bold=False)
        self.y += 2.0

    def _row(self, row: Sequence[str], widths: Sequence[float], *, bold: bool) -> None:
        x = MARGIN
        for k, (text, width) in enumerate(zip(row, widths, strict=True)):
            at, anchor = (x, Anchor.START) if k == 0 else (x + width, Anchor.END)
            self._items.append(Label(text, (at, self.y), SMALL_MM, anchor, bold=bold, colour=TEXT))
            x += width
        self.y += SMALL_MM * LEADING

    def _turn(self) -> None:
        if self._items:
            self._done.append((self._title, self._items))
        self._items = []

    def finish(self) -> tuple[Drawing, ...]:
        """All pages with their foot."""
        self._turn()
        count = len(self._done)
        return tuple(
            Drawing(
                self.width,
                self.height,
                title,
                (
                    *items,
                    *measuring_rule(MARGIN, self.height - MARGIN),
                    *foot(self.study, self.width, self.height, f"{number} of {count}"),
                ),
            )
            for number, (title, items) in enumerate(self._done, 1)
        )
