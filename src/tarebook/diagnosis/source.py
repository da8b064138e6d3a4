"""What is odd about where the readings come from."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.diagnosis.findings import Finding, Severity
from tarebook.records.source import ReadingsSource, Unrecorded

MOST_NAMED = 3


def check_source(source: ReadingsSource) -> Iterator[Finding]:
    """Say what stands in the sheet beside a record and is not used.

    Parameters
    ----------
    source : ReadingsSource
    """
    beside = source.unrecorded
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
