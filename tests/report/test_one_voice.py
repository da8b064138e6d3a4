"""One report never gives two values for one quantity, whatever the row."""

from __future__ import annotations

from functools import cache

import pytest
from scripts.one_voice import rows
from scripts.one_voice.gather import EVERY, gather, gather_one, spoilt
from scripts.one_voice.laboratories import PATHS
from scripts.one_voice.steps import calculated, not_reproduced
from scripts.one_voice.voices import Printed, disagreements, only_once, read_number

SPOILT = ("fizzing-tablet-hand-soak", "soda-grows-in-acid", "fizzing-tablets-acid-unknown")
"""Rows in which every number of every output is changed, to see that it is missed."""


outputs_of = cache(rows.outputs_of)


@pytest.mark.parametrize("name", PATHS)
def test_every_output_of_a_row_has_the_same_values(name: str) -> None:
    found = gather(outputs_of(name))
    assert set(EVERY) == {one.where for one in found.printed}
    assert found.missing == []
    assert [str(one) for one in disagreements(found.printed)] == []


@pytest.mark.parametrize("name", PATHS)
def test_no_output_says_what_no_other_could_contradict(name: str) -> None:
    """JSON alone holds more than is printed."""
    printed = gather(outputs_of(name)).printed
    of_json = {one.name for one in printed if one.where == "JSON"}
    assert [alone for alone in only_once(printed) if alone not in of_json] == []


@pytest.mark.parametrize("where", ["page", "paper"])
@pytest.mark.parametrize("name", PATHS)
def test_whoever_works_with_the_printed_numbers_comes_to_the_printed_result(
    name: str, where: str
) -> None:
    wrong, done = not_reproduced(outputs_of(name), where)
    assert wrong == ()
    # Amount, mass lost, equivalence point, twice the content; the gas made if there is a model.
    # Of a row that states nothing only the first two are left.
    assert done >= (2 if outputs_of(name).outcome.full.is_withheld else 5)


@pytest.mark.parametrize("where", EVERY)
@pytest.mark.parametrize("name", SPOILT)
def test_a_changed_number_is_noticed_in_whatever_output_it_stands(name: str, where: str) -> None:
    """Each one: all numbers of the output are changed, and each of its quantities is missed."""
    out = outputs_of(name)
    whole = gather(out).printed
    before = gather_one(out, where).printed
    after = gather_one(spoilt(out, where), where).printed
    others = [one for one in whole if one.where != where]
    shared = {one.name for one in before} & {one.name for one in others}
    noticed = {one.first.name for one in disagreements([*after, *others])}
    assert len(shared) > 50
    assert shared - noticed == set()


def test_two_values_for_one_quantity_are_found() -> None:
    """Within the digits printed they agree; one more digit apart they do not."""
    full = Printed(name="yield", where="JSON", value=94.94)
    assert disagreements([full, Printed(name="yield", where="page", value=94.9, last=0.1)]) == ()
    other = Printed(name="yield", where="derivation", value=177.0, last=1.0)
    assert len(disagreements([full, other])) == 1


def test_a_bound_is_the_middle_of_what_it_leaves_open() -> None:
    assert read_number(">99.9") == (99.95, 0.1)
    assert read_number("<1") == (0.5, 1.0)
    assert read_number("−0.34") == (-0.34, 0.01)


def test_a_sum_with_units_is_worked_out() -> None:
    assert calculated("(0.25 − (−0.5)) / (0.5 g/mL) × 2 g") == pytest.approx(3.0)
    assert calculated("0.4000 mol/L × 8.8 mL × 1/2") == pytest.approx(1.76)
