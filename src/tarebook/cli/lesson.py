"""The commands before and in a lesson: plan, prepare, the app at the bench."""

from __future__ import annotations

import sys
import webbrowser
from pathlib import Path
from typing import Literal

import click

from tarebook import api
from tarebook.cli.terminal import (
    FOLDER,
    PAPER,
    Progress,
    as_json_text,
    has_colour,
    has_screen,
    leave,
    say,
    width,
)
from tarebook.cli.words import WISHES


@click.command()
@FOLDER
@click.option(
    WISHES[api.Wished.TOTAL_VOLUME], "total", type=float, help="Total volume in each vessel."
)
@click.option(WISHES[api.Wished.N_RUNS], "runs", type=int, help="Number of runs.")
@click.option(WISHES[api.Wished.SAMPLE_MASS], "sample", type=float, help="Sample in each vessel.")
@click.option(WISHES[api.Wished.STOCK], "stock", type=float, help="Strength of the stock.")
@click.option(
    "--best",
    type=click.Choice(["content", "equivalence"]),
    default="content",
    show_default=True,
    help="What the row is to be best for.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a text.")
@click.option("--write", is_flag=True, help="Write a page (PDF) and charts into FOLDER/out too.")
@PAPER
@click.option(
    "--seed", type=int, default=api.DEFAULT_SEED, show_default=True, help="Of draws and search."
)
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
    row is laid out anew for it; a wish that is not possible is refused with the nearest that is.
    """
    wish = api.wishes(total_mL=total, runs=runs, sample_g=sample, stock_mol_per_L=stock, best=best)
    with Progress() as step:
        made = api.plan(folder, wish, seed=seed, progress=step)
        done = api.write_plan(folder, made, paper=paper, progress=step) if write else None
    if as_json:
        say(as_json_text(api.plan_payload(made)))
    else:
        say(api.plan_as_text(made, colour=has_colour(), width=width()), nl=False)
        for path, what in done.files if done else ():
            say(f"  {path}  {what}")
    leave(api.findings_of_plan(made))


@click.command()
@FOLDER
@click.option("--groups", type=int, required=True, help="Groups that work at once.")
@click.option(
    "--date",
    default="",
    metavar="YYYY-MM-DD",
    help="Day of the lesson.  [default: the sheets leave a line for it]",
)
@click.option("--time", "start", default="", metavar="HH:MM", help="When it starts.")
@PAPER
@click.option(
    "--language",
    type=click.Choice(api.LANGUAGES),
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
    language: str | None,
    balances: int,
    address: str,
    seed: int,
) -> None:
    """Write all that is printed before a lesson with FOLDER's experiment, into FOLDER/out."""
    with Progress() as step:
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
    for finding in done.findings:
        say(f"{finding.severity}: {api.in_words(finding)}")
        say(f"Do: {api.to_do(finding)}")
    refused = api.must_stop(done.findings)
    say(f"{'Written all the same' if refused else 'Ready to print'} for “{done.title}”:")
    for path, what in done.files:
        say(f"  {path}  {what}")
    for note in done.notes:
        say(api.in_words(note))
    leave(done.findings)


@click.command()
@FOLDER
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8420,
    show_default=True,
    help="0 for any that is free.",
)
@click.option("--browser/--no-browser", default=True, help="Open a browser.  [default: browser]")
@click.option("--share", is_flag=True, help="Let the room's network in: secret and join codes.")
@click.option("--https", is_flag=True, help="With a certificate of its own.")
@click.option("--groups", default=0, metavar="N", help="Make groups 1 to N that are not there yet.")
@click.option(
    "--name",
    "names",
    multiple=True,
    metavar="NAME",
    help="Another name under which the room reaches this computer; may be given again.",
)
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
    names: tuple[str, ...],
    new_secret: bool,
    balance: str,
    baud: int,
    balance_line: str,
) -> None:
    """Open the app for FOLDER in the browser: plan, prepare, record, results."""
    # The server and what it needs take a while to import.
    from tarebook.api.bench import AlreadyOpenError
    from tarebook.web.serve import Options, serve

    options = Options(
        port=port,
        shares=share,
        https=https,
        opens=browser and has_screen(),
        new_secret=new_secret,
        groups=groups,
        balance=balance,
        baud=baud,
        line=balance_line,
        names=names,
    )
    try:
        serve(folder, options, say)
    except AlreadyOpenError as error:
        if not (options.opens and error.is_here and error.holder and sys.stdin.isatty()):
            raise
        say(str(error))
        if click.confirm("Open that page now?", default=True):
            webbrowser.open(error.holder.address)
