"""A font and two of its glyphs come in; out goes the designer's kerning between them, in font units."""

from __future__ import annotations

from typing import Any, Final

PAIR: Final = 2
EXTENSION: Final = 9


def pair_lookups(font: Any) -> list[list[Any]]:
    """Subtables of each pair lookup of the 'kern' feature, in order (OpenType 1.9, GPOS lookup type 2)."""
    if "GPOS" not in font or font["GPOS"].table.FeatureList is None:
        return []
    table = font["GPOS"].table
    numbers = {
        i
        for record in table.FeatureList.FeatureRecord
        if record.FeatureTag == "kern"
        for i in record.Feature.LookupListIndex
    }
    found = []
    for i in sorted(numbers):
        lookup = table.LookupList.Lookup[i]
        subtables = [s.ExtSubTable if lookup.LookupType == EXTENSION else s for s in lookup.SubTable]
        found.append([s for s in subtables if s.LookupType == PAIR])
    return found


def kerning(font: Any, left: str, right: str, lookups: list[list[Any]]) -> float:
    """Change of the advance between two glyphs, by name; 0 where the designer set none.

    Of each lookup the first subtable that knows the pair counts; a font without GPOS pairs is asked for its old
    'kern' table. Variable fonts answer for their default.
    """
    if any(lookups):
        return float(
            sum(next((v for s in subtables if (v := _asked(s, left, right)) is not None), 0) for subtables in lookups)
        )
    if "kern" in font:
        return float(sum(t.kernTable.get((left, right), 0) for t in font["kern"].kernTables if hasattr(t, "kernTable")))
    return 0.0


def _asked(subtable: Any, left: str, right: str) -> int | None:
    """The pair's value, or None where this subtable does not know the pair."""
    if left not in subtable.Coverage.glyphs:
        return None
    if subtable.Format == 1:
        pairs = subtable.PairSet[subtable.Coverage.glyphs.index(left)].PairValueRecord
        found = next((p for p in pairs if p.SecondGlyph == right), None)
        return None if found is None else _advance(found.Value1)
    first = subtable.ClassDef1.classDefs.get(left, 0)
    second = subtable.ClassDef2.classDefs.get(right, 0)
    return _advance(subtable.Class1Record[first].Class2Record[second].Value1)


def _advance(value: Any) -> int:
    return int(getattr(value, "XAdvance", 0) or 0) if value else 0
