"""What the terminal of the app shows of a fault: a sentence with its code, never a trace."""

from __future__ import annotations

import logging
import threading
from pathlib import Path
from typing import Any

from tarebook import api

DOING = "the app at the bench"


class Sentences(logging.Formatter):
    """Writes one line for each message; in place of a trace, the code of the fault.

    Parameters
    ----------
    folder : str
        Where the report of a fault goes.
    """

    def __init__(self, folder: str) -> None:
        super().__init__("%(levelname)s: %(message)s")
        self._folder = Path(folder)

    def format(self, record: logging.LogRecord) -> str:
        """Return the line of a message."""
        error = record.exc_info[1] if record.exc_info else None
        if error is None:
            return super().format(record)
        # Another handler may want the trace; and its message may hold what somebody typed.
        return f"{record.levelname}: {api.note_unforeseen(error, DOING, self._folder)}"


def log_config(folder: Path) -> dict[str, Any]:
    """Return how the server logs: warnings and faults, to the terminal.

    Parameters
    ----------
    folder : Path
        Where the report of a fault goes.
    """
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"sentences": {"()": Sentences, "folder": str(folder)}},
        "handlers": {"terminal": {"class": "logging.StreamHandler", "formatter": "sentences"}},
        "root": {"handlers": ["terminal"], "level": "WARNING"},
    }


def tell_of_threads(folder: Path) -> None:
    """Have a fault in a thread of its own told as every other one is."""

    def told(ended: threading.ExceptHookArgs) -> None:
        error = ended.exc_value
        if error is not None:
            logging.getLogger(__name__).error("%s", api.note_unforeseen(error, DOING, folder))

    threading.excepthook = told
