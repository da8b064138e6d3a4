"""How the sheet of a folder is written, so that it stays as its owner's spreadsheet wrote it."""

from __future__ import annotations

from pathlib import Path

from tarebook.api.folder import READINGS, read_text
from tarebook.core.csv_text import WITH_COMMAS, CsvWay
from tarebook.records.sheet import way_of


def way_in_folder(folder: Path) -> CsvWay:
    """Return how `readings.csv` is written; with commas where there is none.

    Raises
    ------
    InputError
        If it is there and cannot be read.
    """
    if not (folder / READINGS).exists():
        return WITH_COMMAS
    return way_of(read_text(folder, READINGS))
