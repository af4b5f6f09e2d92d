"""Parts of the pages that are made from code; `python -m tests.docs` writes them anew: the table of trade figures and the
README's picture of a result."""

from __future__ import annotations

import importlib
import pkgutil
import re
from pathlib import Path

import vectorize.trade
from vectorize.trade import Figure

DEVELOPERS = Path(__file__).parents[1] / "DEVELOPERS.md"


def trade_table() -> str:
    """Every Figure of `vectorize.trade`, a row each."""
    rows = ["| figure | value | unit | why | source |", "|---|---|---|---|---|"]
    for info in sorted(pkgutil.iter_modules(vectorize.trade.__path__), key=lambda i: i.name):
        module = importlib.import_module(f"vectorize.trade.{info.name}")
        for name, value in sorted(vars(module).items()):
            if isinstance(value, Figure):
                cells = (f"`{info.name}.{name}`", f"{float(value):g}", value.unit, value.reason, value.source)
                rows.append("| " + " | ".join(c.replace("|", "\\|") for c in cells) + " |")
    return "\n".join(rows)


def between_marks(text: str, mark: str) -> str:
    """What stands between `<!-- mark -->` and `<!-- /mark -->`."""
    found = re.search(rf"<!-- {mark} -->\n(.*?)\n<!-- /{mark} -->", text, re.DOTALL)
    assert found, f"no marks for {mark}"
    return found[1]


def put_between_marks(page: Path, mark: str, text: str) -> None:
    """Replace what stands between the marks."""
    old = page.read_text(encoding="utf-8")
    inner = between_marks(old, mark)
    page.write_text(old.replace(f"<!-- {mark} -->\n{inner}\n", f"<!-- {mark} -->\n{text}\n"), encoding="utf-8")


def draw_result(picture: Path, word: str, target: Path, width_px: int = 1200) -> None:
    """The comparison of a sample as a PNG."""
    import resvg_py

    from vectorize.brief import Brief
    from vectorize.flow import study_picture
    from vectorize.sheets.comparison import comparison
    from vectorize.sheets.type import type_file
    from vectorize.write.svg import svg_bytes

    study = study_picture(picture.read_bytes(), picture.name, Brief(word=word))
    svg = svg_bytes(comparison(study)).decode("utf-8")
    own_type = [str(type_file(bold=bold)) for bold in (False, True)]
    png = resvg_py.svg_to_bytes(svg_string=svg, dpi=96, width=width_px, background="white", font_files=own_type)
    target.write_bytes(bytes(png))


if __name__ == "__main__":
    samples = DEVELOPERS.parent / "samples"
    draw_result(samples / "scan-hinnel.jpg", "hinnel", samples / "result.png")
    put_between_marks(DEVELOPERS, "trade", trade_table())
