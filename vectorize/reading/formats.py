"""The bytes of a picture file come in; out goes one decoded Pillow image, bounded in size, and how many the file holds."""

from __future__ import annotations

import io
import logging
import warnings
from dataclasses import dataclass

from PIL import (
    BmpImagePlugin,
    GifImagePlugin,
    Image,
    JpegImagePlugin,
    PngImagePlugin,
    TiffImagePlugin,
    UnidentifiedImageError,
    WebPImagePlugin,
)

from vectorize.errors import PictureError
from vectorize.reading.pages import check_page, is_pdf, rendered_page
from vectorize.trade.lines import SMALLEST_X_HEIGHT_PX
from vectorize.trade.picture import FILE_LIMIT_BYTES, PICTURE_LIMIT_PX, SMALLEST_SIDE_PX

# What the library notes about a damaged file is said once, in our own words.
logging.getLogger("PIL").addHandler(logging.NullHandler())

# Naming the readers registers them, and no others are ever tried on unknown bytes.
ACCEPTED = tuple(
    str(reader.format)
    for reader in (
        JpegImagePlugin.JpegImageFile,
        PngImagePlugin.PngImageFile,
        TiffImagePlugin.TiffImageFile,
        WebPImagePlugin.WebPImageFile,
        GifImagePlugin.GifImageFile,
        BmpImagePlugin.BmpImageFile,
    )
)
KINDS = "JPEG, PNG, TIFF, WebP, HEIC or PDF"

MOST_BEFORE = 5
"""So many of the largest pictures are decoded, one after the other, to reach one of an animation."""
HEIF_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"heif")


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What a picture file says besides its pixels.

    count: pictures or pages in it. dpi: (x, y) as the file says, None where it says nothing.
    page: it is a PDF, whose page has an exact size.
    """

    count: int
    dpi: tuple[float, float] | None
    page: bool = False


def decoded(data: bytes, page: int) -> tuple[Image.Image, FileFacts]:
    """Picture or page number `page` (from 1) of a file, whatever its name says; loaded, not yet upright.

    Raises PictureError, a sentence, for what is no picture, cut off, locked, too large or too small.
    """
    if not data:
        raise PictureError("The file is empty. Save or send the picture again.")
    if len(data) > FILE_LIMIT_BYTES:
        raise PictureError(
            f"The file has more than the {FILE_LIMIT_BYTES / 1e6:.0f} MB that can be read. "
            "Save the picture smaller; 300 dpi is plenty."
        )
    if is_pdf(data):
        image, count, dpi = rendered_page(data, page)
        facts = FileFacts(count, (dpi, dpi), page=True)
    elif data[4:8] == b"ftyp" and data[8:12] in HEIF_BRANDS:
        image, facts = _heif(data, page)
    else:
        image, facts = _pillow(data, page)
    if min(image.size) < SMALLEST_SIDE_PX:
        raise PictureError(
            f"The picture is only {image.width} by {image.height} pixels. "
            f"Letters need an x-height of {SMALLEST_X_HEIGHT_PX:.0f} pixels or more; photograph or scan the word larger."
        )
    return image, facts


def check_size(width: int, height: int) -> None:
    """Refuses a picture of more pixels than can be held; called before its pixels are decoded."""
    if width * height > PICTURE_LIMIT_PX:
        raise PictureError(
            f"The picture has {width} by {height} pixels, {width * height / 1e6:.0f} million; "
            f"up to {PICTURE_LIMIT_PX / 1e6:.0f} million can be read. Save it smaller; 300 dpi is plenty."
        )


def _pillow(data: bytes, page: int) -> tuple[Image.Image, FileFacts]:
    try:
        # Pillow warns where we refuse by our own limit, before a single pixel is decoded.
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image: Image.Image = Image.open(io.BytesIO(data), formats=ACCEPTED)
            count = _frames(image)
    except UnidentifiedImageError:
        raise PictureError(f"This is not a picture that can be read. Send a {KINDS} file.") from None
    except Image.DecompressionBombError:
        raise PictureError(
            f"The picture has more than {PICTURE_LIMIT_PX / 1e6:.0f} million pixels. Save it smaller; 300 dpi is plenty."
        ) from None
    except Exception:  # noqa: BLE001 - a damaged header fails in as many ways as there are decoders
        raise damaged() from None
    check_page(page, count, "file", "picture")
    return _loaded(image, page, count)


def _frames(image: Image.Image) -> int:
    """How many pictures the file shows; a phone's JPEG with a depth map or preview behind it (MPO) shows one."""
    return 1 if image.format == "MPO" else int(getattr(image, "n_frames", 1))


def _loaded(image: Image.Image, page: int, count: int) -> tuple[Image.Image, FileFacts]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            if page > 1:
                _check_reach(image, page)
                image.seek(page - 1)
            check_size(*image.size)
            dpi = image.info.get("dpi")
            image.load()
    except PictureError:
        raise
    except Exception:  # noqa: BLE001 - damaged data fails in as many ways as there are decoders
        raise damaged() from None
    return image, FileFacts(count, _pair(dpi))


def _check_reach(image: Image.Image, page: int) -> None:
    """Refuses a picture of an animation that could be reached only by decoding too many before it."""
    width, height = image.size
    if image.format != "TIFF" and page * width * height > MOST_BEFORE * PICTURE_LIMIT_PX:
        raise PictureError(
            f"Picture {page} of this animation comes after too many others of {width} by {height} pixels. "
            "Save that picture by itself."
        )


def _heif(data: bytes, page: int) -> tuple[Image.Image, FileFacts]:
    import pi_heif

    try:
        file = pi_heif.open_heif(io.BytesIO(data), convert_hdr_to_8bit=True)
        count = len(file)
        # The primary picture is what a viewer shows; the others follow it in the file's order.
        order = sorted(range(count), key=lambda i: i != file.primary_index)
        chosen = file[order[page - 1]] if page <= count else None
    except Exception:  # noqa: BLE001 - damaged data fails in as many ways as there are decoders
        raise damaged() from None
    check_page(page, count, "file", "picture")
    assert chosen is not None
    check_size(*chosen.size)
    try:
        image = chosen.to_pillow()
    except Exception:  # noqa: BLE001
        raise damaged() from None
    return image, FileFacts(count, None)


def damaged() -> PictureError:
    """The sentence for data that breaks off or makes no sense."""
    return PictureError("The picture's data are cut off or damaged. Copy or send the whole file again.")


def _pair(dpi: object) -> tuple[float, float] | None:
    if not isinstance(dpi, tuple) or len(dpi) != 2:
        return None
    try:
        return float(dpi[0]), float(dpi[1])
    except (TypeError, ValueError, ZeroDivisionError):
        return None
