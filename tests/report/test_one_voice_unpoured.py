"""Plan, key and handout never give two values for one quantity, nor deny the equation."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scripts.one_voice.gather import changed_text, more
from scripts.one_voice.laboratories import PATHS, experiment_of
from scripts.one_voice.unpoured import (
    EVERY,
    Sheets,
    answers_not_reproduced,
    gather_sheet,
    gather_sheets,
    print_sheets,
)
from scripts.one_voice.voices import disagreements, only_once

from tarebook.planning.plan import make_plan
from tarebook.planning.prepare.whole import prepare
from tarebook.planning.wishes import Wishes
from tarebook.report.languages.writing import writing
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.sheets.setting import Setting

SPOILT = ("fizzing-tablet-hand-soak", "soda-grows-in-acid")
"""Rows in which every number of every output is changed, to see that it is missed."""


@cache
def sheets_of(name: str) -> Sheets:
    experiment = experiment_of(name)
    rng = np.random.Generator(np.random.SFC64(3))
    setting = Setting(
        prepared=prepare(experiment, 1, 1, rng),
        writing=writing("en"),
        paper="a4",
        day=dt.date(2026, 9, 1),
    )
    plan = make_plan(experiment, Wishes(), rng)
    outcome = PlanOutcome(plan=plan, seed=3, version="0.1.0", made_on="")
    return print_sheets(outcome, setting)


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
