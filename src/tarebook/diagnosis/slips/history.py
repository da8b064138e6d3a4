"""A course's own history of slips: a small file in the folder that makes the odds its own."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator
from typing import Any, Final

from tarebook.core.errors import Fault, InputError
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import SlipOdds, chances, default_odds, updated_odds

LOOKED, CONFIRMED = "looked_through", "confirmed"
COUNTS: Final = ("series", "runs")

MOST_COUNTED: Final = 10_000_000
"""More runs than this were never looked through."""

MOST_SHOWN = 60
"""Characters of an input that a message repeats."""


def parse_history(text: str, name: str = "slips.toml") -> SlipOdds:
    """Return the odds that a course's own history gives.

    Parameters
    ----------
    text : str
        The whole file: ``[looked_through]`` with the ``series`` and ``runs`` whose findings were
        followed up, and ``[confirmed]`` with the number of slips of each kind that turned out true.
    name : str
        Name of the file, for the messages.

    Returns
    -------
    SlipOdds
        The table that ships, updated.

    Raises
    ------
    InputError
        With every fault: key, what was found, what is allowed, what to do.

    Examples
    --------
    >>> odds = parse_history('''
    ... [looked_through]
    ... series = 40
    ... runs = 320
    ... [confirmed]
    ... digits-swapped = 12
    ... ''')
    >>> round(odds.rate(SlipKind.DIGITS_SWAPPED), 4)
    0.0052
    """
    tables = _read(text, name)
    faults = list(_unknown_tables(tables, name))
    looked, more = _counts(tables, LOOKED, COUNTS, name)
    confirmed, still_more = _counts(tables, CONFIRMED, tuple(_KINDS), name)
    faults += [*more, *still_more]
    if not more:
        faults += _missing(looked, name)
    if not faults:
        faults += _too_many(looked, confirmed, name)
    if faults:
        raise InputError(faults)
    counts = {SlipKind(kind): count for kind, count in confirmed.items()}
    return updated_odds(default_odds(), counts, chances(looked["runs"], looked["series"]))


_KINDS: Final = tuple(kind.value for kind in SlipKind)


def _read(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        fault = Fault(
            where=name,
            found=str(error)[: 2 * MOST_SHOWN],
            allowed=f"TOML: the lines [{LOOKED}] and [{CONFIRMED}], and 'name = number' lines",
            do="Remove the file, and the odds that ship are used.",
        )
    raise InputError([fault])


def _unknown_tables(tables: dict[str, Any], name: str) -> Iterator[Fault]:
    for key in tables:
        if key not in (LOOKED, CONFIRMED):
            yield Fault(
                where=f"{name}, {key[:MOST_SHOWN]}",
                found="a table or key that is not known here",
                allowed=f"[{LOOKED}], [{CONFIRMED}]",
                do="Numbers stand below the line of their table.",
            )


def _counts(
    tables: dict[str, Any], key: str, known: tuple[str, ...], name: str
) -> tuple[dict[str, int], list[Fault]]:
    """Return the whole numbers of a table, and its faults."""
    table = tables.get(key, {})
    where = f"{name}, table {key}"
    if not isinstance(table, dict):
        fault = Fault(where=where, found=repr(table)[:MOST_SHOWN], allowed=f"a line [{key}]")
        return {}, [fault]
    counts: dict[str, int] = {}
    faults = []
    for word, value in table.items():
        if word not in known:
            close = difflib.get_close_matches(word.removeprefix("slip-"), known, n=1)
            do = f"Did you mean {close[0]}?" if close else ""
            found, allowed = repr(word)[:MOST_SHOWN], ", ".join(known)
            faults.append(Fault(where=where, found=found, allowed=allowed, do=do))
        elif type(value) is not int or not 0 <= value <= MOST_COUNTED:
            faults.append(
                Fault(
                    where=f"{where}, {word}",
                    found=repr(value)[:MOST_SHOWN],
                    allowed=f"a whole number from 0 to {MOST_COUNTED}",
                    do="Count them.",
                )
            )
        else:
            counts[word] = value
    return counts, faults


def _missing(looked: dict[str, int], name: str) -> Iterator[Fault]:
    """Yield a fault if it is not said how much was looked through."""
    missing = [key for key in COUNTS if key not in looked]
    if missing:
        yield Fault(
            where=f"{name}, table {LOOKED}",
            found=f"no {' and no '.join(missing)}",
            allowed="both series and runs: whole numbers, 0 or more",
            do="Write how many series and runs were looked through, those without a slip too.",
        )


def _too_many(looked: dict[str, int], confirmed: dict[str, int], name: str) -> Iterator[Fault]:
    """Yield the kinds that were confirmed more often than they could have been made."""
    if looked["series"] > looked["runs"]:
        yield Fault(
            where=f"{name}, table {LOOKED}",
            found=f"{looked['series']} series with {looked['runs']} runs",
            allowed="at least one run for each series",
            do="Count the runs of all series together.",
        )
    tries = chances(looked["runs"], looked["series"])
    for word, count in confirmed.items():
        most = tries[SlipKind(word)]
        if count > most:
            yield Fault(
                where=f"{name}, table {CONFIRMED}, {word}",
                found=str(count),
                allowed=f"at most {most} in so many runs and series",
                do=f"Count what was looked through again, in [{LOOKED}].",
            )
