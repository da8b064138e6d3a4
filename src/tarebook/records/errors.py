"""What can go wrong with the record of an experiment.

The tree::

    TarebookError
        IdTakenError (ValueError)           an id came again with another content
        BrokenArchiveError (ValueError)     an archive that is incomplete or was altered
        RecordError (OSError)               the store cannot do what was asked
            RecordFullError                 no room on the disk
            RecordBusyError                 another program holds it
            RecordReadOnlyError             it may be read but not written
            RecordUnreachableError          no such file, no right to open it, no such server
            DamagedRecordError              the database is damaged
            RecordReplacedError             it is no longer the one that was opened
            NotARecordError                 a file or database of another program
            NewerRecordError                written by a newer version
            RecordElsewhereError            the folder's record is in another store
            RecordCopiedError               the folder is a copy of the one the record belongs to
            RecordNotEmptyError             something would be put over readings that are there
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from tarebook.core.errors import TarebookError
from tarebook.records.place import Place


class IdTakenError(TarebookError, ValueError):
    """An event came with the id of another event; nothing of its delivery was recorded.

    Parameters
    ----------
    ids : iterable of str
        All such ids of the delivery.
    """

    code: ClassVar[str] = "id-taken"

    def __init__(self, ids: Iterable[str]) -> None:
        self.ids = tuple(ids)
        super().__init__(self.ids)

    def __str__(self) -> str:
        one = len(self.ids) == 1
        return (
            f"{'The id' if one else 'The ids'} {', '.join(self.ids)} already "
            f"{'stands' if one else 'stand'} in the record with another content; "
            "nothing was recorded. Give every reading an id of its own."
        )


class BrokenArchiveError(TarebookError, ValueError):
    """An archive that is incomplete or was altered.

    Parameters
    ----------
    name : str
        Of the archive.
    found : str
        What is wrong, and in which file.
    """

    code: ClassVar[str] = "broken-archive"

    def __init__(self, name: str, found: str) -> None:
        super().__init__(name, found)
        self.name, self.found = name, found

    def __str__(self) -> str:
        return f"{self.name} is not a whole archive: {self.found}. Nothing was changed."


class RecordError(TarebookError, OSError):
    """The record cannot do what was asked; what was acknowledged before is still there.

    Parameters
    ----------
    record : str
        Which one: its file, or its database without the password.
    reason : str
        Why not, in plain words.
    fix : str
        What to do about it.
    """

    code: ClassVar[str] = "record"

    def __init__(self, record: str, reason: str, fix: str) -> None:
        super().__init__(record, reason, fix)
        self.record, self.reason, self.fix = record, reason, fix

    def __str__(self) -> str:
        return f"The record {self.record}: {self.reason}. {self.fix}"


class RecordFullError(RecordError):
    """There is no room on the disk."""

    code: ClassVar[str] = "record-full"


class RecordBusyError(RecordError):
    """Another program holds the record."""

    code: ClassVar[str] = "record-busy"


class RecordReadOnlyError(RecordError):
    """The record may be read but not written."""

    code: ClassVar[str] = "record-read-only"


class RecordUnreachableError(RecordError):
    """There is no such file, no right to open it, or no such server."""

    code: ClassVar[str] = "record-unreachable"


class DamagedRecordError(RecordError):
    """The database is damaged."""

    code: ClassVar[str] = "record-damaged"


class RecordReplacedError(RecordError):
    """The record is no longer the one that was opened, or lost what was acknowledged.

    Parameters
    ----------
    record, reason : str
    """

    code: ClassVar[str] = "record-replaced"

    def __init__(self, record: str, reason: str) -> None:
        super().__init__(
            record,
            reason,
            "Nothing more is recorded. End the program, put the right file in its place (if it is "
            "lost: the last backup) and begin again; then see: tarebook verify FOLDER.",
        )


class NotARecordError(RecordError):
    """A file or database of another program."""

    code: ClassVar[str] = "not-a-record"


class NewerRecordError(RecordError):
    """The record was written by a newer version."""

    code: ClassVar[str] = "record-newer"


class RecordElsewhereError(RecordError):
    """The record of the folder is in another store than the one that is set."""

    code: ClassVar[str] = "record-elsewhere"


class RecordCopiedError(RecordError):
    """The folder is not the one to which the record belongs.

    Parameters
    ----------
    record, folder : str
    place : Place
        To which the record belongs.
    """

    code: ClassVar[str] = "record-copied"

    def __init__(self, record: str, folder: str, place: Place) -> None:
        self.folder, self.place = folder, place
        super().__init__(
            record,
            f"it belongs to the folder {place}, of which {folder} seems to be a copy",
            "Nothing is recorded from here. Go on in that folder; or begin a record of its own "
            f"here: tarebook settle {folder} --copied. If the folder was moved or restored and the "
            f"other one is gone: tarebook settle {folder} --moved.",
        )


class RecordNotEmptyError(RecordError):
    """Something would be put over readings that are there."""

    code: ClassVar[str] = "record-not-empty"
