"""Drafts of typeset words with planted gaps: files as `rebuild` writes them, read back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from tests.specimens.study import font_study
from vectorize.critique import spaces
from vectorize.drafts.draft import Draft, draft_from
from vectorize.findings import Finding
from vectorize.sheets.original import original
from vectorize.study import Study
from vectorize.write.measures import measures_bytes
from vectorize.write.svg import svg_bytes


def files_of_study(study: Study, findings: tuple[Finding, ...] | None = None) -> dict[str, bytes]:
    """The two files that a draft is read from."""
    said = spaces.check(study) if findings is None else findings
    return {"original.svg": svg_bytes(original(study)), "measures.json": measures_bytes(study, said)}


def draft(name: str, changed_u: Mapping[int, float], digest: str = "", **options: Any) -> Draft:
    """A draft of a typeset word whose gaps are changed by some units."""
    study = font_study(options.pop("text", "mantel"), changed_u=changed_u, **options)
    study = replace(study, picture=replace(study.picture, digest=digest or name))
    return draft_from(name, files_of_study(study))
