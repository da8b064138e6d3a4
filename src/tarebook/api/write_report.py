"""Write the report of an experiment folder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tarebook.api.folder import OUT, write_all
from tarebook.api.reduce import DEFAULT_SEED, reduce
from tarebook.diagnosis.findings import Finding
from tarebook.reduction.usual_series import DEFAULT_DRAWS
from tarebook.report import charts
from tarebook.report.document import document
from tarebook.report.drawing import png, svg
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
    """

    title: str
    files: tuple[tuple[Path, str], ...]
    page: Path
    findings: tuple[Finding, ...]


def report(
    folder: Path,
    *,
    group: str = "",
    paper: Paper = "a4",
    seed: int = DEFAULT_SEED,
    draws: int = DEFAULT_DRAWS,
    progress: Callable[[str], None] = lambda _: None,
) -> Written:
    """Reduce a folder and write its report into its folder `out`.

    Parameters
    ----------
    folder : Path
    group : str
        Whose readings, where several groups recorded at the bench.
    paper : {"a4", "letter"}
    seed, draws : int
        Of the Monte Carlo.
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
    progress("drawing the charts")
    files = _charts(outcome)
    progress("setting the report")
    files["report.pdf"] = (document(outcome, paper=paper), "to print or to hand in")
    progress("building the page and the workbook")
    files["report.html"] = (page(outcome).encode(), "to read in a browser, also offline")
    files["workbook.xlsx"] = (workbook(outcome), "the usual sum as live formulas, and the model")
    files["results.csv"] = (results_csv(outcome).encode(), "results run by run")
    order = ("report.pdf", "report.html", "workbook.xlsx", "results.csv")
    names = [*order, *(name for name in files if name not in order)]
    progress("writing")
    places = write_all(folder / OUT, {name: files[name][0] for name in names})
    described = [(place, files[place.name][1]) for place in places]
    return Written(
        title=outcome.experiment.title,
        files=tuple(described),
        page=folder / OUT / "report.html",
        findings=outcome.findings,
    )


def _charts(outcome: Outcome) -> dict[str, tuple[bytes, str]]:
    """Return the charts that this outcome allows, as SVG and PNG."""
    drawn = {
        "curve": (charts.curve(outcome), "mass lost against reagent poured"),
        "waterfall": (charts.waterfall(outcome), "from the usual sum to the model of the cup"),
        "ph": (charts.ph(outcome), "pH along the row"),
        "limiting": (charts.limiting(outcome), "which reactant limits, as a probability"),
        "budget": (charts.budget(outcome), "where the uncertainty comes from"),
        "liquid": (charts.liquid(outcome), "liquid by mass against liquid by volume"),
    }
    files = {}
    for name, (spec, what) in drawn.items():
        if spec is not None:
            files[f"{name}.svg"] = (svg(spec).encode(), what)
            files[f"{name}.png"] = (png(spec), what)
    return files
