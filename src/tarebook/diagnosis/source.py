"""What is odd about where the readings come from."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.diagnosis.findings import Finding, Severity
from tarebook.records.source import ReadingsSource, Unrecorded

MOST_NAMED = 3


def check_source(source: ReadingsSource) -> Iterator[Finding]:
    """Say what stands in the sheet beside a record and is not used, and what its times are not.

    Parameters
    ----------
    source : ReadingsSource
    """
    yield from _sheet_not_used(source)
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


def _sheet_not_used(source: ReadingsSource) -> Iterator[Finding]:
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
