"""The bytes of a picture file come in; out goes a Photo: upright, sRGB, eight bits, with its true scale where it has one."""

from __future__ import annotations

import hashlib
import io
import math

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
BAND_PX = 512

TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What makes a picture upright: JEITA CP-3451 says where its 0th row and 0th column lie."""

MM_PER_INCH = 25.4


def read_photo(data: bytes, name: str, page: int) -> Photo:
    """The picture in `data`, told by its content; `name` without folder; `page` of a PDF or multi-page file, from 1.

    Raises PictureError: empty, no picture, cut off, locked, no such page, too large, too small.
    """
    image, frame = decoded(data, page)
    turn, by_camera, focal = _exif(image)
    try:
        image = _eight_bit_rgb(image)
    except (OSError, ValueError, MemoryError):
        raise damaged() from None
    if turn is not None:
        image = image.transpose(turn)
    return Photo(
        name,
        frozen(_array(image)),
        None if by_camera else _believed_mm_per_px(frame.dpi, image.size),
        hashlib.sha256(data).hexdigest(),
        _remarks(frame, page),
        focal,
    )


def _exif(image: Image.Image) -> tuple[Image.Transpose | None, bool, float | None]:
    """How to turn it upright, whether a camera took it, and the focal length to the picture's diagonal."""
    try:
        exif = image.getexif()
        details = exif.get_ifd(EXIF_IFD)
        turn = TURNS.get(exif.get(ORIENTATION, 1))
        by_camera = EXPOSURE_TIME in details or FOCAL_LENGTH in details
        film_mm = float(details.get(FOCAL_LENGTH_ON_FILM, 0))
    except Exception:  # noqa: BLE001 - a broken tag block says nothing; the pixels are still good
        return None, False, None
    return turn, by_camera, film_mm / FILM_DIAGONAL_MM if 10 <= film_mm <= 200 else None


def _array(image: Image.Image) -> NDArray[np.uint8]:
    """The pixels as (h, w, 3), copied in bands so that the picture lies in memory twice at most."""
    out = np.empty((image.height, image.width, 3), np.uint8)
    for y in range(0, image.height, BAND_PX):
        out[y : y + BAND_PX] = np.asarray(image.crop((0, y, image.width, min(y + BAND_PX, image.height))))
    return out


def _eight_bit_rgb(image: Image.Image) -> Image.Image:
    """The picture in sRGB on white, whatever the mode; profiles honoured, deep greys scaled and not clipped."""
    if image.mode in {"I;16", "I;16L", "I;16B", "I;16N", "I", "F"}:
        return _deep_grey(image).convert("RGB")
    if image.mode in {"P", "PA"}:
        image = image.convert("RGBA" if "transparency" in image.info or image.mode == "PA" else "RGB")
    elif "transparency" in image.info and image.mode in {"L", "RGB", "1"}:
        image = image.convert("RGBA")
    if image.mode in {"RGBA", "LA", "La", "RGBa"}:
        image = _on_white(image)
    return _in_srgb(image)


def _deep_grey(image: Image.Image) -> Image.Image:
    """16 or 32 bit grey as 8 bit: whole scale to whole scale."""
    values = np.asarray(image).astype(np.float32)
    if not np.isfinite(values).all():
        raise ValueError("the grey values are no numbers")
    top = float(values.max(initial=0.0))
    # Floats run to 1 by custom; 32-bit integers from scanners and PNG hold 16 bits.
    full = 1.0 if image.mode == "F" and top <= 1.0 else 255.0 if top <= 255.0 else max(65535.0, top)
    return Image.fromarray(np.clip(values * (255.0 / full) + 0.5, 0, 255).astype(np.uint8))


def _on_white(image: Image.Image) -> Image.Image:
    """Transparent parts shown on white paper."""
    profile = image.info.get("icc_profile")
    layered = image.convert("RGBA")
    flat = Image.new("RGB", image.size, (255, 255, 255))
    flat.paste(layered, mask=layered.getchannel("A"))
    if profile:
        flat.info["icc_profile"] = profile
    return flat


def _in_srgb(image: Image.Image) -> Image.Image:
    profile = image.info.get("icc_profile")
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            if "sRGB" not in ImageCms.getProfileDescription(source):
                target = ImageCms.createProfile("sRGB")
                converted = ImageCms.profileToProfile(image, source, target, outputMode="RGB")
                if converted is not None:
                    return converted
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            # A profile that cannot be read or does not fit the picture is common and harmless for grey pencil.
            return image.convert("RGB")
    return image if image.mode == "RGB" else image.convert("RGB")


def _believed_mm_per_px(dpi: tuple[float, float] | None, size_px: tuple[int, int]) -> float | None:
    """Millimetres to a pixel where the file's resolution is one a scanner would write."""
    if dpi is None:
        return None
    x, y = dpi
    if not (LOWEST_RESOLUTION_DPI <= x <= HIGHEST_RESOLUTION_DPI) or abs(x - y) > 0.01 * x:
        return None
    mm_per_px = MM_PER_INCH * 2 / (x + y)
    return mm_per_px if max(size_px) * mm_per_px <= LARGEST_SHEET_MM else None


def _remarks(frame: FileFacts, page: int) -> tuple[Finding, ...]:
    if frame.count == 1:
        return ()
    what = "page" if frame.page else "picture"
    return (
        Finding(
            "reading",
            (),
            float(page),
            float(frame.count),
            what,
            Severity.NOTE,
            f"The file holds {frame.count} {what}s; number {page} was read. Option --page picks another.",
        ),
    )
