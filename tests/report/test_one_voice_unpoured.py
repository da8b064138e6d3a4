"""Plan, key and handout never give two values for one quantity, nor deny the equation."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from scripts.one_voice import rows
from scripts.one_voice.gather import changed_text, more
from scripts.one_voice.laboratories import PATHS
from scripts.one_voice.unpoured import (
    EVERY,
    answers_not_reproduced,
    gather_sheet,
    gather_sheets,
)
from scripts.one_voice.voices import disagreements, only_once

SPOILT = ("fizzing-tablet-hand-soak", "soda-grows-in-acid")
"""Rows in which every number of every output is changed, to see that it is missed."""


sheets_of = cache(rows.sheets_of)


@pytest.mark.parametrize("name", PATHS)
def test_plan_key_and_handout_say_the_same_of_a_row(name: str) -> None:
    """The amounts, the gas and the equivalence point are worked out by hand beside them."""
    found = gather_sheets(sheets_of(name))
    assert {one.where for one in found.printed} == set(EVERY)
    assert found.missing == []
    assert [str(one) for one in disagreements(found.printed)] == []
    assert only_once(found.printed) == ()


@pytest.mark.parametrize("name", PATHS)
def test_the_answers_of_the_key_follow_from_the_numbers_they_print(name: str) -> None:
    wrong, done = answers_not_reproduced(sheets_of(name))
    assert wrong == ()
    assert done >= 6


@pytest.mark.parametrize("where", [where for where in EVERY if where != "equation"])
@pytest.mark.parametrize("name", SPOILT)
def test_a_changed_number_is_noticed_in_whatever_sheet_it_stands(name: str, where: str) -> None:
    sheets = sheets_of(name)
    whole, before = gather_sheets(sheets).printed, gather_sheet(sheets, where).printed
    if where == "plan":
        spoilt = replace(sheets, plan=more(sheets.plan))
    else:
        changed = changed_text(sheets.texts[where], before)
        spoilt = replace(sheets, texts={**sheets.texts, where: changed})
    others = [one for one in whole if one.where != where]
    after = gather_sheet(spoilt, where).printed
    noticed = {one.first.name for one in disagreements([*after, *others])}
    assert {one.name for one in before} - noticed == set()
