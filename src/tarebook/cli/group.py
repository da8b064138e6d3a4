"""The group of all commands, and what becomes of an error or of Ctrl-C."""

from __future__ import annotations

import io
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

import click

from tarebook import api
from tarebook.cli.terminal import drop_output
from tarebook.cli.words import said

INTERRUPTED, PIPE_CLOSED, TERMINATED = 130, 141, 143
"""Exit codes of a shell for a program ended by Ctrl-C, by the next one in a pipe, by SIGTERM."""

OWN_FAULT = 70
"""Exit code of a program that made a mistake of its own (EX_SOFTWARE of sysexits.h)."""


class _Commands(click.Group):
    """A group in which an error raised on purpose becomes its own text and exit code 2.

    Any other becomes a sentence with a code and a report to send: nobody is shown a trace.
    """

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run the command line."""
        try:
            return super().main(*args, **extra)
        except Exception as error:
            # Reading the arguments can fail too, so this stands around all of it.
            _own_fault(error)

    def invoke(self, ctx: click.Context) -> Any:
        _never_fail_on_a_letter()
        try:
            with _ended_in_order():
                return super().invoke(ctx)
        except api.TarebookError as error:
            click.echo(said(error), err=True)
            ctx.exit(2)
        except KeyboardInterrupt:
            click.echo("Stopped; nothing was written.", err=True)
            ctx.exit(INTERRUPTED)
        except BrokenPipeError:
            drop_output()
            ctx.exit(PIPE_CLOSED)
        except OSError as error:
            # What the system refuses is no fault of the program, wherever it refuses it.
            click.echo(_refused(error), err=True)
            ctx.exit(2)


@contextmanager
def _ended_in_order() -> Iterator[None]:
    """Let a command that is asked to end clear away what it has begun, as it does at Ctrl-C."""
    before = signal.signal(signal.SIGTERM, lambda *_: sys.exit(TERMINATED))
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _own_fault(error: Exception) -> NoReturn:
    context = click.get_current_context(silent=True)
    doing = context.command_path if context else "tarebook"
    if isinstance(error, MemoryError):
        click.echo(
            "The memory of this machine is not enough for that; nothing was written.", err=True
        )
        sys.exit(2)
    told = api.note_unforeseen(error, doing, Path.cwd())
    click.echo(str(told), err=True)
    sys.exit(OWN_FAULT)


def _refused(error: OSError) -> str:
    where = str(error.filename or "The system")
    reason = (error.strerror or str(error)).lower()
    return f"{where}: {reason}. Check the name, and the right to read and write there."


def _never_fail_on_a_letter() -> None:
    """Print a question mark for a letter that the terminal's encoding lacks.

    Where it lacks none, there are names of files that are no text at all.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            utf_8 = stream.encoding.lower() == "utf-8"
            stream.reconfigure(errors="backslashreplace" if utf_8 else "replace")


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(api.VERSION, prog_name="tarebook")
def main() -> None:
    """From the readings of a mixing series to an answer with an honest uncertainty.

    Begin with: tarebook start FOLDER
    """
