"""Write the report of an experiment folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tarebook.api.anchors import keep_head
from tarebook.api.folder import CUP_LABELS, OUT, write_all
from tarebook.api.reduce_series import reduce
from tarebook.core import defaults
from tarebook.core.errors import Fault, InputError
from tarebook.findings.finding import Finding
from tarebook.records.anchor import Occasion
from tarebook.records.source import ReadingsSource
from tarebook.report import charts
from tarebook.report.axis_words import axis_words
from tarebook.report.document import document
from tarebook.report.drawing import png, svg
from tarebook.report.handover.document import handover_document, handover_page
from tarebook.report.handover.labels import cup_labels
from tarebook.report.handover.payload import handover_csv
from tarebook.report.languages.writing import course_writing
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.printing import Paper
from tarebook.report.results_csv import results_csv
from tarebook.report.workbook import workbook


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A report that has been written.

    Attributes
    ----------
    title : str
    files : tuple of (Path, str)
        Each file and what it is.
    page : Path
        The page to open.
    findings : tuple of Finding
    source : ReadingsSource
        Whose readings it rests on.
    """

    title: str
    files: tuple[tuple[Path, str], ...]
    page: Path
    findings: tuple[Finding, ...]
    source: ReadingsSource


def report(
    folder: Path,
    *,
    group: str = "",
    paper: Paper = "a4",
    seed: int = defaults.SEED,
    draws: int | None = None,
    progress: Callable[[str], None] = lambda _: None,
) -> Written:
    """Reduce a folder and write its report into its folder `out`.

    Parameters
    ----------
    folder : Path
    group : str
        Whose readings, where several groups recorded at the bench.
    paper : {"a4", "letter"}
    seed : int
        Of the Monte Carlo.
    draws : int, optional
        Else 100 000, and fewer of a long row.
    progress : callable of str
        Told the step that begins.

    Returns
    -------
    Written

    Raises
    ------
    InputError
        If the folder cannot be read; nothing is written.
    CannotWriteError
        If a file cannot be written; what was there before is untouched.
    """
    progress("reading and reducing")
    outcome = reduce(folder, group=group, seed=seed, draws=draws)
    files = report_files(outcome, paper, progress)
    progress("writing")
    places = write_all(folder / OUT, {name: data for name, (data, _) in files.items()})
    if outcome.source.head is not None:
        keep_head(folder, outcome.source.experiment, outcome.source.head, Occasion.REPORT)
    described = [(place, files[place.name][1]) for place in places]
    return Written(
        title=outcome.experiment.title,
        files=tuple(described),
        page=folder / OUT / "report.html",
        findings=outcome.findings,
        source=outcome.source,
    )


def _makers(
    outcome: Outcome, paper: Paper, address: str = ""
) -> dict[str, tuple[Callable[[], bytes], str]]:
    """Return how each file of a report is made and what it is, in the order of their naming.

    Where no cup is finished the report is the page that is handed on with them. Labels are made as
    long as there are cups that hold liquid and wait.
    """
    handover = outcome.handover
    labels: dict[str, tuple[Callable[[], bytes], str]] = {}
    if handover is not None and outcome.stage.in_work:
        made = partial(cup_labels, outcome, handover, paper=paper, address=address)
        labels[CUP_LABELS] = (made, "for the cups, with what was found to be in them")
    if handover is not None and not outcome.stage.has_results:
        return {
            "report.pdf": (
                partial(handover_document, outcome, handover, paper=paper),
                "to hand on with the cups",
            ),
            "report.html": (
                lambda: handover_page(outcome, handover).encode(),
                "to read in a browser, also offline",
            ),
            "results.csv": (
                lambda: handover_csv(outcome, handover).encode(),
                "what is known cup by cup",
            ),
            **labels,
        }
    return {
        "report.pdf": (lambda: document(outcome, paper=paper), "to print or to hand in"),
        "report.html": (lambda: page(outcome).encode(), "to read in a browser, also offline"),
        "workbook.xlsx": (
            lambda: workbook(outcome),
            "the textbook calculation as live formulas, and the model",
        ),
        "results.csv": (lambda: results_csv(outcome).encode(), "results run by run"),
        **labels,
    }


def one_file(outcome: Outcome, name: str, paper: Paper = "a4", address: str = "") -> bytes:
    """Return one file of a report.

    Parameters
    ----------
    outcome : Outcome
    name : str
        Such as ``"report.pdf"``; a workbook is made at every stage.
    paper : {"a4", "letter"}
    address : str
        Of the recorder, for the codes on labels; empty for codes without a link.

    Raises
    ------
    InputError
        If labels are asked for and no cup holds liquid and waits.
    """
    makers = _makers(outcome, paper, address)
    if name in makers:
        return makers[name][0]()
    if name == CUP_LABELS:
        found = f"a row that is {outcome.stage.stage.value}"
        allowed = "a row with cups that hold liquid and are not finished"
        raise InputError([Fault(where=CUP_LABELS, found=found, allowed=allowed)])
    return workbook(outcome)


def report_files(
    outcome: Outcome, paper: Paper, progress: Callable[[str], None]
) -> dict[str, tuple[bytes, str]]:
    """Return the files of a report and what each is, in the order in which they are named.

    Parameters
    ----------
    outcome : Outcome
    paper : {"a4", "letter"}
    progress : callable of str
        Told the step that begins.
    """
    files = {}
    for name, (make, what) in _makers(outcome, paper).items():
        progress(f"making {name}")
        files[name] = make(), what
    progress("drawing the charts")
    return files | (_charts(outcome) if outcome.stage.has_results else {})


def _charts(outcome: Outcome) -> dict[str, tuple[bytes, str]]:
    """Return the charts that this outcome allows, as SVG and PNG."""
    how = course_writing(outcome.experiment)
    drawn = {
        "curve": (
            charts.curve(outcome, how=how),
            f"mass lost against {axis_words(outcome.experiment).along}",
        ),
        "waterfall": (
            charts.waterfall(outcome, how=how),
            "from the textbook calculation to the model of the cup",
        ),
        "ph": (charts.ph(outcome, how=how), "pH along the row"),
        "limiting": (
            charts.limiting(outcome, how=how),
            "which reactant limits, as a probability",
        ),
        "budget": (charts.budget(outcome, how=how), "where the uncertainty comes from"),
        "liquid": (charts.liquid(outcome, how=how), "liquid by mass against liquid by volume"),
    }
    files = {}
    for name, (spec, what) in drawn.items():
        if spec is not None:
            files[f"{name}.svg"] = (svg(spec).encode(), what)
            files[f"{name}.png"] = (png(spec), what)
    return files
