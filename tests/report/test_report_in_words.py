"""All that a report says goes through the catalogue, and a German one is German throughout."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from scripts.one_voice.outputs import words_of_page
from tests.words import texts

import tarebook.report
from tarebook.report.outcome import Outcome
from tarebook.report.page import page
from tarebook.report.story import tell
from tarebook.report.text import text

HELD = (
    "alternatives", "axis_words", "charts", "cup_tables", "curve_chart", "derivation",
    "derivation_lines", "equipment", "evidence_words", "facts", "handover/story", "handover/text",
    "model_charts", "model_story", "model_words", "next_steps", "not_used", "noticed",
    "plan_charts", "plan_document", "plan_story", "plan_tables", "plan_text", "plan_words",
    "run_tables", "shares", "story", "terminal", "text",
)  # fmt: skip
"""Modules of the report of which every word stands in the catalogue."""

CODES = {
    "single pours of reagent", "single pours of diluent", "single weighings", "graduation line",
    "common practice", "the definition", "equal steps", "reagent limits",
    "sample limits", "not sure", "not used", "not fit", "fit with remarks", "bold magenta",
    "bold green", "bold yellow", "bold red", "bold underline", "dim not bold",
}  # fmt: skip
"""Names of kinds, of errors in a budget and of styles of a terminal, which nobody reads."""


def shown(module: str) -> Iterator[str]:
    """Yield what a module holds in quotes and could show: no docstring, no name of a file."""
    path = Path(tarebook.report.__file__).parent / f"{module}.py"
    tree = ast.parse(path.read_text(encoding="utf-8"))
    silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in silent:
            continue
        if isinstance(node.value, str):
            yield node.value


def sentences(module: str) -> set[str]:
    """Return what is made of several words."""
    return {
        one
        for one in shown(module)
        if one not in CODES and re.search(r"[A-Za-z]{2,}[,;:.]? [A-Za-z]{2,}", one)
    }


@pytest.mark.parametrize("module", HELD)
def test_no_sentence_bypasses_the_catalogue(module: str) -> None:
    assert sentences(module) == set()


def test_a_module_that_speaks_by_itself_is_found() -> None:
    """The workbook does so still."""
    assert any("Begin with the sheet Readings" in one for one in sentences("workbook"))


def english_words() -> Iterator[tuple[str, str]]:
    """Yield the longest piece between two places of each English message with three words."""
    for key, message in texts("en").items():
        pieces = re.split(r"\{[^{}]*\}", message)
        longest = max((one.strip() for one in pieces), key=len)
        if len(re.findall(r"[A-Za-z]{2,}", longest)) >= 3:
            yield key, " ".join(longest.split())


def in_german(example: Outcome) -> Outcome:
    """Return the same row in a course that is held in German."""
    experiment = example.experiment
    course = replace(experiment.preparation.course, language="de")
    preparation = replace(experiment.preparation, course=course)
    return replace(example, experiment=replace(experiment, preparation=preparation))


def test_a_german_report_holds_no_english_sentence(example: Outcome) -> None:
    outcome = in_german(example)
    both = f"{words_of_page(page(outcome))} {text(outcome, width=200)}"
    said = " ".join(both.split())
    assert [key for key, words in english_words() if words in said] == []
    assert "Äquivalenzpunkt" in said
    assert "Lehrbuchrechnung" in said
    assert "equivalence point" not in said
    assert "textbook" not in said


def test_a_german_report_has_decimal_commas(example: Outcome) -> None:
    """Points stand in names of works, instruments and versions only."""
    outcome = in_german(example)
    story, equipment = tell(outcome), outcome.experiment.equipment
    named = [
        one.name
        for one in (
            equipment.reagent, equipment.diluent, equipment.balance, equipment.sample_balance,
        )
    ]  # fmt: skip
    assert story.model is not None
    tables = (story.instruments, story.constants, story.model.parameters)
    named += [row[-1] for table in tables for row in table.rows]
    shown = words_of_page(page(outcome))
    for work in sorted((*named, *story.sources, outcome.version), key=len, reverse=True):
        shown = shown.replace(" ".join(work.split()), "")
    assert re.findall(r"(?<![\w./])\d+\.\d+", shown) == []
    assert re.search(r"\d,\d", shown)
