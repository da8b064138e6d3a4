"""How often slips are made: the table's rates, and a course's own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from tarebook.core.errors import OutOfRangeError
from tarebook.core.tables import reference_table
from tarebook.diagnosis.slips.kinds import SlipKind


def slip_table() -> dict[str, Any]:
    """Return the table of slips that ships."""
    return reference_table("tarebook.diagnosis", "slips")


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipOdds:
    """Chance of each slip before the readings are seen.

    Attributes
    ----------
    rates : mapping of SlipKind to float, [1]
        In one of what `per` of the table says.
    weight : float
        Chances that these rates are worth when a course's own counts are added.
    """

    rates: Mapping[SlipKind, float]
    weight: float

    def rate(self, kind: SlipKind) -> float:
        """Return the chance of one kind."""
        return self.rates[kind]


def default_odds() -> SlipOdds:
    """Return the rates of the table that ships.

    Examples
    --------
    >>> round(default_odds().rate(SlipKind.DIGITS_SWAPPED), 4)
    0.0011
    """
    table = slip_table()
    rates = {SlipKind(row["name"]): float(row["rate"]) for row in table["kind"]}
    return SlipOdds(rates=rates, weight=float(table["history"]["weight"]))


IN_A_RUN: Final = {"reading": 6, "volume": 2, "mass": 4, "planned": 3, "run": 1}
"""How many of each there are in a run that was read in full."""


def chances(n_runs: int, n_series: int) -> dict[SlipKind, int]:
    """Return how often each kind could have been made in so much work.

    Parameters
    ----------
    n_runs, n_series : int
        Runs read in full, and the series they belong to.

    Examples
    --------
    >>> found = chances(8, 1)
    >>> found[SlipKind.DIGIT_WRONG], found[SlipKind.MENISCUS_EDGE], found[SlipKind.COLUMN_SHIFTED]
    (48, 16, 1)
    """
    counts = {per: n * n_runs for per, n in IN_A_RUN.items()} | {"series": n_series}
    return {SlipKind(row["name"]): counts[row["per"]] for row in slip_table()["kind"]}


def updated_odds(
    odds: SlipOdds, confirmed: Mapping[SlipKind, int], tries: Mapping[SlipKind, int]
) -> SlipOdds:
    """Return odds that have learned from slips people confirmed.

    Parameters
    ----------
    odds : SlipOdds
        What was taken to be known: worth `odds.weight` tries.
    confirmed : mapping of SlipKind to int
        Slips that were confirmed by going back to the bench or the first sheet.
    tries : mapping of SlipKind to int
        How often each could have been made; see `chances`.

    Returns
    -------
    SlipOdds
        The mean of the beta distribution of each rate: (weight x rate + confirmed) / (weight +
        tries).

    Raises
    ------
    OutOfRangeError
        If a count is negative or more than its tries.

    Examples
    --------
    >>> before = default_odds()
    >>> after = updated_odds(before, {SlipKind.COPIED: 9}, {SlipKind.COPIED: 500})
    >>> round(before.rate(SlipKind.COPIED), 4), round(after.rate(SlipKind.COPIED), 4)
    (0.002, 0.01)
    """
    rates = dict(odds.rates)
    for kind, rate in odds.rates.items():
        count, n = confirmed.get(kind, 0), tries.get(kind, 0)
        if not 0 <= count <= n:
            raise OutOfRangeError(
                f"confirmed slips of the kind {kind.value}", count, "1", f"[0, {n}]"
            )
        rates[kind] = (odds.weight * rate + count) / (odds.weight + n)
    return replace(odds, rates=rates)
