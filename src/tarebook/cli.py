"""The command line: translation only."""

from __future__ import annotations

import contextlib
import io
import json
import os
import shutil
import sys
import time
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

import click

from tarebook import api

FOLDER = click.argument("folder", type=click.Path(path_type=Path))
FILE = click.argument("file", type=click.Path(path_type=Path))
GROUP = click.option(
    "--group", default="", metavar="NAME", help="Whose readings, where several groups recorded."
)
SLOW = 2.0
"""Seconds after which a person wants to see that something is going on."""


INTERRUPTED, PIPE_CLOSED = 130, 141
"""Exit codes of a shell for a program ended by Ctrl-C or by the next one in a pipe."""


class _Commands(click.Group):
    """A group in which an error raised on purpose becomes its own text and exit code 2."""

    def invoke(self, ctx: click.Context) -> Any:
        _never_fail_on_a_letter()
        try:
            return super().invoke(ctx)
        except api.TarebookError as error:
            click.echo(str(error), err=True)
            ctx.exit(2)
        except KeyboardInterrupt:
            click.echo("Stopped; nothing was written.", err=True)
            ctx.exit(INTERRUPTED)
        except BrokenPipeError:
            _drop_output()
            ctx.exit(PIPE_CLOSED)


def _say(text: str, nl: bool = True) -> None:
    """Print a result, or say in plain words why it cannot be printed."""
    try:
        click.echo(text, nl=nl)
    except BrokenPipeError:
        raise
    except OSError as error:
        _drop_output()
        reason = (error.strerror or str(error)).lower()
        raise api.CannotWriteError("the output", reason, "Send it somewhere else.") from error


def _never_fail_on_a_letter() -> None:
    """Print a question mark for a letter that the terminal's encoding lacks."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.encoding.lower() != "utf-8":
            stream.reconfigure(errors="replace")


def _drop_output() -> None:
    """Send what may still wait in the output nowhere, so that the end of the program is quiet."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(api.VERSION, prog_name="tarebook")
def main() -> None:
    """From the readings of a mixing series to an answer with an honest uncertainty.

    Begin with: tarebook start FOLDER
    """


@main.command()
@FOLDER
@click.option("--like", default="", metavar="EXAMPLE", help="Begin from an example, readings too.")
@click.option("--examples", is_flag=True, help="List the examples and stop.")
def start(folder: Path, like: str, examples: bool) -> None:
    """Make a new experiment FOLDER with a definition that explains itself."""
    if examples:
        _say("\n".join(api.example_names()))
        return
    made = api.start(folder, like=like)
    _say("Made " + " and ".join(str(path) for path in made) + ".")
    _say(f"Next: write your own values into {made[0].name}, then your readings into")
    _say(f"{made[1].name}, and run: tarebook reduce {folder}")


@main.command()
@FOLDER
@GROUP
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a table.")
@click.option("--draws", default=api.DEFAULT_DRAWS, show_default=True, help="Monte Carlo draws.")
@click.option("--seed", default=api.DEFAULT_SEED, show_default=True, help="Monte Carlo seed.")
def reduce(folder: Path, group: str, as_json: bool, draws: int, seed: int) -> None:
    """Say what the readings in FOLDER come to: amounts, change-over, content, findings."""
    with _Progress() as step:
        step("reading and reducing")
        outcome = api.reduce(folder, group=group, seed=seed, draws=draws)
    if as_json:
        _say(_json(api.payload(outcome)))
    else:
        _say(api.as_text(outcome, colour=_has_colour(), width=_width()), nl=False)
    _leave(outcome.findings)


@main.command()
@FOLDER
@GROUP
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a list.")
def check(folder: Path, group: str, as_json: bool) -> None:
    """List what is odd about the readings in FOLDER, and what to do about it."""
    findings = api.check(folder, group)
    if as_json:
        _say(_json({"findings": api.findings_payload(findings)}))
    else:
        _say(api.findings_as_text(findings, colour=_has_colour(), width=_width()), nl=False)
    _leave(findings)


@main.command()
@FOLDER
@GROUP
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option("--draws", default=api.DEFAULT_DRAWS, show_default=True, help="Monte Carlo draws.")
@click.option("--seed", default=api.DEFAULT_SEED, show_default=True, help="Monte Carlo seed.")
@click.option(
    "--browser/--no-browser", default=False, help="Open the page when done.  [default: no-browser]"
)
def report(
    folder: Path, group: str, paper: api.Paper, draws: int, seed: int, browser: bool
) -> None:
    """Write the report of FOLDER: PDF, page, workbook, CSV and charts, into FOLDER/out."""
    with _Progress() as step:
        done = api.report(folder, group=group, paper=paper, seed=seed, draws=draws, progress=step)
    _say(f"The report of “{done.title}” is ready:")
    for path, what in done.files:
        _say(f"  {path}  {what}")
    if browser and _has_screen():
        webbrowser.open(done.page.resolve().as_uri())
    _leave(done.findings)


@main.command("import")
@FOLDER
@FILE
@click.option("--group", default="", help="Whose readings they are.  [default: 1]")
@click.option("--who", default="", help="Who says so.")
def bring_in(folder: Path, file: Path, group: str, who: str) -> None:
    """Bring FILE into the record of FOLDER: a sheet like readings.csv, or a whole archive.

    What a sheet says differently becomes a correction; a blank cell takes nothing back. From an
    archive a new FOLDER is begun.
    """
    from tarebook.api import exchange

    if exchange.is_archive(file):
        if group or who:
            raise click.UsageError(
                "An archive says itself whose readings it holds and who took them."
            )
        done = exchange.import_archive(folder, file)
        _say(f"{folder} now holds the whole record: {_events(done.verdict.head.count)}.")
        return
    changes = exchange.import_readings(folder, file, group=group or exchange.LONE_GROUP, who=who)
    readings, corrections = (
        changes.n_of(exchange.Kind.READING),
        changes.n_of(exchange.Kind.CORRECTION),
    )
    _say(f"Recorded from {file}: {readings} new, {corrections} corrected.")
    if changes.n_left:
        _say(f"{changes.n_left} that are blank in the sheet still count.")


@main.command("export")
@FOLDER
@click.option("--group", default="", help="Only this group, into FOLDER/readings.csv.")
@click.option(
    "--archive",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write everything ever recorded into one open zip file.",
)
def export(folder: Path, group: str, archive: Path | None) -> None:
    """Write what counts in FOLDER as readings.csv; with several groups, a sheet each into out."""
    from tarebook.api import exchange

    if archive is not None and group:
        raise click.UsageError("An archive holds all groups: leave --group away.")
    if archive is not None:
        files: tuple[Path, ...] = (exchange.export_archive(folder, archive),)
    else:
        files = exchange.export_readings(folder, group=group)
    for path in files:
        _say(f"Wrote {path}")


@main.command()
@click.argument("path", metavar="FOLDER|ARCHIVE", type=click.Path(path_type=Path))
@click.option("--last", default="", metavar="HASH", help="The last hash, as it was written down.")
def verify(path: Path, last: str) -> None:
    """Say whether a record is whole: in a FOLDER, an ARCHIVE or a backup.

    Names the first event that was altered, left out or moved. Without --last nobody can see whether
    events were cut off at the end of a record.
    """
    from tarebook.api import exchange

    found = exchange.verify(path, expected=last.strip().lower())
    head = found.verdict.head
    if not found.verdict.whole:
        _say(f"{path} is NOT whole: {found.verdict.fault}.")
        _say(f"Unbroken up to there: {_events(head.count)}.")
        sys.exit(1)
    _say(f"{path} is whole: {_events(head.count)}, each following from the one before.")
    _say(f"Last hash: {head.hash}")


@main.command()
@FOLDER
@FILE
def backup(folder: Path, file: Path) -> None:
    """Copy the record of FOLDER into FILE, also while readings come in, and verify the copy.

    A FILE ending in .zip becomes an archive with the definition; otherwise it is a copy of
    tarebook.db.
    """
    from tarebook.api import exchange

    done = exchange.backup(folder, file)
    if not done.verdict.whole:
        _say(f"{file} is written, but it is NOT whole: {done.verdict.fault}.")
        sys.exit(1)
    _say(f"{file} holds {_events(done.verdict.head.count)} and is whole.")
    _say(f"Last hash: {done.verdict.head.hash}")


@main.command()
@FOLDER
@click.option("--total-mL", "total", type=float, help="Total volume in each vessel.")
@click.option("--runs", type=int, help="Number of runs.")
@click.option("--sample-g", "sample", type=float, help="Sample in each vessel.")
@click.option("--stock-mol-per-L", "stock", type=float, help="Strength of the stock.")
@click.option(
    "--best",
    type=click.Choice(["content", "equivalence"]),
    default="content",
    show_default=True,
    help="What the row is to be best for.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a text.")
@click.option("--write", is_flag=True, help="Write a page (PDF) and charts into FOLDER/out too.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option("--seed", type=int, default=20, show_default=True, help="Of draws and search.")
def plan(
    folder: Path,
    total: float | None,
    runs: int | None,
    sample: float | None,
    stock: float | None,
    best: Literal["content", "equivalence"],
    as_json: bool,
    write: bool,
    paper: api.Paper,
    seed: int,
) -> None:
    """Say before anything is poured whether the row in FOLDER works, and what would be better.

    Only the definition is read. With a wish (--total-mL, --runs, --sample-g, --stock-mol-per-L) the
    row is laid out anew for it; a wish that cannot be had is refused with the nearest that can.
    """
    wish = api.wishes(total_mL=total, runs=runs, sample_g=sample, stock_mol_per_L=stock, best=best)
    with _Progress() as step:
        made = api.plan(folder, wish, seed=seed, progress=step)
        done = api.write_plan(folder, made, paper=paper, progress=step) if write else None
    if as_json:
        _say(_json(api.plan_payload(made)))
    else:
        _say(api.plan_as_text(made, colour=_has_colour(), width=_width()), nl=False)
        for path, what in done.files if done else ():
            _say(f"  {path}  {what}")
    _leave(api.findings_of_plan(made))


@main.command()
@FOLDER
@click.option("--groups", type=int, required=True, help="Groups that work at once.")
@click.option("--date", required=True, metavar="YYYY-MM-DD", help="Day of the lesson.")
@click.option("--time", "start", default="", metavar="HH:MM", help="When it starts.")
@click.option("--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True)
@click.option(
    "--language",
    type=click.Choice(["en", "de"]),
    help="Of the sheets.  [default: that of the definition]",
)
@click.option("--balances", default=1, show_default=True, help="Balances in the room.")
@click.option("--address", default="", metavar="URL", help="Of the recorder, for the codes.")
@click.option("--seed", default=api.DEFAULT_SEED, show_default=True, help="Of the queue's lessons.")
def prepare(
    folder: Path,
    groups: int,
    date: str,
    start: str,
    paper: api.Paper,
    language: api.Language | None,
    balances: int,
    address: str,
    seed: int,
) -> None:
    """Write all that is printed before a lesson with FOLDER's experiment, into FOLDER/out."""
    with _Progress() as step:
        done = api.prepare(
            folder,
            groups=groups,
            date=date,
            time=start,
            paper=paper,
            language=language,
            balances=balances,
            address=address,
            seed=seed,
            progress=step,
        )
    _say(f"Ready to print for “{done.title}”:")
    for path, what in done.files:
        _say(f"  {path}  {what}")
    for note in done.notes:
        _say(note)


@main.command()
@FOLDER
@click.option("--port", default=8420, show_default=True, help="0 for any that is free.")
@click.option("--browser/--no-browser", default=True, help="Open a browser.  [default: browser]")
@click.option("--share", is_flag=True, help="Let the room's network in: secret and join codes.")
@click.option("--https", is_flag=True, help="With a certificate of its own.")
@click.option("--groups", default=0, metavar="N", help="Make groups 1 to N that are not there yet.")
@click.option("--new-secret", is_flag=True, help="Give the instructor a new secret.")
@click.option("--balance", default="", metavar="PORT", help="Serial port of a balance.")
@click.option("--baud", default=9600, show_default=True, help="Speed of that port.")
@click.option("--balance-line", default="", metavar="REGEX", help="Its lines; see docs/bench.md.")
def bench(
    folder: Path,
    port: int,
    browser: bool,
    share: bool,
    https: bool,
    groups: int,
    new_secret: bool,
    balance: str,
    baud: int,
    balance_line: str,
) -> None:
    """Open the app for FOLDER in the browser: plan, prepare, record, results."""
    # The server and what it needs take a while to import.
    from tarebook.web.serve import Options, serve

    options = Options(
        port=port,
        shares=share,
        https=https,
        opens=browser and _has_screen(),
        new_secret=new_secret,
        groups=groups,
        balance=balance,
        baud=baud,
        line=balance_line,
    )
    serve(folder, options, _say)


def _events(count: int) -> str:
    return f"{count} event{'' if count == 1 else 's'}"


def _json(payload: api.Json) -> str:
    # Escapes where the output's encoding could lose a letter; a number without bound is refused.
    plain = (sys.stdout.encoding or "").lower() != "utf-8"
    return json.dumps(payload, indent=2, ensure_ascii=plain, allow_nan=False)


def _leave(findings: tuple[api.Finding, ...]) -> None:
    if api.must_stop(findings):
        sys.exit(1)


def _has_colour() -> bool:
    return sys.stdout.isatty() and "NO_COLOR" not in os.environ


def _has_screen() -> bool:
    """Whether a window can open; without a screen a text browser would take the terminal."""
    return sys.platform in ("darwin", "win32") or any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY")
    )


def _width() -> int:
    return max(60, min(shutil.get_terminal_size((80, 24)).columns, 120))


class _Progress:
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
