"""What is odd about where the readings come from."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.findings.finding import Finding, Severity
from tarebook.records.source import LeftOut, ReadingsSource, Unrecorded

MOST_NAMED = 3


def check_source(source: ReadingsSource) -> Iterator[Finding]:
    """Say what stands in the sheet beside a record and is not used, and what its times are not.

    Parameters
    ----------
    source : ReadingsSource
    """
    yield from _record_cut(source)
    yield from _sheet_not_used(source)
    yield from _sheet_leaves_out(source)
    yield from _definition_changed(source)
    if source.set_back:
        many = len(source.set_back)
        yield Finding(
            code="clock-set-back",
            severity=Severity.LOOK,
            message="The clock of the computer at the bench was set back "
            f"{'once' if many == 1 else f'{many} times'} while readings came in, first before "
            f"event {source.set_back[0]} of the record: the times of the readings before and after "
            "cannot be compared.",
            do="What came first is told by the numbers of the events. Let the computer take its "
            "time from the network.",
            evidence={"times": float(many)},
        )


def _record_cut(source: ReadingsSource) -> Iterator[Finding]:
    if source.n_lost:
        many = "One event is" if source.n_lost == 1 else f"{source.n_lost} events are"
        said = f"{many} missing from the record: it once was longer."
    elif source.is_other:
        said = "This is not the record that was in this folder before, or it goes on otherwise."
    else:
        return
    yield Finding(
        code="record-cut",
        severity=Severity.LOOK,
        message=f"{said} These results rest on what is left.",
        do="Was a backup put in its place? To see what is known: tarebook verify FOLDER. Look for "
        "what is missing on the devices and on paper, or put the right file back.",
        evidence={"events": float(source.n_lost)},
    )


def _definition_changed(source: ReadingsSource) -> Iterator[Finding]:
    """Say which readings were taken by another definition than the one that is used."""
    by = [one for one in source.taken_by if one.n_events]
    other = [one for one in by if one.digest not in ("", source.definition_now)]
    if not other:
        return
    # Opened with it, the bench took the new one over, and somebody knew.
    known = source.taken_by[-1].digest == source.definition_now
    events = ", ".join(str(one.event) for one in other)
    yield Finding(
        code="definition-changed",
        severity=Severity.NOTE if known else Severity.LOOK,
        message=f"{sum(one.n_events for one in other)} of "
        f"{sum(one.n_events for one in by)} entries were recorded by another "
        f"definition than experiment.toml is now (in event {events} of the record, SHA-256 "
        f"{other[-1].digest[:12]}…; now {source.definition_now[:12]}…).",
        do="Is that what was meant? The last definition in the record: tarebook export FOLDER "
        "--definition FILE.",
        evidence={"entries": float(sum(one.n_events for one in other))},
    )


def _sheet_not_used(source: ReadingsSource) -> Iterator[Finding]:
    beside = source.beside.unrecorded
    if not beside:
        return
    named = "; ".join(_named(one) for one in beside[:MOST_NAMED])
    more = len(beside) - MOST_NAMED
    yield Finding(
        code="sheet-not-used",
        severity=Severity.LOOK,
        message="These results rest on the record of the bench; readings.csv says otherwise and is "
        f"not used: {named}{f'; and {more} more' if more > 0 else ''}.",
        do="Bring it in as corrections of a named person: tarebook import FOLDER "
        "FOLDER/readings.csv --who NAME. Or put it aside: tarebook export FOLDER --set-aside.",
        runs=tuple(dict.fromkeys(one.run for one in beside if one.run)),
        evidence={"cells": float(len(beside))},
    )


def _named(one: Unrecorded) -> str:
    counts = f" (recorded: {one.counts})" if one.counts else ""
    return f"{one.place}: {one.found}{counts}"


def _sheet_leaves_out(source: ReadingsSource) -> Iterator[Finding]:
    gone = source.beside.left_out
    if not gone:
        return
    named = list(dict.fromkeys(_left_out(one) for one in gone))
    more = len(named) - MOST_NAMED
    yield Finding(
        code="sheet-leaves-out",
        severity=Severity.LOOK,
        message="These results rest on the record of the bench; readings.csv leaves out what "
        f"counts in it: {'; '.join(named[:MOST_NAMED])}{f'; and {more} more' if more > 0 else ''}.",
        do="To take it back: tarebook import FOLDER FOLDER/readings.csv --who NAME --take-back; it "
        "stays in the record, struck through. To have the sheet whole again: tarebook export "
        "FOLDER --set-aside.",
        runs=tuple(dict.fromkeys(one.event.run for one in gone)),
        evidence={"cells": float(len(gone))},
    )


def _left_out(one: LeftOut) -> str:
    if not one.has_row:
        return f"the row of run {one.event.run}"
    return f"run {one.event.run}, {one.event.column} (recorded: {one.event.number or 'a note'})"
