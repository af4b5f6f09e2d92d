"""The bytes of a picture file come in; out goes a Photo: upright, sRGB, eight bits, with its true scale where it has one."""

from __future__ import annotations

import hashlib
import io
import math
from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from vectorize.findings import Finding, Severity
from vectorize.geometry import frozen
from vectorize.reading.formats import FileFacts, damaged, decoded
from vectorize.reading.records import Photo
from vectorize.trade.picture import HIGHEST_RESOLUTION_DPI, LARGEST_SHEET_MM, LOWEST_RESOLUTION_DPI

ORIENTATION, EXPOSURE_TIME, FOCAL_LENGTH, FOCAL_LENGTH_ON_FILM = 0x0112, 0x829A, 0x920A, 0xA405
EXIF_IFD = 0x8769
"""Tags of JEITA CP-3451 (Exif 2.2); the first stands in the main block, the others in the Exif block."""
FILM_DIAGONAL_MM = math.hypot(36.0, 24.0)
"""Of the frame that FocalLengthIn35mmFilm refers to."""
FILM_FOCALS_MM = 10.0, 200.0
"""Lenses with which a sheet can be photographed; what a file says beyond them is a mistake."""
SQUARE_WITHIN = 0.01
"""Share by which the resolutions along and across may differ: scanners write one, faxes and broken tags two."""
BAND_PX = 512
"""Rows that are taken over at a time."""

Plane = NDArray[np.uint8]
Turn = Callable[[Plane], Plane]

TURNS: Final[dict[int, Turn]] = {
    2: lambda rgb: rgb[:, ::-1],
    3: lambda rgb: rgb[::-1, ::-1],
    4: lambda rgb: rgb[::-1],
    5: lambda rgb: rgb.swapaxes(0, 1),
    6: lambda rgb: rgb.swapaxes(0, 1)[:, ::-1],
    7: lambda rgb: rgb[::-1, ::-1].swapaxes(0, 1),
    8: lambda rgb: rgb.swapaxes(0, 1)[::-1],
}
"""What makes a picture upright: JEITA CP-3451 says where its 0th row and 0th column lie."""

FULL_SCALES: Final = (255.0, 1023.0, 4095.0, 16383.0, 65535.0, 4294967295.0)
"""White of greys of 8, 10, 12, 14, 16 and 32 bits; scanners store the middle ones in 16 bits without shifting them up."""

MM_PER_INCH = 25.4


def read_photo(data: bytes, name: str, page: int) -> Photo:
    """The picture in `data`, told by its content; `name` without folder; `page` of a PDF or multi-page file, from 1.

    Raises PictureError: empty, no picture, cut off, locked, no such page, too large, too small.
    """
    image, facts = decoded(data, page)
    size_px = image.size
    turn, by_camera, focal = _exif(image)
    try:
        rgb = _srgb(image)
    except (OSError, ValueError, MemoryError):
        raise damaged() from None
    # What was decoded is let go before the picture is turned: a large one is never in memory three times.
    del image
    return Photo(
        name,
        frozen(rgb if turn is None else np.ascontiguousarray(turn(rgb))),
        None if by_camera else _believed_mm_per_px(facts.dpi, size_px),
        hashlib.sha256(data).hexdigest(),
        _remarks(facts, page),
        focal,
    )


def _exif(image: Image.Image) -> tuple[Turn | None, bool, float | None]:
    """How to turn it upright, whether a camera took it, and the focal length to the picture's diagonal."""
    try:
        exif = image.getexif()
        details = exif.get_ifd(EXIF_IFD)
        turn = TURNS.get(exif.get(ORIENTATION, 1))
        by_camera = EXPOSURE_TIME in details or FOCAL_LENGTH in details
        film_mm = float(details.get(FOCAL_LENGTH_ON_FILM, 0))
    except Exception:  # noqa: BLE001 - a broken tag block says nothing; the pixels are still good
        return None, False, None
    believed = FILM_FOCALS_MM[0] <= film_mm <= FILM_FOCALS_MM[1]
    return turn, by_camera, film_mm / FILM_DIAGONAL_MM if believed else None


def _srgb(image: Image.Image) -> Plane:
    """The pixels as sRGB on white, (h, w, 3), whatever the mode; profiles honoured, deep greys scaled and not clipped.

    Taken over in bands, so that besides the picture as decoded only the result lies in memory.
    """
    in_eight_bits, in_srgb = _flattener(image), _by_profile(image)
    out = np.empty((image.height, image.width, 3), np.uint8)
    for y in range(0, image.height, BAND_PX):
        band = image.crop((0, y, image.width, min(y + BAND_PX, image.height)))
        out[y : y + BAND_PX] = np.asarray(in_srgb(in_eight_bits(band)))
    return out


Change = Callable[[Image.Image], Image.Image]


def _flattener(image: Image.Image) -> Change:
    """What turns bands of this picture into eight bits a channel, on white where they are transparent."""
    if image.mode in {"I;16", "I;16L", "I;16B", "I;16N", "I", "F"}:
        return _deep_grey(image)
    if image.mode in {"RGBA", "LA", "La", "RGBa", "PA"} or "transparency" in image.info:
        return _on_white
    if image.mode == "P":
        return lambda band: band.convert("RGB")
    return lambda band: band


def _deep_grey(image: Image.Image) -> Change:
    """16 or 32 bit grey as 8 bit: whole scale to whole scale."""
    low, top = (float(v) for v in image.getextrema())  # type: ignore[arg-type]
    unsigned = image.mode == "I" and low < 0
    if unsigned:
        top = FULL_SCALES[-1]
    # Floats run to 1 by custom.
    full = 1.0 if image.mode == "F" and top <= 1.0 else next((v for v in FULL_SCALES if v >= top), top)

    def shallow(band: Image.Image) -> Image.Image:
        values = np.asarray(band)
        if unsigned:
            values = values.view(np.uint32)
        values = values.astype(np.float32)
        if not np.isfinite(values).all():
            raise ValueError("the grey values are no numbers")
        return Image.fromarray(np.clip(values * (255.0 / full) + 0.5, 0, 255).astype(np.uint8))

    return shallow


def _on_white(band: Image.Image) -> Image.Image:
    """Transparent parts shown on white paper."""
    layered = band.convert("RGBA")
    flat = Image.new("RGB", band.size, (255, 255, 255))
    flat.paste(layered, mask=layered.getchannel("A"))
    return flat


def _by_profile(image: Image.Image) -> Change:
    """What turns flattened bands of this picture into sRGB by its colour profile, where it has one that fits."""

    def plain(band: Image.Image) -> Image.Image:
        return band if band.mode == "RGB" else band.convert("RGB")

    profile = image.info.get("icc_profile")
    if not profile:
        return plain
    mode = _flattener(image)(image.crop((0, 0, 1, 1))).mode
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if "sRGB" in ImageCms.getProfileDescription(source):
            return plain
        change = ImageCms.buildTransform(source, ImageCms.createProfile("sRGB"), mode, "RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        # A profile that cannot be read or does not fit the picture is common and harmless for grey pencil.
        return plain
    return change.apply


def _believed_mm_per_px(dpi: tuple[float, float] | None, size_px: tuple[int, int]) -> float | None:
    """Millimetres to a pixel where the file's resolution is one a scanner would write."""
    if dpi is None:
        return None
    x, y = dpi
    if not (LOWEST_RESOLUTION_DPI <= x <= HIGHEST_RESOLUTION_DPI) or abs(x - y) > SQUARE_WITHIN * x:
        return None
    mm_per_px = MM_PER_INCH * 2 / (x + y)
    return mm_per_px if max(size_px) * mm_per_px <= LARGEST_SHEET_MM else None


def _remarks(facts: FileFacts, page: int) -> tuple[Finding, ...]:
    if facts.count == 1:
        return ()
    what = "page" if facts.page else "picture"
    return (
        Finding(
            "reading",
            (),
            float(page),
            float(facts.count),
            what,
            Severity.NOTE,
            f"The file holds {facts.count} {what}s; number {page} was read. Option --page picks another.",
        ),
    )
