"""The type files of the sheets, from the open variable font: `python -m tests.sheets.make_type` writes them anew.

A weight is fixed, every character is kept but not its variants, hints and layout tables go, and the family is renamed as
the Open Font License asks where a name is reserved. For the screen a smaller cut goes into each page; what it lacks the
browser takes from another typeface.
"""

from __future__ import annotations

from pathlib import Path

import fontpkg_source_sans_3
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

SOURCE = Path(fontpkg_source_sans_3.__file__).parent
TARGET = Path(__file__).parents[2] / "vectorize" / "sheets" / "type"
ON_SCREEN = (*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2010, 0x2040), *(ord(c) for c in "€−≈≤≥←↑→↓✓"))
"""Latin with the accents of European languages, and what the pages say besides."""


def made(weight: int, style: str, kept: tuple[int, ...] | None = None) -> TTFont:
    """One weight of the font, cut down and renamed; kept: the characters that stay, all unless told."""
    font = instantiateVariableFont(
        TTFont(SOURCE / "files" / "SourceSans3[wght].ttf", recalcTimestamp=False), {"wght": weight}
    )
    options = Options(layout_features=[], hinting=False, name_IDs=[0, 13, 14], notdef_outline=True, glyph_names=False)
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "STAT", "DSIG", "meta", "BASE"]
    cut = Subsetter(options)
    cut.populate(unicodes=kept or font.getBestCmap())
    cut.subset(font)
    for number, text in ((1, "Class Sheet"), (2, style), (4, f"Class Sheet {style}"), (6, f"ClassSheet-{style}")):
        font["name"].setName(text, number, 3, 1, 0x409)
    return font


if __name__ == "__main__":
    TARGET.mkdir(exist_ok=True)
    for file, weight, style in (("regular", 400, "Regular"), ("bold", 650, "Bold")):
        made(weight, style).save(TARGET / f"{file}.ttf")
        screen = made(weight, style, ON_SCREEN)
        screen.flavor = "woff2"
        screen.save(TARGET / f"{file}.woff2")
    (TARGET / "OFL.txt").write_bytes((SOURCE / "LICENSE").read_bytes())
