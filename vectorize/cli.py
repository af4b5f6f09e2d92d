"""The command line comes in; folders are written and named on stdout, everything said goes to stderr.

Exit status: 0 done; 1 a picture could not be used or a result not written; 2 wrong use.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from vectorize import __version__

if TYPE_CHECKING:
    from vectorize.batch.find import Picture
    from vectorize.batch.run import Done
    from vectorize.brief import Brief

CONTEXT: Final = {"help_option_names": ["-h", "--help"], "max_content_width": 100}

MAIN_EXAMPLES: Final = """\b
Examples:
  vectorize rebuild sheet.jpg --word mantel
  vectorize compare first.jpg second.jpg --word mantel
  vectorize guidelines --x-height 18
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


class Program(click.Group):
    """The commands, with a plain end where stdout leads to a full disk."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was called."""
        try:
            return super().invoke(ctx)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            # What could not be said must not be tried again as the program ends.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            _say(
                f"What was to be told on the standard output could not be written ({error.strerror or error}). "
                "Send it to a place with room; folders of results that are there are whole."
            )
            ctx.exit(1)


@click.group(cls=Program, context_settings=CONTEXT, epilog=MAIN_EXAMPLES)
@click.version_option(__version__, prog_name="vectorize")
def main() -> None:
    """Rebuild a pencilled word as clean, evenly spaced outlines, and measure what a critique rests on.

    A picture of the word goes in; its levelled drawing, the corrected word, a critique sheet and a sheet to draw from again
    come out. The picture stays as it is, and nothing leaves this computer unless you name a cluster.
    """
    from vectorize.batch.worker import one_thread

    one_thread()


MODEL: Final = click.option(
    "--model",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FONT-OR-PICTURE",
    help="The typeface the word is drawn after: a font file, or a scan of the same word printed in it.",
)
OUT: Final = click.option(
    "--out", type=click.Path(path_type=Path), default=Path("svg_out"), show_default=True, metavar="DIR",
    help="Where the results go.",
)  # fmt: skip


@main.command(epilog=REBUILD_EXAMPLES, short_help="Level, rebuild, re-space and measure a drawn word.")
@click.argument("pictures", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="PICTURE...")
@click.option("--word", help="What every picture shows; letters are then called by their names.")
@MODEL
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
@OUT
@click.option("--recursive", is_flag=True, help="Also take the pictures in the folders of a named folder.")
@click.option("--resume", is_flag=True, help="Leave a picture as it is whose results fit it already.")
@click.option(
    "--workers", type=click.IntRange(1), metavar="N", help="Pictures worked on at once; all cores unless told."
)
@click.option("--scheduler", metavar="ADDRESS", help="Work on the Dask cluster there instead.")
@click.option("--shared", is_flag=True, help="The cluster sees the same files: send it their paths, not their bytes.")
@click.option("--timings", is_flag=True, help="Say how long each stage of each picture took.")
def rebuild(pictures: tuple[Path, ...], out: Path, **options: Any) -> None:
    """Level, rebuild, re-space and measure the word in each PICTURE (a folder stands for the pictures in it).

    JPEG, PNG, TIFF, WebP, HEIC and PDF are read. For each picture the folder DIR/<name> holds original.svg, corrected.svg,
    comparison.svg, proof.pdf, proof.html, practice.pdf and measures.json.
    """
    from vectorize.batch.find import find

    brief = _brief(**{name: options[name] for name in BRIEF})
    found = find(pictures, out, recursive=options["recursive"])
    for folder in found.empty:
        _say(f"{folder}: There is no picture in this folder. Name one that holds pictures.")
    if found.left_out:
        _say(f"Left out, being no pictures by their names: {found.left_out} of the files in the folders.")
    with _stopping("The folders that were named are whole; the same command with --resume goes on from here."):
        failed = _rebuilt(found.pictures, brief, out, options)
    sys.exit(1 if failed or found.empty else 0)


BRIEF: Final = ("word", "model", "x_height_mm", "letterspacing_percent", "page", "line")


def _rebuilt(pictures: tuple[Picture, ...], brief: Brief, out: Path, options: dict[str, Any]) -> bool:
    """Rebuild the pictures and pin up the drawings; whether anything failed."""
    from vectorize.batch.run import crew_for, rebuild_all

    with (
        _misused(),
        crew_for(len(pictures), workers=options["workers"], scheduler=options["scheduler"]) as crew,
    ):
        done = _tell(
            rebuild_all(
                pictures,
                brief,
                out,
                crew,
                resume=options["resume"],
                shared=options["shared"],
                timings=options["timings"],
            ),
            len(pictures),
        )
    folders = {d.picture: d.folder for d in done if d.folder is not None}
    if len(folders) > 1:
        _pin_up(out, [folders[p] for p in pictures if p in folders])
    return len(folders) < len(pictures)


def _pin_up(out: Path, folders: list[Path]) -> None:
    from vectorize.batch.pin_up import write_pin_up

    with _telling():
        hung = write_pin_up(out, folders)
        if hung and sys.stderr.isatty():
            _say(f"The drawings are pinned up together in {hung[0].with_suffix('.html')}")


@contextlib.contextmanager
def _misused() -> Iterator[None]:
    """Options that make no sense are a wrong use."""
    from vectorize.errors import BriefError

    try:
        yield
    except BriefError as error:
        raise click.UsageError(str(error), click.get_current_context()) from error


@contextlib.contextmanager
def _telling() -> Iterator[None]:
    """What cannot be used or written is one sentence on stderr, and status 1."""
    from vectorize.errors import VectorizeError

    try:
        yield
    except VectorizeError as error:
        _say(str(error))
        sys.exit(1)


@contextlib.contextmanager
def _stopping(what_is_there: str) -> Iterator[None]:
    """Ctrl-C ends the run between two folders or files."""
    try:
        yield
    except KeyboardInterrupt:
        _say(f"Stopped. {what_is_there}")
        sys.exit(1)


def _brief(**options: Any) -> Brief:
    from vectorize.brief import Brief

    with _misused():
        return Brief(**options)


def _tell(coming: Iterator[Done], total: int) -> list[Done]:
    """Name each folder as it is written and say each fault; a bar shows how far the run is, on a terminal."""
    from vectorize.batch.progress import Bar

    seen: list[Done] = []
    bar = Bar(total, sys.stderr)
    bar.at(0)
    try:
        for one in coming:
            bar.away()
            for sentence in (*one.told, *([one.error] if one.error else [])):
                _say(f"{one.picture.path.name}: {sentence}")
            if one.folder is not None:
                click.echo(_one_line(str(one.folder)))
            seen.append(one)
            bar.at(len(seen))
    finally:
        bar.away()
    return seen


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


COMPARE_EXAMPLES: Final = """\b
Examples:
  vectorize compare first.jpg second.jpg --word mantel
  vectorize compare svg_out/first svg_out/second svg_out/third
"""


@main.command(epilog=COMPARE_EXAMPLES, short_help="Say what became better from draft to draft.")
@click.argument("drafts", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="EARLIER LATER [MORE...]")
@click.option("--word", help="What every draft shows; letters are then called by their names.")
@MODEL
@click.option("--line", type=int, metavar="N", help="Which line of lettering, from the top; else the largest.")
@OUT
def compare(drafts: tuple[Path, ...], **options: Any) -> None:
    """Compare drafts of the same word, the earliest first: which findings are gone, better, the same, worse, new.

    A draft is a picture, or a folder that `rebuild` wrote. DIR then holds progress.html, progress.pdf, progress.svg (the
    drafts laid over each other, as on a light box) and progress.json.
    """
    from vectorize.api import compare as job

    with _stopping("Files that were named are whole."), _telling(), _misused():
        for path in job(*drafts, **options):
            click.echo(_one_line(str(path)))


GUIDELINES_EXAMPLES: Final = """\b
Examples:
  vectorize guidelines --x-height 18
  vectorize guidelines --x-height 14 --slant 15 --paper Letter --tails
  vectorize guidelines --model typeface.otf --word mantel
"""


@main.command(epilog=GUIDELINES_EXAMPLES, short_help="Rule paper to draw on, at true size.")
@click.option("--x-height", "x_height_mm", type=float, metavar="MM", help="Distance from baseline to mean line.")
@click.option(
    "--model", type=click.Path(path_type=Path, exists=True, dir_okay=False), metavar="FONT",
    help="The font file whose proportions the lines take; else those of ISO 3098.",
)  # fmt: skip
@click.option("--word", help="Shown in the model's letters, light, on the first line.")
@click.option("--cap-ratio", type=float, metavar="RATIO", help="Height of capitals, in x-heights.")
@click.option("--slant", "slant_deg", type=click.FloatRange(-45, 45), default=0.0, metavar="DEG",
              help="Also rule sloping lines, so many degrees from upright; to the right when above 0.")  # fmt: skip
@click.option("--paper", type=click.Choice(["A4", "Letter", "A5", "A3"]), default="A4", show_default=True)
@click.option("--lines", type=click.IntRange(1), metavar="N", help="Lines of lettering; as many as fit unless told.")
@click.option("--tails", is_flag=True, help="Rule ascender and descender lines too.")
@OUT
def guidelines(**options: Any) -> None:
    """Rule paper to draw on, at true size: DIR/guidelines.pdf to print, DIR/guidelines.svg beside it."""
    from vectorize.api import guidelines as job

    with _telling(), _misused():
        for path in job(**options):
            click.echo(_one_line(str(path)))


DESK_EXAMPLES: Final = """\b
Examples:
  vectorize desk
  vectorize desk evening-class
  vectorize desk evening-class --port 8000 --no-browser
"""


@main.command(epilog=DESK_EXAMPLES, short_help="Do the same work on a page in the browser.")
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

    def on_open(address: str) -> None:
        click.echo(address)
        _say("The desk is open at this address. Ctrl-C closes it; nothing is lost.")
        if browser:
            import webbrowser

            webbrowser.open(address)

    with _telling():
        serve(folder, port=port, on_open=on_open)


if __name__ == "__main__":
    main()
