"""The one place that turns what a database says into errors of the record."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import exc

from tarebook.records import errors

Said = tuple[type[errors.RecordError], str, str]

_FULL: Said = (errors.RecordFullError, "the disk is full", "Free some space and try again.")
_BUSY: Said = (
    errors.RecordBusyError,
    "another program holds it",
    "Close the other program, or wait a moment and try again.",
)
_READ_ONLY: Said = (
    errors.RecordReadOnlyError,
    "it may be read but not written",
    "Ask for the right to write there, or copy the folder to a disk that can be written.",
)
_NO_FILE: Said = (
    errors.RecordUnreachableError,
    "it cannot be opened",
    "Is it there, and may you read the folder and write into it?",
)
_NO_SERVER: Said = (
    errors.RecordUnreachableError,
    "the database does not answer",
    "Is the server running, and are the address and the password right?",
)
_OTHER_FILE: Said = (
    errors.NotARecordError,
    "it is not a record of this program",
    "Move it away, or name the right folder.",
)
_DAMAGED: Said = (
    errors.DamagedRecordError,
    "the database is damaged",
    "Keep the file as it is, and go on from the last backup.",
)
_NO_RIGHT: Said = (
    errors.RecordReadOnlyError,
    "the user of the database may not do that",
    "Ask the person who runs the database for the right to read and to insert.",
)

# The first part of the name that SQLite gives to an error; the rest only says where it arose.
_SQLITE: dict[str, Said] = {
    "FULL": _FULL,
    "BUSY": _BUSY,
    "LOCKED": _BUSY,
    "READONLY": _READ_ONLY,
    "PERM": _READ_ONLY,
    "CANTOPEN": _NO_FILE,
    "NOTADB": _OTHER_FILE,
    "CORRUPT": _DAMAGED,
    "IOERR": (
        errors.RecordUnreachableError,
        "the disk reports an error",
        "Is it still connected, and is there room on it? What was acknowledged before is on it.",
    ),
}

# The beginning of the SQLSTATE that PostgreSQL gives to an error, the longest that fits.
_POSTGRESQL: dict[str, Said] = {
    "08": _NO_SERVER,
    "25006": _READ_ONLY,
    "28": _NO_SERVER,
    "3D": (
        errors.RecordUnreachableError,
        "there is no such database",
        "Ask the person who runs the server to make it, or correct its name in the setting.",
    ),
    "40": _BUSY,
    "42501": _NO_RIGHT,
    "53": _BUSY,
    "53100": _FULL,
    "55": _BUSY,
    "57": _NO_SERVER,
    "57014": _BUSY,
    "58": _DAMAGED,
    "XX": _DAMAGED,
}


@contextmanager
def plainly(record: str) -> Iterator[None]:
    """Turn errors of the database into errors of the record.

    Parameters
    ----------
    record : str
        Name of the record for the message.

    Raises
    ------
    RecordError
        Of the class that fits.
    """
    try:
        yield
    except exc.TimeoutError as error:
        kind, reason, fix = _BUSY
        raise kind(record, reason, fix) from error
    except exc.DBAPIError as error:
        kind, reason, fix = _said(error.orig)
        raise kind(record, reason, fix) from error
    except UnicodeDecodeError as error:
        # The driver's own words for a fault, with bytes of the file in them.
        kind, reason, fix = _DAMAGED
        raise kind(record, reason, fix) from error
    except Exception as error:
        # From the driver itself, where SQL has no words for what is done: a copy, a pragma.
        if getattr(error, "sqlite_errorname", None) is None:
            raise
        kind, reason, fix = _said(error)
        raise kind(record, reason, fix) from error


def _said(orig: BaseException | None) -> Said:
    name = getattr(orig, "sqlite_errorname", None)
    if name is not None:
        found = _SQLITE.get(name.split("_")[1])
    else:
        state: str | None = getattr(orig, "sqlstate", None)
        # A server that cannot be reached has no SQLSTATE to give.
        found = _NO_SERVER if state is None and hasattr(orig, "sqlstate") else None
        for length in (5, 2):
            found = found or _POSTGRESQL.get((state or "")[:length])
    if found:
        return found
    words = " ".join(str(orig).split())
    return errors.RecordError, f"the database refuses it ({words})", "Nothing was recorded."
