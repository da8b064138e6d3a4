"""The commands that begin an experiment and say what its readings come to."""

from __future__ import annotations

import webbrowser
from pathlib import Path

import click

from tarebook import api
from tarebook.cli.terminal import (
    DRAWS,
    FOLDER,
    GROUP,
    PAPER,
    SEED,
    Progress,
    as_json_text,
    has_colour,
    has_screen,
    leave,
    say,
    width,
)


@click.command()
@FOLDER
@click.option("--like", default="", metavar="EXAMPLE", help="Begin from an example, readings too.")
@click.option("--examples", is_flag=True, help="List the examples and stop.")
def start(folder: Path, like: str, examples: bool) -> None:
    """Make a new experiment FOLDER with a definition that explains itself."""
    if examples:
        say("\n".join(api.example_names()))
        return
    made = api.start(folder, like=like)
    say("Made " + " and ".join(str(path) for path in made) + ".")
    say(f"Next: write your own values into {made[0].name}, then your readings into")
    say(f"{made[1].name}, and run: tarebook reduce {folder}")


@click.command()
@FOLDER
@GROUP
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a table.")
@DRAWS
@SEED
def reduce(folder: Path, group: str, as_json: bool, draws: int | None, seed: int) -> None:
    """Say what the readings in FOLDER come to: amounts, equivalence point, content, findings."""
    with Progress() as step:
        step("reading and reducing")
        outcome = api.reduce(folder, group=group, seed=seed, draws=draws)
    if as_json:
        say(as_json_text(api.payload(outcome)))
    else:
        say(api.as_text(outcome, colour=has_colour(), width=width()), nl=False)
        say(api.readings_used(outcome.source))
    leave(outcome.findings)


@click.command()
@FOLDER
@GROUP
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of a list.")
@click.option("--every-group", is_flag=True, help="Check every group that recorded readings.")
def check(folder: Path, group: str, as_json: bool, every_group: bool) -> None:
    """List what is odd about the readings in FOLDER, and what to do about it."""
    if every_group:
        _check_class(folder, group, as_json)
        return
    outcome = api.reduce(folder, group=group)
    findings = outcome.findings
    if as_json:
        found = api.findings_payload(findings)
        say(as_json_text({"findings": found, "readings": api.source_payload(outcome.source)}))
    else:
        say(api.findings_as_text(findings, colour=has_colour(), width=width()), nl=False)
        say(api.readings_used(outcome.source))
    leave(findings)


def _check_class(folder: Path, group: str, as_json: bool) -> None:
    if group:
        raise click.UsageError("--group and --every-group exclude one another. Give one of them.")
    found = api.check_class(folder)
    if as_json:
        groups = {name: api.findings_payload(findings) for name, findings in found.items()}
        say(as_json_text({"groups": groups}))
    else:
        say(api.class_as_text(found, colour=has_colour(), width=width()), nl=False)
        say("Readings used: those of each group in the record.")
    leave(tuple(finding for findings in found.values() for finding in findings))


@click.command()
@FOLDER
@GROUP
@PAPER
@DRAWS
@SEED
@click.option(
    "--browser/--no-browser", default=False, help="Open the page when done.  [default: no-browser]"
)
def report(
    folder: Path, group: str, paper: api.Paper, draws: int | None, seed: int, browser: bool
) -> None:
    """Write the report of FOLDER: PDF, page, workbook, CSV and charts, into FOLDER/out."""
    with Progress() as step:
        done = api.report(folder, group=group, paper=paper, seed=seed, draws=draws, progress=step)
    say(f"The report of “{done.title}” is ready:")
    for path, what in done.files:
        say(f"  {path}  {what}")
    say(api.readings_used(done.source))
    if browser and has_screen():
        webbrowser.open(done.page.resolve().as_uri())
    leave(done.findings)
