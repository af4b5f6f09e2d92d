"""A recipe says everything about one generated drawing; the same recipe gives the same picture, to the byte."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Hand:
    """How steadily the letters are drawn, and what went wrong; lengths in x-heights, angles in degrees.

    wobble: standard deviation of the contour's tremor; wobble_length: its correlation length.
    gaps: extra white after letter i (from 0); lean: {letter: deg}; drop: {letter: how far it sinks};
    counter: {letter: factor on the counters}; size: {letter: factor}; weight: {letter: added to each edge}.
    """

    wobble: float = 0.006
    wobble_length: float = 0.18
    gaps: dict[int, float] = field(default_factory=dict)
    lean: dict[int, float] = field(default_factory=dict)
    drop: dict[int, float] = field(default_factory=dict)
    counter: dict[int, float] = field(default_factory=dict)
    size: dict[int, float] = field(default_factory=dict)
    weight: dict[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Fill:
    """How the letters are blackened.

    pencil: "soft", "hard", "ink", "marker" or "coloured". darkness: 0 to 1. blotches: 0 even, 1 patchy.
    style: "full", "half" (loose hatching) or "outline". holes: share of the fill where paper shows, in spots of 2 mm.
    ragged: how far the pencil strokes run over the edge or stop short of it, rms in mm.
    """

    pencil: str = "soft"
    darkness: float = 0.82
    blotches: float = 0.35
    style: str = "full"
    holes: float = 0.0
    ragged: float = 0.0


@dataclass(frozen=True)
class Lines:
    """Guidelines: which are drawn and how.

    names: of "baseline", "mean", "cap", "ascender", "descender". darkness 0 to 1, width_mm. tilt_deg: of the whole
    drawing on the sheet, positive when the right end is higher; extra_deg: of each line besides, by its name. bow_mm: how
    far the lines sag in the middle; bows_mm: further, each by its name. dashed. colour: None for graphite, else (r, g, b).
    overrun_mm: how far they go beyond the word; span: where they begin and end instead, as shares of the word's length.
    doubled_mm: how far below each line a second stroke of it runs, 0 for none.
    """

    names: tuple[str, ...] = ("baseline", "mean", "cap")
    darkness: float = 0.45
    width_mm: float = 0.35
    tilt_deg: float = 0.0
    extra_deg: dict[str, float] = field(default_factory=dict)
    bow_mm: float = 0.0
    bows_mm: dict[str, float] = field(default_factory=dict)
    dashed: bool = False
    colour: tuple[int, int, int] | None = None
    overrun_mm: float = 14.0
    doubled_mm: float = 0.0
    span: tuple[float, float] | None = None


@dataclass(frozen=True)
class Sheet:
    """The paper: size in mm, colour, pattern ("plain", "squared", "ruled", "dotted"), dirt and writing beside the word.

    pattern_colour, pattern_strength (0 to 1, None for the usual): of what is printed on it.
    """

    width_mm: float = 210.0
    height_mm: float = 297.0
    colour: tuple[int, int, int] = (247, 246, 241)
    pattern: str = "plain"
    pattern_colour: tuple[int, int, int] = (120, 150, 196)
    pattern_strength: float | None = None
    specks: int = 0
    smudge: float = 0.0
    handwriting: bool = False


@dataclass(frozen=True)
class Camera:
    """How the sheet becomes a picture.

    kind: "scan", "crop" or "photo". px_per_mm: of the scan; photos use `size_px`. turn_deg: of the sheet in the picture.
    tilt_x_deg, tilt_y_deg: of the camera. shadow: depth of a shadow edge, falloff: of the lamp. blur_px, noise (of 255).
    zoom: above 1 the sheet is larger than the picture. sheen: glare on graphite. lens: radial bend k1, positive for barrel.
    curl_mm: how far a level line bows where the sheet bulges along its width and is seen from aslant. desk: "wood", "dark"
    or "bright". quality: of the JPEG.
    """

    kind: str = "scan"
    px_per_mm: float = 8.0
    size_px: tuple[int, int] = (3000, 2250)
    turn_deg: float = 0.0
    tilt_x_deg: float = 0.0
    tilt_y_deg: float = 0.0
    zoom: float = 1.0
    shadow: float = 0.0
    falloff: float = 0.0
    blur_px: float = 0.7
    noise: float = 2.0
    sheen: float = 0.0
    lens: float = 0.0
    curl_mm: float = 0.0
    desk: str = "wood"
    quality: int = 88


@dataclass(frozen=True)
class Recipe:
    """One drawing: the word, the open font it follows, its x-height, the hand, fill, lines, sheet and camera.

    fills: {letter: its own fill}.
    """

    name: str
    word: str
    family: str
    weight: int = 400
    x_height_mm: float = 18.0
    hand: Hand = field(default_factory=Hand)
    fill: Fill = field(default_factory=Fill)
    fills: dict[int, Fill] = field(default_factory=dict)
    lines: Lines = field(default_factory=Lines)
    sheet: Sheet = field(default_factory=Sheet)
    camera: Camera = field(default_factory=Camera)
    seed: int = 1
