"""Whether a row can give the content at all: by what the joint fit would know of it."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.core.tables import reference_table
from tarebook.planning.advice import Advice
from tarebook.planning.changes import row_of, samples_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.information import expected_u
from tarebook.planning.remedies import finer_balances
from tarebook.planning.rows import Best
from tarebook.planning.variants import upgrades
from tarebook.series.experiment import Experiment


def content_unsure(experiment: Experiment, contents: ContentRange) -> Iterator[Advice]:
    """Notice: a row after which the content would hardly be known.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    rule = reference_table("tarebook.planning", "vessel")["content"]
    row, sample = row_of(experiment), samples_of(experiment)
    u = expected_u(experiment, row, contents.scenarios, sample).content
    relative = u / contents.centre
    if relative <= rule["look_above"]:
        return
    severe = relative > rule["stop_above"]
    yield Advice(
        code="content-stays-unsure",
        severity="stop" if severe else "look",
        message=f"After this row the content would be known to ±{100.0 * u:.2g} % at best "
        f"(standard uncertainty), {100.0 * relative:.2g} % of what is expected: "
        + ("it cannot tell what the sample holds." if severe else "it tells little of the sample."),
        do=_ways(experiment, contents),
        evidence={"u_content_percent": 100.0 * u, "relative_u_percent": 100.0 * relative},
    )


def _ways(experiment: Experiment, contents: ContentRange) -> str:
    """Return what would help most: better instruments by their gain, else larger amounts."""
    best = [one for one in upgrades(experiment, contents, Best.CONTENT) if one.gain >= 0.1][:2]
    said = [f"{one.words} (takes {100.0 * one.gain:.0f} % off it)" for one in best]
    finer = next(finer_balances(experiment.equipment.balance), None)
    if not said and finer is not None:
        said = [f"a {finer.name}"]
    amounts = "more sample and a stock that is stronger in proportion"
    return f"Use {', or '.join([*said, amounts])}."
