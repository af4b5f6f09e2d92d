"""The two type files of the sheets, from the open variable font: `python -m tests.sheets.make_type` writes them anew.

A weight is fixed, the characters of alphabetic scripts are kept, hints and layout tables go, and the family is renamed as
the Open Font License asks where a name is reserved.
"""

from __future__ import annotations

from pathlib import Path

import fontpkg_source_sans_3
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

SOURCE = Path(fontpkg_source_sans_3.__file__).parent
TARGET = Path(__file__).parents[2] / "vectorize" / "sheets" / "type"
KEPT = (
    *range(0x20, 0x7F),
    *range(0xA0, 0x250),
    *range(0x370, 0x400),
    *range(0x400, 0x530),
    *range(0x1E00, 0x2000),
    *range(0x2010, 0x2045),
    *(ord(c) for c in "€№™←↑→↓↔↕−≈≤≥✓▲△▸●○■□"),
)


def made(weight: int, style: str) -> TTFont:
    """One weight of the font, cut down and renamed."""
    font = instantiateVariableFont(
        TTFont(SOURCE / "files" / "SourceSans3[wght].ttf", recalcTimestamp=False), {"wght": weight}
    )
    options = Options(layout_features=[], hinting=False, name_IDs=[0, 13, 14], notdef_outline=True, glyph_names=False)
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "STAT", "DSIG", "meta", "BASE"]
    cut = Subsetter(options)
    cut.populate(unicodes=KEPT)
    cut.subset(font)
    for number, text in ((1, "Class Sheet"), (2, style), (4, f"Class Sheet {style}"), (6, f"ClassSheet-{style}")):
        font["name"].setName(text, number, 3, 1, 0x409)
    return font


if __name__ == "__main__":
    TARGET.mkdir(exist_ok=True)
    made(400, "Regular").save(TARGET / "regular.ttf")
    made(650, "Bold").save(TARGET / "bold.ttf")
    (TARGET / "OFL.txt").write_bytes((SOURCE / "LICENSE").read_bytes())
