"""What the commands share: arguments, printing, colours, progress, exit codes."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import sys
import time
from collections.abc import Callable
from pathlib import Path

import click

from tarebook import api

FOLDER = click.argument("folder", type=click.Path(path_type=Path))
FILE = click.argument("file", type=click.Path(path_type=Path))
GROUP = click.option(
    "--group", default="", metavar="NAME", help="Whose readings, where several groups recorded."
)
PAPER = click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True
)
DRAWS = click.option(
    "--draws",
    type=int,
    default=None,
    show_default=f"{api.DEFAULT_DRAWS}, of long rows fewer",
    help="Monte Carlo draws.",
)
SEED = click.option("--seed", default=api.DEFAULT_SEED, show_default=True, help="Monte Carlo seed.")
SLOW = 2.0
"""Seconds after which a person wants to see that something is going on."""


def say(text: str, nl: bool = True) -> None:
    """Print a result, or say in plain words why it cannot be printed."""
    try:
        click.echo(text, nl=nl)
    except BrokenPipeError:
        raise
    except OSError as error:
        drop_output()
        reason = (error.strerror or str(error)).lower()
        raise api.CannotWriteError("the output", reason, "Send it somewhere else.") from error


def drop_output() -> None:
    """Send what may still wait in the output nowhere, so that the end of the program is quiet."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def as_json_text(payload: api.Json) -> str:
    """Return JSON as any terminal can show it."""
    # Escapes where the output's encoding could lose a letter; a number without bound is refused.
    plain = (sys.stdout.encoding or "").lower() != "utf-8"
    return json.dumps(payload, indent=2, ensure_ascii=plain, allow_nan=False)


def leave(findings: tuple[api.Finding, ...]) -> None:
    """End with exit code 1 if a finding says that the answer cannot be trusted."""
    if api.must_stop(findings):
        sys.exit(1)


def has_colour() -> bool:
    """Return whether the output is a terminal that wants colours."""
    return sys.stdout.isatty() and "NO_COLOR" not in os.environ


def has_screen() -> bool:
    """Return whether a window can open; without a screen a text browser would take the terminal."""
    return sys.platform in ("darwin", "win32") or any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY")
    )


def width() -> int:
    """Return how many columns a text may take."""
    return max(60, min(shutil.get_terminal_size((80, 24)).columns, 120))


class Progress:
    """Names the step under way on the terminal once the work has taken longer than a moment."""

    def __enter__(self) -> Callable[[str], None]:
        self.begun = time.monotonic()
        return self._step

    def _step(self, what: str) -> None:
        if sys.stderr.isatty():
            click.echo(f"\r\033[K{what} …", nl=False, err=True)
        elif time.monotonic() - self.begun > SLOW:
            click.echo(f"{what} …", err=True)

    def __exit__(self, *_: object) -> None:
        if sys.stderr.isatty():
            click.echo("\r\033[K", nl=False, err=True)
