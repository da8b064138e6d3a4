"""What happened at the doors of the app, for whoever has to look into it afterwards.

Who came in and from where, wrong codes, changed secrets, what was taken out: in a file of bounded
size that only its owner may read. No code, secret or reading stands in it.
"""

from __future__ import annotations

import json
import logging
import time
from enum import Enum
from pathlib import Path

from tarebook.web.log import OwnersFile, Seldom

FILE = "security.log"
MOST_BYTES = 1024 * 1024
"""Of the file; one older one is kept."""


class Happened(Enum):
    """What happened."""

    JOINED = "a group joined"
    ENTERED = "the instructor came in"
    WRONG_CODE = "a wrong code"
    WRONG_SECRET = "a wrong secret"  # noqa: S105 - it says that there was one
    MADE_WAIT = "too many wrong codes"
    LEFT = "a session was ended"
    NEW_SECRET = "a new secret"  # noqa: S105 - as above
    NEW_CODE = "a group has a new code"
    NEW_GROUPS = "groups were made"
    SHARED = "the results of the class are shared"
    NOT_SHARED = "the results of the class are shared no longer"
    BROUGHT_IN = "a sheet was brought in"
    TAKEN_OUT = "a file was taken out"
    OTHER_HOST = "a request named another host"


class SecurityLog:
    """The file; many threads may note at once.

    Parameters
    ----------
    place : Path
        Folder that only its owner may read.
    """

    def __init__(self, place: Path) -> None:
        self._handler = OwnersFile(str(place / FILE), MOST_BYTES)
        form = logging.Formatter("%(asctime)sZ %(message)s%(more)s", "%Y-%m-%dT%H:%M:%S")
        form.converter = time.gmtime
        self._handler.setFormatter(form)
        self._seldom = Seldom(most_kinds=2000)

    def note(self, what: Happened, *, group: str = "", file: str = "", address: str = "") -> None:
        """Note that something happened; the same once a minute, with a count."""
        said = {"group": group, "file": file, "from": address}
        words = "".join(f" {name}={json.dumps(text)}" for name, text in said.items() if text)
        record = logging.LogRecord(
            "tarebook.security", logging.INFO, "", 0, what.value + words, None, None
        )
        if self._seldom.filter(record):
            left_out = getattr(record, "left_out", 0)
            record.more = f" more={left_out}" if left_out else ""
            self._handler.handle(record)
            # Lines are rare: the file is not kept open between them.
            self._handler.close()
