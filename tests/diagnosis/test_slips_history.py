"""A course's own history of slips: what it does to the odds, and what is said of a bad one."""

from __future__ import annotations

import pytest

from tarebook.core.errors import InputError
from tarebook.diagnosis.slips.history import parse_history
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.odds import default_odds

GOOD = """
[looked_through]
series = 100
runs = 800

[confirmed]
meniscus-edge = 84
column-shifted = 9
"""


def test_counts_move_the_rates_of_what_each_kind_can_befall() -> None:
    before, after = default_odds(), parse_history(GOOD)
    # 800 runs have 1,600 volumes, and the table counts for 500: (500 r + 84) / 2100.
    edge = (500 * before.rate(SlipKind.MENISCUS_EDGE) + 84) / 2100
    assert after.rate(SlipKind.MENISCUS_EDGE) == pytest.approx(edge)
    shifted = (500 * before.rate(SlipKind.COLUMN_SHIFTED) + 9) / 600
    assert after.rate(SlipKind.COLUMN_SHIFTED) == pytest.approx(shifted)
    # Looked for in all those runs and never confirmed: rarer than was thought.
    twice = 500 * before.rate(SlipKind.SAMPLE_TWICE) / 1300
    assert after.rate(SlipKind.SAMPLE_TWICE) == pytest.approx(twice)


def test_nothing_confirmed_yet_is_a_history_too() -> None:
    after = parse_history("[looked_through]\nseries = 0\nruns = 0\n")
    assert after.rates == default_odds().rates


@pytest.mark.parametrize(
    ("old", "new", "where", "said"),
    [
        ("meniscus-edge", "menisus-edge", "table confirmed", "Did you mean meniscus-edge?"),
        ("meniscus-edge", "slip-meniscus-egde", "table confirmed", "Did you mean meniscus-edge?"),
        ("84", "8.4", "confirmed, meniscus-edge", "a whole number from 0"),
        ("84", "-1", "confirmed, meniscus-edge", "found -1"),
        ("84", "true", "confirmed, meniscus-edge", "found True"),
        ("84", "1700", "confirmed, meniscus-edge", "at most 1600"),
        ("runs = 800\n", "", "table looked_through", "found no runs"),
        ("series = 100\nruns = 800\n", "", "table looked_through", "no series and no runs"),
        ("runs = 800", "runs = 80", "table looked_through", "100 series with 80 runs"),
        ("[confirmed]", "[comfirmed]", "slips.toml, comfirmed", "[looked_through], [confirmed]"),
        ("[confirmed]\nmeniscus-edge = 84\n", "", "table looked_through", "'column-shifted'"),
        ("[confirmed]", "[confirmed", "slips.toml", "allowed: TOML"),
        ("[looked_through]\n", "looked_through = 3\n", "table looked_through", "found 3"),
    ],
)
def test_a_fault_says_where_what_and_what_is_allowed(
    old: str, new: str, where: str, said: str
) -> None:
    assert old in GOOD
    with pytest.raises(InputError) as caught:
        parse_history(GOOD.replace(old, new))
    text = str(caught.value)
    assert where in text
    assert said in text


def test_all_faults_are_said_at_once() -> None:
    bad = GOOD.replace("series = 100", "series = 'many'").replace("84", "x1").replace("x1", "1.5")
    with pytest.raises(InputError) as caught:
        parse_history(bad.replace("column-shifted", "shifted"))
    assert len(caught.value.faults) == 3
