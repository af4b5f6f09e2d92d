"""The public names: few, typed, and loaded only when they are asked for."""

from __future__ import annotations

import inspect
import subprocess
import sys
from pathlib import Path

import vectorize


def test_the_public_names_are_there_and_typed() -> None:
    assert sorted(vectorize.__all__) == ["Result", "__version__", "compare", "guidelines", "rebuild"]
    for name in ("rebuild", "compare", "guidelines"):
        function = getattr(vectorize, name)
        signature = inspect.signature(function)
        assert function.__doc__
        assert signature.return_annotation is not inspect.Signature.empty
        assert all(p.annotation is not inspect.Parameter.empty for p in signature.parameters.values())
    assert (Path(vectorize.__file__).parent / "py.typed").exists()


def test_a_name_that_is_not_there_is_an_attribute_error() -> None:
    assert not hasattr(vectorize, "nothing")


def test_heavy_libraries_wait_until_they_are_needed() -> None:
    code = "import sys, vectorize, vectorize.cli; print(sorted({'numpy', 'scipy', 'PIL', 'reportlab', 'lxml'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
