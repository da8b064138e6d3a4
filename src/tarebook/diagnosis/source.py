"""What is odd about where the readings come from."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.core.phrase import Phrase
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
            evidence={"times": float(many)},
            values={"first_event": source.set_back[0]},
        )


def _record_cut(source: ReadingsSource) -> Iterator[Finding]:
    if not source.n_lost and not source.is_other:
        return
    yield Finding(
        code="record-cut",
        severity=Severity.LOOK,
        evidence={"events": float(source.n_lost)},
        values={"is_other": not source.n_lost},
    )


def _definition_changed(source: ReadingsSource) -> Iterator[Finding]:
    """Say which readings were taken by another definition than the one that is used."""
    by = [one for one in source.taken_by if one.n_events]
    other = [one for one in by if one.digest not in ("", source.definition_now)]
    if not other:
        return
    # Opened with it, the bench took the new one over, and somebody knew.
    known = source.taken_by[-1].digest == source.definition_now
    yield Finding(
        code="definition-changed",
        severity=Severity.NOTE if known else Severity.LOOK,
        evidence={"entries": float(sum(one.n_events for one in other))},
        values={
            "of": sum(one.n_events for one in by),
            "at_events": tuple(str(one.event) for one in other),
            "was": other[-1].digest[:12],
            "now": source.definition_now[:12],
        },
    )


def _sheet_not_used(source: ReadingsSource) -> Iterator[Finding]:
    beside = source.beside.unrecorded
    if not beside:
        return
    yield Finding(
        code="sheet-not-used",
        severity=Severity.LOOK,
        runs=tuple(dict.fromkeys(one.run for one in beside if one.run)),
        evidence={"cells": float(len(beside))},
        values={
            "named": tuple(_named(one) for one in beside[:MOST_NAMED]),
            "more": max(len(beside) - MOST_NAMED, 0),
        },
    )


def _named(one: Unrecorded) -> Phrase:
    return Phrase.of(
        "cell-differs", place=one.place, found=one.found, recorded=one.counts or "none"
    )


def _sheet_leaves_out(source: ReadingsSource) -> Iterator[Finding]:
    gone = source.beside.left_out
    if not gone:
        return
    named = tuple(dict.fromkeys(_left_out(one) for one in gone))
    yield Finding(
        code="sheet-leaves-out",
        severity=Severity.LOOK,
        runs=tuple(dict.fromkeys(one.event.run for one in gone)),
        evidence={"cells": float(len(gone))},
        values={"named": named[:MOST_NAMED], "more": max(len(named) - MOST_NAMED, 0)},
    )


def _left_out(one: LeftOut) -> Phrase:
    if not one.has_row:
        return Phrase.of("row-left-out", run=one.event.run)
    return Phrase.of(
        "cell-left-out",
        run=one.event.run,
        column=one.event.column,
        recorded=one.event.number or "none",
    )
