"""The command line comes in; folders are written and named on stdout, everything said goes to stderr.

Exit status: 0 done; 1 a picture could not be used or a result not written; 2 wrong use.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from vectorize import __version__

if TYPE_CHECKING:
    from vectorize.batch.run import Done

CONTEXT: Final = {"help_option_names": ["-h", "--help"], "max_content_width": 100}

MAIN_EXAMPLES: Final = """\b
Examples:
  vectorize rebuild sheet.jpg --word mantel
  vectorize rebuild --help
  vectorize desk
  vectorize schema > measures.schema.json
"""

REBUILD_EXAMPLES: Final = """\b
Examples:
  vectorize rebuild sheet.jpg
  vectorize rebuild sheet.jpg --word "evening class" --out results
  vectorize rebuild scan.pdf --page 2 --x-height 18
  vectorize rebuild class/*.jpg --word mantel --model typeface.otf
  vectorize rebuild -- -odd-name.jpg
"""


@click.group(context_settings=CONTEXT, epilog=MAIN_EXAMPLES)
@click.version_option(__version__, prog_name="vectorize")
def main() -> None:
    """Rebuild a pencilled word as clean, evenly spaced outlines, and measure what a critique rests on.

    A picture of the word goes in; its levelled drawing, the corrected word, a critique sheet and a sheet to draw from again
    come out. The picture stays as it is, and nothing leaves this computer.
    """


@main.command(epilog=REBUILD_EXAMPLES)
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PICTURE...")
@click.option("--word", help="What every picture shows; letters are then called by their names.")
@click.option(
    "--model",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FONT-OR-PICTURE",
    help="The typeface the word is drawn after: a font file, or a scan of the same word printed in it.",
)
@click.option("--x-height", "x_height_mm", type=float, metavar="MM", help="True distance from baseline to mean line.")
@click.option(
    "--letterspacing",
    "letterspacing_percent",
    type=float,
    metavar="PERCENT",
    help="Added to every space of the corrected word, per cent of the x-height. "
    "Without it the word keeps the tightness it was drawn with.",
)
@click.option("--page", type=int, default=1, metavar="N", help="Page of a PDF or of a TIFF, from 1.")
@click.option("--line", type=int, metavar="N", help="Which line of lettering, from the top; else the largest.")
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("svg_out"), show_default=True, metavar="DIR",
    help="Where the folders go, one a picture.",
)  # fmt: skip
@click.option("--recursive", is_flag=True, help="Also take the pictures in the folders of a named folder.")
@click.option("--resume", is_flag=True, help="Leave a picture as it is whose results fit it already.")
@click.option(
    "--workers", type=click.IntRange(1), metavar="N", help="Pictures worked on at once; all cores unless told."
)
@click.option("--scheduler", metavar="ADDRESS", help="Work on the Dask cluster there instead.")
def rebuild(pictures: tuple[Path, ...], out: Path, **options: Any) -> None:
    """Level, rebuild, re-space and measure the word in each PICTURE (a folder stands for the pictures in it).

    JPEG, PNG, TIFF, WebP, HEIC and PDF are read. For each picture the folder DIR/<name> holds original.svg, corrected.svg,
    comparison.svg, proof.pdf, proof.html, practice.pdf and measures.json.
    """
    from vectorize.batch.find import find
    from vectorize.batch.run import rebuild_all

    recursive, resume = options.pop("recursive"), options.pop("resume")
    workers, scheduler = options.pop("workers"), options.pop("scheduler")
    brief = _brief(**options)
    found = find(pictures, out, recursive=recursive)
    for folder in found.empty:
        _say(f"{folder}: There is no picture in this folder. Name one that holds pictures.")
    with _crew(workers, scheduler, len(found.pictures)) as crew:
        done = rebuild_all(found.pictures, brief, out, crew, resume=resume)
        failed = _tell(done, len(found.pictures))
    sys.exit(1 if failed or found.empty else 0)


def _brief(**options: Any) -> Any:
    from vectorize.brief import Brief
    from vectorize.errors import BriefError

    try:
        return Brief(**options)
    except BriefError as error:
        raise click.UsageError(str(error), click.get_current_context()) from error


def _crew(workers: int | None, scheduler: str | None, pictures: int) -> Any:
    import os

    from vectorize.batch.run import local_workers

    if scheduler is not None:
        from vectorize.batch.cluster import Cluster
        from vectorize.batch.work import make
        from vectorize.errors import BriefError

        try:
            return Cluster(scheduler, make)
        except BriefError as error:
            raise click.UsageError(str(error), click.get_current_context()) from error
    return local_workers(min(workers or os.cpu_count() or 1, max(1, pictures)))


def _tell(done: Iterable[Done], total: int) -> int:
    """Name each folder as it is written and say each fault; how many pictures failed."""
    failed = 0
    on_terminal = sys.stderr.isatty() and total > 1
    for count, one in enumerate(done, 1):
        if on_terminal:
            click.echo("\r\x1b[K", err=True, nl=False)
        for sentence in (*one.told, *([one.error] if one.error else [])):
            _say(f"{one.picture.path.name}: {sentence}")
        failed += one.error is not None
        if one.folder is not None:
            click.echo(_one_line(str(one.folder)))
        if on_terminal and count < total:
            click.echo(f"{count} of {total}", err=True, nl=False)
    return failed


def _say(sentence: str) -> None:
    click.echo(_one_line(sentence), err=True)


def _one_line(text: str) -> str:
    """The text with everything escaped that would not show as a character on one line."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape", "backslashreplace").decode() for c in text)


@main.command()
def schema() -> None:
    """Print the JSON Schema (2020-12) of measures.json."""
    from vectorize.write.schema import schema_text

    click.echo(schema_text())


DESK_EXAMPLES: Final = """\b
Examples:
  vectorize desk
  vectorize desk evening-class
  vectorize desk evening-class --port 8000 --no-browser
"""


@main.command(epilog=DESK_EXAMPLES)
@click.argument("folder", default=Path("svg_out"), type=click.Path(path_type=Path), metavar="[FOLDER]")
@click.option(
    "--port", type=click.IntRange(1, 65535), metavar="N", help="The port to use; any that is free unless told."
)
@click.option("--browser/--no-browser", default=True, help="Open the page in the browser; else only print its address.")
def desk(folder: Path, port: int | None, *, browser: bool) -> None:
    """Open the desk: a page for those who do not use a terminal, served from this computer to this computer only.

    Pictures are handed in, looked at and set right there. All work is kept in FOLDER (svg_out unless told) as it goes; the
    results are written there as `rebuild` writes them. Ctrl-C closes the desk.
    """
    from vectorize.desk.serve import serve
    from vectorize.errors import VectorizeError

    def on_open(address: str) -> None:
        click.echo(address)
        _say("The desk is open at this address. Ctrl-C closes it; nothing is lost.")
        if browser:
            import webbrowser

            webbrowser.open(address)

    try:
        serve(folder, port=port, on_open=on_open)
    except VectorizeError as error:
        _say(str(error))
        sys.exit(1)


if __name__ == "__main__":
    main()
