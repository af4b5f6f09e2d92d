"""`python -m benchmarks.desk [--write] [--pictures DIR]`: the desk's own figures, measured in a real browser.

First view, each kind of correction on a 12 Mpx photograph, a class of a hundred. With --write the table goes into DEVELOPERS.md,
with --pictures the page is photographed for the README.
"""

from __future__ import annotations

import io
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click
from PIL import Image

from tests.desk.serving import Desk, desk_in_process
from tests.docs import DEVELOPERS, put_between_marks

SAMPLES = Path(__file__).parents[1] / "samples"
TWELVE_MPX = (3000, 4000)
ROUNDS = 5
CLASS_SIZE = 100


def twelve() -> bytes:
    """The desk photograph of the samples at the size of a telephone's."""
    out = io.BytesIO()
    with Image.open(SAMPLES / "desk-tandrel.jpg") as image:
        image.resize(TWELVE_MPX).save(out, "JPEG", quality=92)
    return out.getvalue()


def corrections(study: dict[str, Any]) -> dict[str, Callable[[int], dict[str, Any]]]:
    """For each kind of correction one that is new each round, so that nothing remembered answers for it."""
    letters, ends = study["letters"], study["guides"]["baseline"]["ends"]
    h = study["units_to_picture"]["flat"]

    def at(x: float, y: float) -> list[float]:
        w = h[6] * x + h[7] * y + h[8]
        return [(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w]

    def cut(x: float) -> dict[str, Any]:
        return {"divisions": [{"kind": "cut", "start": at(x, 1600.0), "end": at(x, -400.0)}]}

    middle = (letters[2]["box"][0] + letters[2]["box"][2]) / 2
    return {
        "a letter moved": lambda i: {"placed": [{"at": letters[1]["at"], "move_u": 20.0 + i}]},
        "a letter named": lambda i: {"names": [{"at": letters[1]["at"], "name": "abcde"[i]}]},
        "x-height given": lambda i: {"x_height_mm": 20.0 + i},
        "baseline dragged": lambda i: {
            "guides": [{"name": "baseline", "start": at(*ends[0]), "end": at(ends[1][0], ends[1][1] + 9 + i)}]
        },
        "a letter cut in two": lambda i: cut(middle + 5.0 * i),
        "two letters joined": lambda i: {
            "divisions": [{"kind": "join", "start": letters[i]["at"], "end": letters[i + 1]["at"]}]
        },
        "a letter left out": lambda i: {
            "divisions": [{"kind": "drop", "start": letters[i]["at"], "end": letters[i]["at"]}]
        },
    }


def recomputed(desk: Desk, number: int) -> dict[str, float]:
    """Median seconds from a correction sent to the drawing read anew, of ROUNDS."""
    study = desk.settled(number, 120)["study"]
    desk.ask("PUT", f"api/drawings/{number}/corrections", json={})
    found = {}
    for kind, make in corrections(study).items():
        seconds = []
        for i in range(ROUNDS):
            begun = time.perf_counter()
            answer = desk.ask("PUT", f"api/drawings/{number}/corrections", json=make(i))
            seconds.append(time.perf_counter() - begun)
            answer.raise_for_status()
        found[kind] = statistics.median(seconds)
    desk.ask("PUT", f"api/drawings/{number}/corrections", json={})
    return found


def first_view(browser: Any, address: str, drawn: str) -> float:
    """Median seconds from asking for the page to `drawn` being on it, each time in a browser that knows nothing of it."""
    seconds = []
    for _ in range(ROUNDS):
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        begun = time.perf_counter()
        page.goto(address)
        page.locator(drawn).first.wait_for()
        seconds.append(time.perf_counter() - begun)
        context.close()
    return statistics.median(seconds)


def photographed(browser: Any, desk: Desk, number: int, into: Path) -> None:
    """The README's pictures: the wall and the table."""
    context = browser.new_context(viewport={"width": 1280, "height": 760})
    page = context.new_page()
    for name, address, drawn in (
        ("the-desk", f"{desk.root}#drawing-{number}", ".sheet .letter"),
        ("the-wall", f"{desk.root}#wall", ".card img"),
    ):
        page.goto(address)
        page.locator(drawn).first.wait_for()
        page.wait_for_timeout(800)
        with Image.open(io.BytesIO(page.screenshot())) as image:
            # Few colours, small files: these are looked at in a README.
            image.convert("RGB").quantize(256, Image.Quantize.MAXCOVERAGE).save(into / f"{name}.png", optimize=True)
    context.close()


def crowd(folder: Path, room: Path) -> None:
    """A class of CLASS_SIZE on a shelf of its own: one drawing's room many times."""
    import json

    for number in range(1, CLASS_SIZE + 1):
        new = folder / ".desk" / f"{number:04d}"
        shutil.copytree(room, new)
        record = json.loads((new / "record.json").read_bytes())
        record |= {"number": number, "name": f"draft {number}.jpg", "folder": f"draft {number}", "written": True}
        (new / "record.json").write_text(json.dumps(record))
        (folder / f"draft {number}").mkdir()


def handed_in(desk: Desk, sample: Path) -> int:
    """A sample on the wall, read; its number."""
    word = sample.stem.removesuffix("-second").split("-")[-1]
    headers = {"x-file-name": sample.name, "x-word": word.upper() if "capitals" in sample.name else word}
    answer = desk.ask("POST", "api/drawings", content=sample.read_bytes(), headers=headers)
    desk.settled(answer.json()["number"], 120)
    return int(answer.json()["number"])


def measured(browser: Any, room: Path) -> dict[str, float]:
    """All figures; the folders are made in `room`."""
    with desk_in_process(room / "class", "real") as (desk, _):
        headers = {"x-file-name": "photograph.jpg", "x-word": "tandrel"}
        number = desk.ask("POST", "api/drawings", content=twelve(), headers=headers).json()["number"]
        desk.settled(number, 120)
        figures = {
            "first view of the wall": first_view(browser, desk.root, ".card img"),
            "first view of a 12 Mpx drawing": first_view(browser, f"{desk.root}#drawing-{number}", ".letter"),
            **recomputed(desk, number),
        }
    crowd(room / "crowd", room / "class" / ".desk" / f"{number:04d}")
    with desk_in_process(room / "crowd", "real") as (desk, _):
        last = f".card >> nth={CLASS_SIZE - 1}"
        figures[f"first view of a wall of {CLASS_SIZE}"] = first_view(browser, desk.root, last)
        cut = recomputed(desk, CLASS_SIZE // 2)["a letter cut in two"]
        figures[f"a letter cut in two, one of {CLASS_SIZE}"] = cut
    return figures


def table(figures: dict[str, float]) -> str:
    """The figures as a table."""
    rows = [f"| {what} | {seconds:.2f} |" for what, seconds in figures.items()]
    return "\n".join(["| median of five, two cores | s |", "|---|---|", *rows])


@click.command()
@click.option("--write", is_flag=True)
@click.option("--pictures", type=click.Path(path_type=Path, file_okay=False))
def main(*, write: bool, pictures: Path | None) -> None:
    """Measure, print, and put where it is read."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as name, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"])
        if pictures:
            pictures.mkdir(parents=True, exist_ok=True)
            with desk_in_process(Path(name) / "evening-class", "real") as (desk, _):
                numbers = {sample.stem: handed_in(desk, sample) for sample in sorted(SAMPLES.glob("*.jpg"))}
                photographed(browser, desk, numbers["scan-hinnel"], pictures)
        text = table(measured(browser, Path(name)))
        browser.close()
    click.echo(text)
    if write:
        put_between_marks(DEVELOPERS, "desk", text)


if __name__ == "__main__":
    main()
