"""Why a row is not possible, in words, with the names that the reader knows."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import tarebook.planning
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.core.units import litres
from tarebook.findings.finding import Finding, Severity
from tarebook.planning.feasible import beyond
from tarebook.planning.refusals import (
    Amount,
    ImpossibleWishError,
    Nearest,
    PlanBeyondModelError,
    Wished,
)
from tarebook.report.refusal_words import UNITS, number_typed, refusal_in_words

OPTION = re.compile(r"(?<![\w-])--[A-Za-z]")

TOTAL = Amount(of=Wished.TOTAL_VOLUME, value=litres(300.0))
RUNS = Amount(of=Wished.N_RUNS, value=2)
SAMPLE = Amount(of=Wished.SAMPLE_MASS, value=9.0)
STOCK = Amount(of=Wished.STOCK, value=0.1)

NEAREST = Nearest(amounts=(STOCK, TOTAL))
WORKS = (
    "This works instead (checked with the full model): the stock at 0.1 mol/L or the liquid at "
    "300 mL."
)

FEW = Finding(code="too-few-runs", severity=Severity.STOP, values={"n": 2, "fewest": 4})
SMALL = Phrase.of("mass-lost-too-small", largest_loss_g=0.1, loss_over_u=2.0, u_loss_g=0.05)
SAID = (
    "No cup loses more than 0.1 g. That is only 2 times what the balance can resolve (u = 0.05 g)."
)
NO_ROOM = Phrase("refusal-no-room-for-water")
IONS = OutOfRangeError("ionic strength", 7.5, "mol/kg", "[0, 6]", "Take more water. Or less acid.")


def called(amount: Amount) -> str:
    name = {
        Wished.TOTAL_VOLUME: "the liquid",
        Wished.N_RUNS: "the runs",
        Wished.SAMPLE_MASS: "the sample",
        Wished.STOCK: "the stock",
    }[amount.of]
    return f"{name} at {number_typed(amount)} {UNITS[amount.of]}".rstrip()


@pytest.mark.parametrize(
    ("wished", "because", "nearest", "words"),
    [
        (
            STOCK,
            Phrase("refusal-sample-grows"),
            None,
            "the stock at 0.1 mol/L is not possible. A row in which the sample grows is not laid "
            "out by wishes. Change sample_g in the definition.",
        ),
        (
            RUNS,
            Phrase.of("refusal-too-few-runs", fewest=4, most=60),
            Nearest(amounts=(Amount(of=Wished.N_RUNS, value=4),), checked=False),
            "the runs at 2 is not possible. With fewer than two runs on each side, a row shows no "
            "equivalence point. Use the runs at 4.",
        ),
        (
            Amount(of=Wished.N_RUNS, value=10**400),
            Phrase.of("refusal-too-many-runs", fewest=4, most=60),
            Nearest(amounts=(Amount(of=Wished.N_RUNS, value=60),), checked=False),
            f"the runs at 1{400 * '0'} is not possible. A row can have at most 60 runs. "
            "Use the runs at 60.",
        ),
        (
            Amount(of=Wished.TOTAL_VOLUME, value=float("inf")),
            Phrase.of("refusal-no-amount", of=Wished.TOTAL_VOLUME, least=1e-6, most=1e6),
            None,
            "the liquid at inf mL is not possible. It has to be a number above zero, from "
            "1 × 10⁻⁶ to 1000000 mL.",
        ),
        (
            SAMPLE,
            Phrase.of("refusal-model-ends"),
            Nearest(),
            "the sample at 9 g is not possible. The full model cannot be used for these amounts. "
            "No other value of a single amount works. Change two of them at once.",
        ),
        (
            SAMPLE,
            Phrase("refusal-no-room-for-water"),
            Nearest(amounts=(SAMPLE,), all_else_as_defined=True),
            "the sample at 9 g is not possible. A reagent solution this strong leaves no room for "
            "water: no such solution exists. With everything else as in the definition, this works "
            "(checked with the full model): the sample at 9 g.",
        ),
        (STOCK, SMALL, NEAREST, f"the stock at 0.1 mol/L is not possible. {SAID} {WORKS}"),
    ],
)
def test_why_a_wish_is_not_possible(
    wished: Amount, because: Phrase, nearest: Nearest | None, words: str
) -> None:
    assert refusal_in_words(ImpossibleWishError([wished], because, nearest), called) == words


def test_several_wishes_are_one_list() -> None:
    error = ImpossibleWishError([SAMPLE, STOCK], Phrase("refusal-sample-grows"))
    told = refusal_in_words(error, called)
    assert told.startswith(
        "the sample at 9 g and the stock at 0.1 mol/L are not possible together. A row in which"
    )


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (
            PlanBeyondModelError(beyond(IONS)),
            "This row is beyond the full model. The full model does not reach this far (ionic "
            "strength is 7.5 mol/kg, allowed is [0, 6]). Ask for less.",
        ),
        (
            PlanBeyondModelError(NO_ROOM, NEAREST, (FEW,), ("7", "8")),
            "A row of 2 runs cannot show an equivalence point. This row is beyond the full model "
            "in cups 7 and 8. A reagent solution this strong leaves no room for water: no such "
            f"solution exists. {WORKS}",
        ),
        (
            PlanBeyondModelError(NO_ROOM, Nearest(), (), ("8",)),
            "This row is beyond the full model in cup 8. A reagent solution this strong leaves no "
            "room for water: no such solution exists. No other value of a single amount works. "
            "Change two of them at once.",
        ),
    ],
)
def test_why_a_row_cannot_be_judged(error: PlanBeyondModelError, words: str) -> None:
    assert refusal_in_words(error, called) == words


def test_planning_knows_no_option_of_a_command() -> None:
    (top,) = tarebook.planning.__path__
    sources = sorted(Path(top).rglob("*.py"))
    assert len(sources) > 30
    options = [
        f"{source.relative_to(top)}:{node.lineno}: {node.value!r}"
        for source in sources
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, str)
        and OPTION.search(node.value)
    ]
    assert not options
