"""The script that holds the numbers of now against those of before notices what it is for."""

from __future__ import annotations

import sys

import pytest
from scripts.numbers_of_before import Numbers, differences, of_example, without_words
from scripts.study_laboratories.laboratory import EXAMPLES

SCRIPTS = EXAMPLES.parent / "scripts"
FOLDER = EXAMPLES / "clean-pool-granules"
CONTENT = f"example {FOLDER.name}/series/full/sample_mass_fraction/value"


@pytest.fixture(scope="module")
def numbers() -> Numbers:
    return of_example(FOLDER)


def test_the_same_code_says_the_same(numbers: Numbers) -> None:
    assert list(differences(numbers, of_example(FOLDER))) == []


def test_a_number_that_moved_is_noticed(numbers: Numbers) -> None:
    content = numbers[CONTENT]
    assert isinstance(content, float)
    (found,) = differences(numbers, numbers | {CONTENT: content * (1 + 1e-6)})
    assert found.startswith(CONTENT)
    assert list(differences(numbers, numbers | {CONTENT: content * (1 + 1e-12)})) == []


def test_what_is_gone_or_new_is_noticed(numbers: Numbers) -> None:
    fewer = {place: value for place, value in numbers.items() if place != CONTENT}
    assert [one.rpartition(" is ")[2] for one in differences(numbers, fewer)] == ["gone"]
    assert [one.rpartition(" is ")[2] for one in differences(fewer, numbers)] == ["new"]


def test_the_version_of_the_program_is_no_number_of_a_row(numbers: Numbers) -> None:
    (place,) = (place for place in numbers if place.endswith("/method/version"))
    assert list(differences(numbers, numbers | {place: "another"})) == []


def test_sentences_may_be_left_out_but_no_number_and_no_code(numbers: Numbers) -> None:
    kept = without_words(numbers)
    assert CONTENT in kept
    assert 0 < len(kept) < len(numbers)
    assert all(not (isinstance(value, str) and " " in value) for value in kept.values())


def test_no_script_hides_a_module_of_the_standard_library() -> None:
    """Whoever runs a script has its folder before the standard library."""
    names = {place.stem for place in SCRIPTS.iterdir()}
    assert names & sys.stdlib_module_names == set()
