"""Whether a row can give the content at all: by what the joint fit would know of it."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.core.phrase import Phrase
from tarebook.core.tables import reference_table
from tarebook.findings.finding import Finding, Severity
from tarebook.planning.changes import row_of, samples_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.information import expected_u
from tarebook.planning.remedies import balance_phrase, finer_balances
from tarebook.planning.rows import Best
from tarebook.planning.variants import upgrades
from tarebook.series.experiment import Experiment


def content_unsure(experiment: Experiment, contents: ContentRange) -> Iterator[Finding]:
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
    yield Finding(
        code="content-stays-unsure",
        severity=Severity.STOP if severe else Severity.LOOK,
        evidence={"u_content_percent": 100.0 * u, "relative_u_percent": 100.0 * relative},
        values={"severe": severe},
        do=Phrase.of("plan-use-any", ways=_ways(experiment, contents)),
    )


def _ways(experiment: Experiment, contents: ContentRange) -> tuple[Phrase, ...]:
    """Return what would help most: better instruments by their gain, else larger amounts."""
    best = [one for one in upgrades(experiment, contents, Best.CONTENT) if one.gain >= 0.1][:2]
    ways = [Phrase.of("upgrade-with-gain", what=one.what, gain=one.gain) for one in best]
    finer = next(finer_balances(experiment.equipment.balance), None)
    if not ways and finer is not None:
        ways = [balance_phrase(finer)]
    return (*ways, Phrase.of("plan-larger-amounts"))
