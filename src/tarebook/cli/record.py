"""The commands for the record: sheets and archives in and out, verify, backup."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from tarebook.cli.terminal import FILE, FOLDER, say

if TYPE_CHECKING:
    from tarebook.api.verify import Verified


@click.command("import")
@FOLDER
@FILE
@click.option("--group", default="", help="Whose readings they are.  [default: 1]")
@click.option("--who", default="", help="Who says so.")
@click.option(
    "--moved",
    is_flag=True,
    help="The database has the record of the archive, and the folder it belonged to is gone.",
)
@click.option(
    "--take-back",
    is_flag=True,
    help="Withdraw what was once in the sheet and is left out of it now.",
)
def bring_in(folder: Path, file: Path, group: str, who: str, moved: bool, take_back: bool) -> None:
    """Bring FILE into the record of FOLDER: a sheet like readings.csv, or a whole archive.

    What a sheet says differently becomes a correction; a blank cell takes nothing back, but for
    --take-back. From an archive a new FOLDER is begun.
    """
    from tarebook.api import exchange
    from tarebook.api.open_archive import is_archive

    if is_archive(file):
        if group or who or take_back:
            raise click.UsageError(
                "An archive says itself whose readings it holds and who took them."
            )
        done = exchange.import_archive(folder, file, moved=moved)
        say(f"{folder} now holds the whole record: {_events(done.verdict.head.count)}.")
        if done.was_there:
            say("The database had them all; nothing was recorded twice.")
        return
    if moved:
        raise click.UsageError("--moved is about an archive: leave it away for a sheet.")
    changes = exchange.import_readings(
        folder, file, group=group or exchange.LONE_GROUP, who=who, take_back=take_back
    )
    readings, corrections, withdrawals = (changes.n_of(kind) for kind in exchange.Kind)
    taken_back = f", {withdrawals} taken back" if withdrawals else ""
    say(f"Recorded from {file}: {readings} new, {corrections} corrected{taken_back}.")
    if changes.n_left:
        say(f"{changes.n_left} that are blank in the sheet still count.")


@click.command("export")
@FOLDER
@click.option("--group", default="", help="Only this group, into FOLDER/readings.csv.")
@click.option(
    "--archive",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write everything ever recorded into one open zip file.",
)
@click.option(
    "--set-aside",
    is_flag=True,
    help="Keep a readings.csv with numbers that were never recorded under another name.",
)
@click.option(
    "--definition",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write the last definition that is in the record.",
)
def export(
    folder: Path, group: str, archive: Path | None, set_aside: bool, definition: Path | None
) -> None:
    """Write what counts in FOLDER as readings.csv; with several groups, a sheet each into out."""
    from tarebook.api import exchange

    if archive is not None and group:
        raise click.UsageError("An archive holds all groups: leave --group away.")
    if archive is not None and set_aside:
        raise click.UsageError("--set-aside is about readings.csv: leave it away for an archive.")
    if definition is not None and (group or set_aside or archive is not None):
        raise click.UsageError("--definition stands alone.")
    if definition is not None:
        say(f"Wrote {exchange.export_definition(folder, definition)}")
        return
    if archive is not None:
        files: tuple[Path, ...] = (exchange.export_archive(folder, archive),)
    else:
        files = exchange.export_readings(folder, group=group, aside=set_aside)
    for path in files:
        say(f"Wrote {path}")


@click.command()
@click.argument("path", metavar="FOLDER|ARCHIVE", type=click.Path(path_type=Path))
@click.option("--last", default="", metavar="HASH", help="The last hash, as it was written down.")
@click.option(
    "--number",
    type=click.IntRange(1),
    metavar="N",
    help="Number of the event whose hash it is; more may have come since.",
)
def verify(path: Path, last: str, number: int | None) -> None:
    """Say whether a record is whole: in a FOLDER, an ARCHIVE or a backup.

    Names the first event that was altered, left out or moved. A FOLDER is compared with the ends of
    its record that were kept when the bench was closed and at every report, backup and archive; of
    anything else, only --last can show that events were cut off at the end. With --number it is
    compared with what a report or the end of the bench printed then, however much came since.
    """
    from tarebook.api.verify import verify as verify_record

    if number is not None and not last:
        raise click.UsageError("--number is about --last HASH: give both as they were printed.")
    found = verify_record(path, expected=last.strip().lower(), number=number or 0)
    head = found.verdict.head
    if not found.verdict.whole:
        say(f"{path} is NOT whole: {found.verdict.fault}.")
        say(f"Unbroken up to there: {_events(head.count)}.")
        sys.exit(1)
    say(f"{path} is whole: {_events(head.count)}, each following from the one before.")
    say(_definition(found))
    say(_signed(found))
    if found.verdict.set_back:
        say(_set_back(found.verdict.set_back))
    if found.n_anchors:
        times = "once" if found.n_anchors == 1 else f"{found.n_anchors} times"
        say(f"Its end was kept {times} before, and it still holds all of that.")
    say(f"Last hash: {head.hash}")


@click.command()
@FOLDER
@FILE
def backup(folder: Path, file: Path) -> None:
    """Copy the record of FOLDER into FILE, also while readings come in, and verify the copy.

    A FILE ending in .zip becomes an archive with the definition; otherwise it is a copy of
    tarebook.db.
    """
    from tarebook.api.backup import backup as back_up

    done = back_up(folder, file)
    if not done.verdict.whole:
        say(f"{file} is written, but it is NOT whole: {done.verdict.fault}.")
        sys.exit(1)
    say(f"{file} holds {_events(done.verdict.head.count)} and is whole.")
    say(f"Last hash: {done.verdict.head.hash}")


def _definition(found: Verified) -> str:
    last = found.definition
    if last is None:
        return "It holds no definition: the bench was never opened on it since they are recorded."
    held = f"event {last.event}, SHA-256 {last.digest}"
    if not found.definition_now:
        return f"Its definition: {held}."
    if found.definition_now == last.digest:
        return f"Its definition is experiment.toml as it is now: {held}."
    return (
        f"ATTENTION: experiment.toml is not the definition in the record ({held}); it has now the "
        f"SHA-256 {found.definition_now}. The one in the record: tarebook export FOLDER "
        "--definition FILE."
    )


def _signed(found: Verified) -> str:
    others = ", ".join(f"{device} {n}" for device, n in found.verdict.unsigned)
    signed = f"Signed by the device that recorded them: {_events(found.verdict.n_signed)}"
    return f"{signed}. Not signed: {others}." if others else f"{signed}, all of them."


def _set_back(numbers: tuple[int, ...]) -> str:
    named = ", ".join(str(number) for number in numbers[:5])
    more = f" and {len(numbers) - 5} more" if len(numbers) > 5 else ""
    return (
        f"The clock was set back before event {named}{more}: by the times alone one cannot say "
        "what came first; the numbers of the events do."
    )


def _events(count: int) -> str:
    return f"{count} event{'' if count == 1 else 's'}"


@click.command()
@FOLDER
@click.option("--moved", "how", flag_value="moved", help="The other folder is gone: go on here.")
@click.option("--copied", "how", flag_value="copied", help="Begin a record of its own here.")
def settle(folder: Path, how: Literal["moved", "copied"] | None) -> None:
    """Say which folder a record belongs to, after FOLDER was moved, restored or copied.

    Needed only where the program asks for it: a copy does not write into the record of the first.
    """
    from tarebook.api.settle import settle as settle_record

    if how is None:
        raise click.UsageError("Say --moved or --copied.")
    aside = settle_record(folder, how)
    if how == "moved":
        say(f"The record belongs to {folder} now; the folder it had before takes no more readings.")
        return
    for path in aside:
        say(f"Put aside: {path}")
    say(f"{folder} begins a record of its own with the next reading, and its groups get new codes.")
