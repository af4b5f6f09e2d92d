"""A Study and its findings come in; out go the files of its folder, and the folder itself: whole or not at all."""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from vectorize.corrections import FILE_NAME, NO_CORRECTIONS, to_bytes
from vectorize.errors import OutputError
from vectorize.findings import Finding

if TYPE_CHECKING:
    from vectorize.study import Study

FILES: Final = (
    "original.svg",
    "corrected.svg",
    "comparison.svg",
    "proof.pdf",
    "proof.html",
    "practice.pdf",
    "measures.json",
)
"""What every picture's folder holds; measures.json comes last, so that its presence says that the others are there."""


def load_writers() -> None:
    """Load what `files_of` uses, which takes a fifth of a second the first time."""
    from vectorize.write.html import proof_html
    from vectorize.write.pdf import load_type

    del proof_html
    load_type()


def files_of(study: Study, findings: Iterable[Finding]) -> dict[str, bytes]:
    """The files of this picture's folder by name; the same study and findings give the same bytes."""
    from vectorize.sheets.corrected import corrected
    from vectorize.sheets.original import original
    from vectorize.sheets.practice import practice
    from vectorize.sheets.proof import proof
    from vectorize.sheets.shown import shown
    from vectorize.write.html import proof_html
    from vectorize.write.measures import measures_bytes
    from vectorize.write.pdf import pdf_bytes
    from vectorize.write.svg import svg_bytes

    said = tuple(findings)
    both = shown(study, said)
    by_hand = study.brief.corrections
    kept = {} if by_hand == NO_CORRECTIONS else {FILE_NAME: to_bytes(by_hand, study.picture.digest)}
    return {
        **kept,
        "original.svg": svg_bytes(original(study)),
        "corrected.svg": svg_bytes(corrected(study)),
        "comparison.svg": svg_bytes(both.comparison),
        "proof.pdf": pdf_bytes(proof(both)),
        "proof.html": proof_html(both),
        "practice.pdf": pdf_bytes(practice(study)),
        "measures.json": measures_bytes(study, said),
    }


def write_folder(out: Path, name: str, files: Mapping[str, bytes]) -> Path:
    """Write `files` into `out`/`name`, all of them or none, and give that folder back.

    Files of ours that are there are replaced, everything else in the folder stays. Raises OutputError with nothing
    half-written left behind.
    """
    folder = out / name
    try:
        with _made(out):
            if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
                raise OutputError(
                    f"{folder} is there already and is no folder of its own. Move it away, or name another folder with --out."
                )
            with _beside(out) as apart:
                _write(apart, files)
                with _alone(out):
                    _put(apart, folder, files)
    except OSError as error:
        raise OutputError(
            f"The results could not be written to {folder} ({error.strerror or error}). "
            "Check that the disk has room and that you may write there, or name another folder with --out."
        ) from error
    return folder


@contextlib.contextmanager
def _made(out: Path) -> Iterator[None]:
    """`out` exists within; folders made for it that stay empty are taken away again."""
    missing = [p for p in (out, *out.parents) if not p.exists()]
    try:
        out.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        for path in missing:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise


@contextlib.contextmanager
def _beside(out: Path) -> Iterator[Path]:
    """A hidden folder in `out`, on the same file system, so that moving from it is one step; gone afterwards."""
    apart = out / f".part-{secrets.token_hex(8)}"
    try:
        # Made within, so that no Ctrl-C comes between the folder and what takes it away.
        apart.mkdir()
        yield apart
    finally:
        shutil.rmtree(apart, ignore_errors=True)


def _write(apart: Path, files: Mapping[str, bytes]) -> None:
    new = apart / "new"
    new.mkdir()
    for name, data in files.items():
        with (new / name).open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())


def _put(apart: Path, folder: Path, files: Mapping[str, bytes]) -> None:
    """Move the finished files to their folder: as a whole where it is new, one by one where it is not."""
    new, old = apart / "new", apart / "old"
    try:
        if not os.path.lexists(folder):
            new.rename(folder)
            return
    except OSError:
        # Where locks do not work another run may have made the folder just now; then its files are replaced.
        if not folder.is_dir():
            raise
    old.mkdir()
    replaced = [name for name in files if os.path.lexists(folder / name)]
    try:
        for name in files:
            if name in replaced:
                (folder / name).rename(old / name)
            (new / name).rename(folder / name)
    except BaseException:
        # Also for Ctrl-C: what was moved is told by where it lies, whatever statement was broken off.
        for name in files:
            if os.path.lexists(old / name):
                (old / name).replace(folder / name)
            elif name not in replaced and not (new / name).exists():
                (folder / name).unlink(missing_ok=True)
        raise


@contextlib.contextmanager
def _alone(out: Path) -> Iterator[None]:
    """Only one run at a time moves files into `out`; elsewhere than on POSIX systems the file system sees to that alone."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    folder = os.open(out, os.O_RDONLY)
    try:
        # Some network file systems have no locks.
        with contextlib.suppress(OSError):
            fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)
