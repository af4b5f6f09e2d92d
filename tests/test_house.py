"""The layers of the house, the size of its rooms, and what its pages may not say."""

from __future__ import annotations

import ast
import re
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "vectorize"

ORDER = (
    "ground",
    "reading",
    "outlines",
    "anatomy",
    "spacing",
    "model",
    "study",
    "critique",
    "sheets",
    "write",
    "flow",
    "edge",
)
"""From the ground up: a module imports its own layer and those before it."""

GROUND = {"errors", "geometry", "raster", "curves", "trade", "brief", "findings", "corrections"}
FLOW = {"flow", "bearings", "by_hand"}
EDGE = {"cli", "batch", "desk", "drafts", "__init__", "api"}


def layer(module: str) -> str:
    """The layer of a dotted module below `vectorize`."""
    room = module.split(".", maxsplit=1)[0]
    if room in GROUND:
        return "ground"
    if room in FLOW:
        return "flow"
    if room in EDGE:
        return "edge"
    assert room in ORDER, f"{module} has no layer; name one in tests/test_house.py"
    return room


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def imports(path: Path) -> set[str]:
    """Modules of the package that `path` imports, relative to the package."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "vectorize":
            inner = node.module.removeprefix("vectorize").lstrip(".")
            found.update({inner} if inner else {a.name for a in node.names if not a.name.startswith("__")})
        elif isinstance(node, ast.Import):
            found.update(a.name.removeprefix("vectorize.") for a in node.names if a.name.startswith("vectorize."))
    return found


def name_of(path: Path) -> str:
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts)


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_a_module_imports_only_its_own_layer_and_those_below(path: Path):
    own = ORDER.index(layer(name_of(path)))
    above = {m for m in imports(path) if ORDER.index(layer(m)) > own}
    assert not above


def test_no_module_is_needed_by_what_it_needs():
    own = {name_of(p).removesuffix(".__init__"): p for p in modules()}
    needs = {}
    for name, path in own.items():
        found = [n for n in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(n, ast.ImportFrom)]
        rooms = [(n.module.removeprefix("vectorize").lstrip("."), a.name) for n in found for a in n.names if n.module]
        # A room's name before a module's: `from vectorize.reading import given`.
        needs[name] = {m for room, a in rooms for m in (f"{room}.{a}".lstrip("."), room) if m in own}
    tuple(TopologicalSorter(needs).static_order())  # raises CycleError


def test_write_knows_only_drawings_and_plain_records():
    for path in (PACKAGE / "write").glob("*.py"):
        assert not {m for m in imports(path) if m.split(".")[0] in {"reading", "critique", "model"}}, path


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_a_module_says_what_it_is_for_and_stays_under_400_lines(path: Path):
    text = path.read_text(encoding="utf-8")
    assert ast.get_docstring(ast.parse(text))
    assert len(text.splitlines()) <= 400


@pytest.mark.parametrize("path", modules(), ids=name_of)
def test_functions_stay_under_40_lines_besides_their_docstring(path: Path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            lines = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            assert lines <= 40, f"{path.name}: {node.name} has {lines} lines"


def test_nothing_is_left_unfinished():
    for path in modules():
        assert not re.search(r"\b(TODO|FIXME|XXX|NotImplementedError)\b", path.read_text(encoding="utf-8")), path


def test_the_top_level_holds_what_it_should():
    wanted = {
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "CHANGELOG.md",
        "pyproject.toml",
        "vectorize",
        "tests",
        "samples",
        "svg_out",
        "benchmarks",
    }
    shown = {p.name for p in ROOT.iterdir() if not p.name.startswith(".") and p.name not in {"dist", "build"}}
    assert shown == wanted
