"""The command line run by tests: what it says and returns."""

from __future__ import annotations

from pathlib import Path

import pytest

from pennyspeed import cli

Captured = pytest.CaptureFixture[str]


def ran(capsys: Captured, *arguments: object) -> tuple[int, str, str]:
    """Return the exit code, and what was written to both outputs."""
    capsys.readouterr()
    code = cli.run([str(argument) for argument in arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def ran_on(capsys: Captured, data: Path, *arguments: object) -> tuple[int, str, str]:
    """Do :func:`ran` on a data file."""
    return ran(capsys, "--data", data, *arguments)
