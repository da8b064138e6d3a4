"""Whether plan, key, handout, report, page, workbook and data of a laboratory say the same."""

from __future__ import annotations

from dataclasses import dataclass

from scripts.one_voice.gather import gather
from scripts.one_voice.rows import outputs_of, sheets_of
from scripts.one_voice.unpoured import gather_sheets
from scripts.one_voice.voices import disagreements
from scripts.study_laboratories.laboratory import Laboratory


@dataclass(frozen=True, slots=True)
class Agreement:
    """The numbers of all outputs of one row, held against one another by name.

    Attributes
    ----------
    quantities : int
        That stand in more than one output.
    apart : tuple of str
        What two outputs say differently, and what one of them lacks.
    """

    quantities: int
    apart: tuple[str, ...]


def agreement(laboratory: Laboratory) -> Agreement:
    """Return whether the outputs of one simulated row of a laboratory agree.

    Parameters
    ----------
    laboratory : Laboratory
    """
    apart: list[str] = []
    names: dict[str, set[str]] = {}
    for found in (gather_sheets(sheets_of(laboratory.name)), gather(outputs_of(laboratory.name))):
        apart += [*found.missing, *(str(one) for one in disagreements(found.printed))]
        for one in found.printed:
            names.setdefault(one.name, set()).add(one.where)
    return Agreement(sum(len(where) > 1 for where in names.values()), tuple(apart))
