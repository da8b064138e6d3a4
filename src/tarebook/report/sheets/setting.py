"""How a sheet becomes a PDF: the shared look, the data as JSON, one call of the typesetter."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal, TypeAlias

from tarebook.core.version import VERSION
from tarebook.planning.prepare.whole import Prepared
from tarebook.report import printing
from tarebook.report.languages.writing import Writing
from tarebook.report.printing import NO_DATE, PAPER_NAMES, Paper
from tarebook.report.sheets.cautions import gas_stop, no_flame
from tarebook.report.sheets.pictograms import DRAWN, pictogram

Data: TypeAlias = dict[str, Any]
Sheet: TypeAlias = Literal["bench", "labels", "prep", "hazards", "handout", "key", "cup-labels"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What is printed, for when, and how.

    Attributes
    ----------
    prepared : Prepared
    writing : Writing
    paper : {"a4", "letter"}
    day : date or None
        Of the lesson; without it the sheets leave a line for it.
    start : time or None
        Of the lesson.
    address : str
        Of the recorder, for the codes; empty for codes without a link.
    """

    prepared: Prepared
    writing: Writing
    paper: Paper
    day: dt.date | None
    start: dt.time | None = None
    address: str = ""

    @property
    def stagger(self) -> float:
        """Minutes between the starts of two groups, [min]: 0 where it is not needed or no help."""
        bench = self.prepared.bench
        return 0.0 if bench.stagger is None else bench.stagger.stagger

    def start_of(self, group: int) -> str:
        """Return when a group starts, counted from 0; empty if no time was given or all start."""
        stagger = self.stagger
        if self.start is None or stagger == 0:
            return ""
        begin = dt.datetime.combine(self.day or NO_DATE, self.start) + dt.timedelta(
            minutes=stagger * group
        )
        return self.writing.time(begin.time())


def short(name: str, most: int = 34) -> str:
    """Return a name cut to what a box holds.

    Examples
    --------
    >>> short("water"), short("a name that goes on and on and on and on")
    ('water', 'a name that goes on and on and on…')
    """
    return name if len(name) <= most else f"{name[: most - 1].rstrip()}…"


def common(setting: Setting, title_key: str) -> Data:
    """Return what every sheet has: title, day, whether it is invented, safety, the gas."""
    words, experiment = setting.writing.words, setting.prepared.experiment
    when = words("sheet.day_line")
    if setting.day is not None:
        when = setting.writing.date(setting.day)
    if setting.start is not None:
        when = f"{when}, {setting.writing.time(setting.start)}"
    return {
        "title": experiment.title,
        "sheet": words(title_key),
        "course": experiment.preparation.course.name,
        "when": when,
        "invented": f"{words('sheet.invented')}: {experiment.invented}"
        if experiment.invented
        else "",
        "check": words("sheet.check"),
        "gas-stop": gas_stop(setting.prepared, setting.writing),
        "no-flame": no_flame(setting.prepared, setting.writing),
        "made": words("sheet.made", version=VERSION, digest=experiment.digest[:8].upper()),
        "page": words("sheet.page"),
        "of": words("sheet.of"),
        "language": words.language,
        "region": setting.writing.locale.partition("_")[2].lower(),
        "paper": PAPER_NAMES[setting.paper],
    }


def compiled(setting: Setting, sheet: Sheet, data: Data) -> bytes:
    """Return a sheet as PDF.

    Parameters
    ----------
    setting : Setting
    sheet : str
        Which template.
    data : dict
        Words and numbers as they are printed.

    Warns
    -----
    UserWarning
        If the typesetter warns.
    """
    inputs = {
        "data": json.dumps(data),
        "pictograms": json.dumps({code: pictogram(code) for code in DRAWN}),
    }
    return printing.pdf(sheet_template(sheet), inputs, setting.day or NO_DATE)


@cache
def sheet_template(sheet: Sheet) -> bytes:
    """Return the template of a sheet, after what all of them share."""
    folder = resources.files("tarebook.report.sheets") / "templates"
    return (folder / "base.typ").read_bytes() + (folder / f"{sheet}.typ").read_bytes()
