"""Every kind of file decoded by its content, upright, in eight bits, at the scale it can be believed to have."""

from __future__ import annotations

import hashlib
import io
import struct
import subprocess
import sys
import zlib

import numpy as np
import pillow_heif
import pypdf
import pytest
import tifffile
from PIL import Image, ImageCms, ImageOps
from reportlab.pdfgen import canvas

from vectorize.errors import PictureError
from vectorize.reading import pages
from vectorize.reading.photo import read_photo

WIDTH, HEIGHT = 120, 90


def scene(width: int = WIDTH, height: int = HEIGHT) -> Image.Image:
    """A picture without any symmetry: a ramp, a dark block in the upper left, a reddish one in the lower right."""
    ramp = np.linspace(150, 240, width)[None, :] + np.linspace(-20, 10, height)[:, None]
    rgb = np.repeat(ramp[:, :, None], 3, axis=2)
    rgb[height // 9 : height // 3, width // 12 : width // 4] = 30
    rgb[height * 3 // 4 : height * 5 // 6, width * 2 // 3 : width * 11 // 12] = (200, 90, 80)
    return Image.fromarray(np.clip(rgb, 0, 255).astype(np.uint8))


def stored(image: Image.Image, kind: str, **options) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


def difference(data: bytes, wanted: Image.Image) -> float:
    """Mean difference in grey levels between a file as read and the picture it should show."""
    seen = read_photo(data, "drawing.any", 1).rgb
    assert seen.shape == (wanted.height, wanted.width, 3)
    return float(np.abs(seen.astype(float) - np.asarray(wanted.convert("RGB"), float)).mean())


@pytest.mark.parametrize(
    ("kind", "options", "tolerance"),
    [
        ("JPEG", {"quality": 95}, 2.5),
        ("JPEG", {"quality": 95, "progressive": True}, 2.5),
        ("PNG", {}, 0.0),
        ("TIFF", {"compression": "tiff_lzw"}, 0.0),
        ("TIFF", {"compression": "tiff_adobe_deflate"}, 0.0),
        ("WEBP", {"lossless": True}, 0.0),
        ("BMP", {}, 0.0),
        ("GIF", {}, 8.0),
    ],
)
def test_every_kind_shows_the_same_picture(kind, options, tolerance):
    assert difference(stored(scene(), kind, **options), scene()) <= tolerance


def test_a_phones_second_picture_behind_a_jpeg_is_none_of_the_drawing():
    """CIPA DC-007: a JPEG with a preview or depth map behind it (MPO) shows its first picture."""
    data = stored(scene(), "MPO", save_all=True, append_images=[ImageOps.flip(scene())], quality=95)
    assert difference(data, scene()) < 2.5
    assert read_photo(data, "x.jpg", 1).remarks == ()
    with pytest.raises(PictureError, match="only one picture"):
        read_photo(data, "x.jpg", 2)


def test_heic():
    heif = pillow_heif.from_pillow(scene())
    buffer = io.BytesIO()
    heif.save(buffer, quality=95)
    assert difference(buffer.getvalue(), scene()) < 4


def test_every_picture_of_a_heic_file_can_be_asked_for():
    """The primary one, which a viewer shows, is the first; the others follow in the file's order."""
    greys = (60, 130, 200)
    heif = pillow_heif.HeifFile()
    for grey in greys:
        heif.add_from_pillow(Image.new("RGB", (80, 80), (grey,) * 3))
    buffer = io.BytesIO()
    heif.save(buffer, quality=95, primary_index=2)
    seen = [float(read_photo(buffer.getvalue(), "x", page).rgb.mean()) for page in (1, 2, 3)]
    assert seen == pytest.approx([200, 60, 130], abs=3)


def test_the_ending_of_the_name_does_not_matter():
    data = stored(scene(), "PNG")
    assert np.array_equal(read_photo(data, "x.jpg", 1).rgb, read_photo(data, "no ending", 1).rgb)


def test_name_and_digest_are_kept():
    data = stored(scene(), "PNG")
    photo = read_photo(data, "x.png", 1)
    assert photo.name == "x.png"
    assert photo.digest == hashlib.sha256(data).hexdigest()
    assert not photo.rgb.flags.writeable


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_exif_orientation(kind, orientation):
    """JEITA CP-3451 p. 18 names eight orientations; Pillow's own exif_transpose is the second opinion."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    options = {"lossless": True} if kind == "WEBP" else {"quality": 97, "subsampling": 0} if kind == "JPEG" else {}
    data = stored(scene(), kind, exif=exif, **options)
    wanted = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    assert difference(data, wanted) == 0.0


@pytest.mark.parametrize("orientation", range(1, 9))
def test_heic_orientation(orientation):
    """Written by libheif, which turns the tag into the file's own irot and imir (ISO/IEC 23008-12, 6.5.10 and 6.5.12)."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    buffer = io.BytesIO()
    pillow_heif.from_pillow(scene()).save(buffer, quality=95, exif=exif.tobytes())
    tagged = scene()
    tagged.info["exif"] = exif.tobytes()
    assert difference(buffer.getvalue(), ImageOps.exif_transpose(tagged)) < 4


def test_sixteen_bit_grey_keeps_its_greys():
    values = np.linspace(0, 65535, 256 * 64).reshape(64, 256).astype(np.uint16)
    for kind in ("PNG", "TIFF"):
        seen = read_photo(stored(Image.fromarray(values), kind), "x", 1).rgb[:, :, 0]
        assert len(np.unique(seen)) == 256
        assert np.abs(seen.astype(float) - values / 257.0).max() <= 1.0


@pytest.mark.parametrize("bits", [10, 12, 14, 16])
def test_deep_greys_that_were_not_shifted_up_keep_their_white(bits):
    """Scanners store 10, 12 or 14 bits as they are in 16; white is then 2^bits - 1."""
    values = np.linspace(0, 2**bits - 1, 256 * 64).reshape(64, 256).astype(np.uint16)
    seen = read_photo(stored(Image.fromarray(values), "TIFF"), "x", 1).rgb[:, :, 0]
    assert np.abs(seen - values * (255.0 / (2**bits - 1))).max() <= 1.0


@pytest.mark.parametrize(("kind", "white"), [(np.uint32, 2**32 - 1), (np.float32, 1.0), (np.float32, 255.0)])
def test_greys_of_32_bits(kind, white):
    values = (np.linspace(0, 1, 256 * 64).reshape(64, 256) * white).astype(kind)
    buffer = io.BytesIO()
    tifffile.imwrite(buffer, values)
    seen = read_photo(buffer.getvalue(), "x", 1).rgb[:, :, 0]
    assert np.abs(seen - values * (255.0 / white)).max() <= 1.0


def test_one_bit_is_black_and_white():
    image = scene().convert("L").point(lambda v: 255 * (v > 128)).convert("1")
    for kind in ("PNG", "TIFF"):
        assert difference(stored(image, kind), image) == 0.0


def test_transparent_parts_are_white_paper():
    image = scene().convert("RGBA")
    image.putalpha(Image.new("L", image.size, 0))
    assert (read_photo(stored(image, "PNG"), "x", 1).rgb == 255).all()
    half = Image.new("RGBA", (80, 80), (0, 0, 0, 128))
    assert abs(int(read_photo(stored(half, "PNG"), "x", 1).rgb[40, 40, 0]) - 127) <= 1


def test_a_palette_with_a_transparent_entry():
    image = Image.new("P", (80, 80), 1)
    image.putpalette([0, 0, 0, 200, 10, 10])
    data = stored(image, "PNG", transparency=1)
    assert (read_photo(data, "x", 1).rgb == 255).all()


def test_cmyk_jpeg():
    seen = read_photo(stored(scene().convert("CMYK"), "JPEG", quality=95), "x", 1).rgb
    assert np.abs(seen.astype(float) - np.asarray(scene(), float)).mean() < 4


def test_a_colour_profile_is_honoured():
    """The same lightness L* = 50 under two profiles: CIE Lab to sRGB puts mid grey at 118.9 (IEC 61966-2-1)."""
    linear = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    same = read_photo(stored(scene(), "PNG", icc_profile=linear.tobytes()), "x", 1).rgb
    assert np.array_equal(same, np.asarray(scene()))
    lab = Image.new("LAB", (80, 80), (128, 128, 128))
    tiff = stored(lab, "TIFF", icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes())
    assert np.abs(read_photo(tiff, "x", 1).rgb.astype(float) - 119).max() < 3


def test_a_broken_profile_does_no_harm():
    assert difference(stored(scene(), "PNG", icc_profile=b"no profile at all"), scene()) == 0.0


@pytest.mark.parametrize(("dpi", "believed"), [(72, False), (96, False), (100, True), (300, True), (9600, False)])
def test_resolution_is_believed_only_where_a_scanner_wrote_it(dpi, believed):
    mm_per_px = read_photo(stored(scene(), "JPEG", dpi=(dpi, dpi)), "x", 1).mm_per_px
    assert mm_per_px == (pytest.approx(25.4 / dpi, rel=1e-3) if believed else None)


def test_png_phys_of_300_dpi():
    """PNG specification, pHYs: 300 dpi = 11811 px/m."""
    data = stored(scene(), "PNG", dpi=(300, 300))
    assert struct.pack(">II", 11811, 11811) in data
    assert read_photo(data, "x", 1).mm_per_px == pytest.approx(1000 / 11811)


def test_resolution_written_by_a_camera_means_nothing():
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x829A] = 0.01
    assert read_photo(stored(scene(), "JPEG", dpi=(300, 300), exif=exif), "x", 1).mm_per_px is None


def test_focal_length_of_35_mm_film():
    """43.27 mm is the diagonal of 36 x 24 mm, so that lens sees just as far as the diagonal is long."""
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 26
    assert read_photo(stored(scene(), "JPEG", exif=exif), "x", 1).focal_ratio == pytest.approx(26 / 43.267, rel=1e-3)


def test_a_file_of_several_pictures_says_so():
    pages = [scene(), ImageOps.flip(scene())]
    data = stored(pages[0], "TIFF", save_all=True, append_images=pages[1:])
    first, second = read_photo(data, "x", 1), read_photo(data, "x", 2)
    assert np.array_equal(first.rgb, np.asarray(pages[0]))
    assert np.array_equal(second.rgb, np.asarray(pages[1]))
    assert "2 pictures" in first.remarks[0].text
    with pytest.raises(PictureError, match="Page 3 was asked for"):
        read_photo(data, "x", 3)


def test_a_late_picture_of_a_huge_animation_is_refused():
    """Each is made from the one before it, so that number 60 of 99.8 million pixels costs sixty times as much."""
    frames = [Image.new("P", (100, 100), k) for k in range(60)]
    for k, frame in enumerate(frames):
        frame.putpalette([v for c in range(256) for v in (c, 255 - c, 0)])
        frame.putpixel((k, k), 255)
    data = stored(frames[0], "GIF", save_all=True, append_images=frames[1:])
    assert read_photo(data, "x", 60).size_px == (100, 100)
    huge = data[:6] + struct.pack("<HH", 9990, 9990) + data[10:]
    with pytest.raises(PictureError, match="Picture 60 of this animation"):
        read_photo(huge, "x", 60)


def pdf_page(size_pt=(595.276, 841.890), pages: int = 1, picture: Image.Image | None = None) -> bytes:
    buffer = io.BytesIO()
    sheet = canvas.Canvas(buffer, pagesize=size_pt)
    for number in range(pages):
        if picture is not None:
            sheet.drawInlineImage(picture, 0, 0, *size_pt)
        else:
            sheet.rect(72, 72 * (number + 1), 144, 36, fill=1)
        sheet.showPage()
    sheet.save()
    return buffer.getvalue()


def test_a_page_of_lines_has_true_size():
    """A4 is 210 x 297 mm (ISO 216); a bar of 2 inches (144 pt) is 50.8 mm."""
    photo = read_photo(pdf_page(), "x.pdf", 1)
    assert photo.mm_per_px is not None
    assert photo.size_px[0] * photo.mm_per_px == pytest.approx(210, rel=2e-3)
    assert photo.size_px[1] * photo.mm_per_px == pytest.approx(297, rel=2e-3)
    bar = (photo.rgb[:, :, 0] < 128).any(axis=0).sum() * photo.mm_per_px
    assert bar == pytest.approx(50.8, abs=0.6)


def test_a_scanned_page_is_read_at_its_own_resolution():
    photo = read_photo(pdf_page(picture=scene(827, 1169)), "x.pdf", 1)
    assert photo.size_px == (827, 1169)
    assert photo.mm_per_px == pytest.approx(210 / 827, rel=2e-3)
    assert np.abs(photo.rgb.astype(float) - np.asarray(scene(827, 1169), float)).mean() < 2


def test_a_rotated_page_is_turned():
    """ISO 32000-1, table 30: Rotate turns the page clockwise when shown."""
    upright = read_photo(pdf_page(picture=scene(400, 566)), "x.pdf", 1)
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(pdf_page(picture=scene(400, 566))))
    writer.pages[0].rotate(90)
    buffer = io.BytesIO()
    writer.write(buffer)
    turned = read_photo(buffer.getvalue(), "x.pdf", 1)
    assert turned.size_px == upright.size_px[::-1]
    assert np.abs(np.rot90(upright.rgb, -1).astype(float) - turned.rgb).mean() < 2


def test_pages_of_a_pdf():
    data = pdf_page(pages=2)
    one, two = read_photo(data, "x.pdf", 1), read_photo(data, "x.pdf", 2)
    assert not np.array_equal(one.rgb, two.rgb)
    assert "2 pages" in two.remarks[0].text
    with pytest.raises(PictureError, match=r"has 2 pages\. Give --page a number from 1 to 2\."):
        read_photo(data, "x.pdf", 3)


@pytest.mark.parametrize(
    ("kind", "held"), [("PNG", "the file has only one picture"), ("PDF", "the PDF has only one page")]
)
def test_where_there_is_one_page_none_need_be_given(kind, held):
    with pytest.raises(PictureError, match=rf"Page 2 was asked for, but {held}\. Leave --page out\."):
        read_photo(stored(scene(), "PNG") if kind == "PNG" else pdf_page(), "x", 2)


def locked(data: bytes) -> bytes:
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    writer.encrypt("secret", algorithm="RC4-128")
    buffer = io.BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def no_pages() -> bytes:
    buffer = io.BytesIO()
    pypdf.PdfWriter().write(buffer)
    return buffer.getvalue()


def nested(depth: int = 7) -> bytes:
    """A page of two kilobytes that shows a form twelve times, which shows a form twelve times, and so on: 12^8 shapes."""
    form = b"<</Type/XObject/Subtype/Form/BBox[0 0 595 842]/Resources<<%s>>/Length %d>>stream\n%s\nendstream"
    again = b"/F Do " * 12
    objects = [
        b"<</Type/Catalog/Pages 2 0 R>>",
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>",
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Contents 4 0 R/Resources<</XObject<</F 5 0 R>>>>>>",
        b"<</Length %d>>stream\n%s\nendstream" % (len(again), again),
        *(form % (b"/XObject<</F %d 0 R>>" % (6 + k), len(again), again) for k in range(depth)),
        form % (b"", 16, b"0 0 100 100 re f"),
    ]
    body = b"".join(b"%d 0 obj%s endobj\n" % (k + 1, o) for k, o in enumerate(objects))
    return b"%PDF-1.7\n" + body + b"trailer<</Size %d/Root 1 0 R>>\n%%%%EOF" % (len(objects) + 1)


def test_a_page_without_end_is_given_up(monkeypatch):
    assert read_photo(nested(1), "x", 1).mm_per_px is not None
    monkeypatch.setattr(pages, "PAGE_SECONDS", 1.0)
    with pytest.raises(PictureError, match="too much memory"):
        read_photo(nested(), "x", 1)


def test_a_page_that_ends_the_program_that_draws_it_is_refused(monkeypatch):
    monkeypatch.setattr(pages, "COMMAND", (sys.executable, "-c", "import os; os.abort()"))
    with pytest.raises(PictureError, match="damaged"):
        read_photo(pdf_page(), "x", 1)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux holds a process to its memory")
def test_the_press_is_held_to_its_memory():
    code = "from vectorize.reading.press import hold; hold(8e8, 60); bytearray(10**9)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert "MemoryError" in done.stderr


def test_nothing_is_printed_about_a_damaged_file(tmp_path):
    """A TIFF that claims 769 samples a pixel, which the library would note on the standard error."""
    data = bytearray(stored(scene(), "TIFF"))
    at = data.index(struct.pack("<HHI", 277, 3, 1))
    data[at + 8 : at + 10] = struct.pack("<H", 769)
    path = tmp_path / "x.tif"
    path.write_bytes(data)
    code = (
        "import sys; from vectorize.reading.photo import read_photo; read_photo(open(sys.argv[1], 'rb').read(), 'x', 1)"
    )
    done = subprocess.run([sys.executable, "-c", code, path], capture_output=True, text=True, check=False)
    assert "More samples" not in done.stderr
    assert done.stderr.splitlines()[-1].startswith("vectorize.errors.PictureError: This is not a picture")


def png_header(width: int, height: int, pixels: bytes) -> bytes:
    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")


REFUSED = {
    "empty": (b"", "empty"),
    "a text": (b"milk, eggs\n" * 40, "not a picture"),
    "a drawing in SVG": (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "not a picture"),
    "a cut JPEG": (stored(scene(), "JPEG")[:-200], "cut off or damaged"),
    "a JPEG cut at its head": (stored(scene(), "JPEG")[:30], "cut off or damaged|not a picture"),
    "a cut progressive JPEG": (stored(scene(), "JPEG", progressive=True)[:-200], "cut off or damaged"),
    "a cut TIFF": (stored(scene(), "TIFF")[:20000], "cut off or damaged"),
    "a cut WebP": (stored(scene(), "WEBP")[:-200], "cut off or damaged"),
    "a cut PNG": (stored(scene(), "PNG")[:-200], "cut off or damaged"),
    "a PNG without pixels": (png_header(800, 600, b""), "cut off or damaged"),
    "a dot": (stored(Image.new("L", (1, 1)), "PNG"), "only 1 by 1"),
    "a strip": (stored(Image.new("L", (4000, 3)), "PNG"), "only 4000 by 3"),
    "a huge picture": (png_header(12000, 12000, b""), "12000 by 12000"),
    "a decompression bomb": (png_header(100_000, 100_000, zlib.compress(b"0" * 100)), "million pixels"),
    "a locked PDF": (locked(pdf_page()), "locked"),
    "a PDF without pages": (no_pages(), "no page"),
    "a cut PDF": (pdf_page()[:600], "cut off"),
    "no PDF inside": (b"%PDF-1.7\nnothing here %%EOF", "no page"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_read_is_refused_with_a_sentence(case):
    data, words = REFUSED[case]
    with pytest.raises(PictureError, match=words) as refusal:
        read_photo(data, "x", 1)
    text = str(refusal.value)
    assert "\n" not in text
    assert text.endswith(".")
