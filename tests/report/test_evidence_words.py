"""The numbers behind a finding are said in words that a stranger can read."""

from __future__ import annotations

from tarebook.report.evidence_words import in_words
from tarebook.report.languages.writing import ENGLISH


def test_names_of_numbers_become_words_with_their_unit() -> None:
    evidence: dict[str, float | str] = {
        "written": "18.7 mL",
        "probability": 0.986,
        "probability_of_this": 0.5661,
        "misfit_u_if": 1.184,
        "content_if": 0.94621,
        "change_over_low_mL": 22.45,
        "gas_kPa": 141.2,
        "own_acid_mmol/g": 0.31,
    }
    said = [line.replace("\u00a0", " ") for line in in_words(evidence, ENGLISH)]
    assert said == [
        "written 18.7 mL",
        "chance that something is wrong 98.6 %",
        "chance that it is this 56.6 %",
        "misfit with it put right, in u, 1.18",
        "content with it put right 94.6 %",
        "equivalence point at least 22.4 mL",
        "pressure of the gas 141 kPa",
        "acid of the sample 0.31 mmol/g",
    ]


def test_a_count_of_runs_is_not_read_as_the_name_of_one() -> None:
    assert list(in_words({"runs": 2.0}, ENGLISH)) == ["number of runs 2"]
    assert list(in_words({"runs": "2, 5"}, ENGLISH)) == ["runs 2, 5"]
