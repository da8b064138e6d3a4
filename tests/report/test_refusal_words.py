"""Each reason for which a row cannot be had, in words, with the names that the reader knows."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import tarebook.planning
from tarebook.core.errors import OutOfRangeError
from tarebook.core.units import litres
from tarebook.planning.advice import Advice
from tarebook.planning.refusals import (
    Amount,
    BetweenPieces,
    BetweenSteps,
    BeyondModel,
    ImpossibleWishError,
    Nearest,
    NoAmount,
    NoRoomForWater,
    NoSuchSolution,
    NotMeasurable,
    OutOfReach,
    PlanBeyondModelError,
    Reason,
    SampleGrows,
    Stopped,
    StrongerThanBottle,
    TooFewRuns,
    TooManyRuns,
    VesselTooSmall,
    Wished,
)
from tarebook.report.refusal_words import UNITS, number_typed, refusal_in_words

OPTION = re.compile(r"(?<![\w-])--[A-Za-z]")

TOTAL = Amount(of=Wished.TOTAL_VOLUME, value=litres(300.0))
RUNS = Amount(of=Wished.N_RUNS, value=2)
SAMPLE = Amount(of=Wished.SAMPLE_MASS, value=9.0)
STOCK = Amount(of=Wished.STOCK, value=0.1)

NEAREST = Nearest(amounts=(STOCK, TOTAL))
WORKS = "Works instead (checked with the model): the stock at 0.1 mol/L, or the liquid at 300 mL."

GAS = Advice(code="gas-poisonous", severity="stop", message="The gas is poisonous.", do="")
SMALL = Advice(
    code="mass-lost-too-small",
    severity="stop",
    message="No cup loses more than 0.1 g.",
    do="Use 1 g of sample.",
)
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
            SampleGrows(),
            Nearest(),
            "the stock at 0.1 mol/L cannot be had: a row in which the sample grows is not laid out "
            "by wishes. Change sample_g in the definition.",
        ),
        (
            RUNS,
            TooFewRuns(),
            Nearest(amounts=(Amount(of=Wished.N_RUNS, value=4),)),
            "the runs at 2 cannot be had: fewer than two runs on either side show no equivalence "
            "point. Use the runs at 4.",
        ),
        (
            Amount(of=Wished.N_RUNS, value=10**400),
            TooManyRuns(most=60),
            Nearest(amounts=(Amount(of=Wished.N_RUNS, value=60),)),
            f"the runs at 1{400 * '0'} cannot be had: a row of more than 60 cannot be laid out. "
            "Use the runs at 60.",
        ),
        (
            Amount(of=Wished.TOTAL_VOLUME, value=float("inf")),
            NoAmount(least=litres(1e-6), most=litres(1e6)),
            Nearest(),
            "the liquid at inf mL cannot be had: it must be a number above zero, from 1e-06 to "
            "1000000 mL.",
        ),
        (
            STOCK,
            NoSuchSolution(reagent="HCl", strongest=12.08),
            NEAREST,
            "the stock at 0.1 mol/L cannot be had: no solution of HCl holds more than 12.1 mol/L. "
            + WORKS,
        ),
        (
            STOCK,
            StrongerThanBottle(bottle="", strength=0.8326),
            NEAREST,
            "the stock at 0.1 mol/L cannot be had: what the stock is made from holds 0.833 mol/L, "
            "and it can only be diluted. " + WORKS,
        ),
        (
            SAMPLE,
            BetweenSteps(balance="balance of 0.01 g"),
            NEAREST,
            f"the sample at 9 g cannot be had: the balance of 0.01 g shows no such mass. {WORKS}",
        ),
        (
            SAMPLE,
            BetweenPieces(piece=1.6, part=0.8),
            NEAREST,
            "the sample at 9 g cannot be had: a piece weighs about 1.6 g, and a portion is a whole "
            f"number of 0.8 g. {WORKS}",
        ),
        (
            TOTAL,
            VesselTooSmall(vessel="cup", capacity=0.2),
            NEAREST,
            f"the liquid at 300 mL cannot be had: the cup holds 200 mL. {WORKS}",
        ),
        (
            TOTAL,
            NotMeasurable(ware=("50 mL burette", "100 mL cylinder"), n_runs=8, total=0.3),
            NEAREST,
            "the liquid at 300 mL cannot be had: with the 50 mL burette and the 100 mL cylinder a "
            f"row of 8 different pours to 300 mL cannot be measured. {WORKS}",
        ),
        (
            SAMPLE,
            Stopped(advice=SMALL),
            NEAREST,
            f"the sample at 9 g cannot be had: no cup loses more than 0.1 g. {WORKS}",
        ),
        (
            SAMPLE,
            BeyondModel(error=IONS),
            Nearest(),
            "the sample at 9 g cannot be had: the solution is beyond what the model of the cup "
            "holds for (ionic strength = 7.5 mol/kg is outside [0, 6]). No single other amount "
            "mends it; change two at once.",
        ),
        (
            STOCK,
            NoRoomForWater(),
            NEAREST,
            "the stock at 0.1 mol/L cannot be had: so strong a stock leaves no room for water: "
            f"there is no such solution. {WORKS}",
        ),
        (
            SAMPLE,
            OutOfReach(low=0.0403, high=0.0504, first=0.005, last=0.04, total=0.04),
            Nearest(amounts=(SAMPLE,), all_else_as_defined=True),
            "the sample at 9 g cannot be had: the equivalence point lies at 40.3 to 50.4 mL of "
            "reagent, and with this ware and 40 mL in all a row can go from 5 to 40 mL, with at "
            "least two runs on either side. Works instead, all else as in the definition (checked "
            "with the model): the sample at 9 g.",
        ),
    ],
)
def test_why_a_wish_cannot_be_had(
    wished: Amount, because: Reason, nearest: Nearest, words: str
) -> None:
    assert refusal_in_words(ImpossibleWishError([wished], because, nearest), called) == words


def test_several_wishes_are_one_list() -> None:
    error = ImpossibleWishError([SAMPLE, STOCK], SampleGrows(), Nearest())
    told = refusal_in_words(error, called)
    assert told.startswith("the sample at 9 g and the stock at 0.1 mol/L cannot be had: ")


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (
            PlanBeyondModelError(BeyondModel(error=IONS)),
            "This row cannot be judged: the solution is beyond what the model of the cup holds for "
            "(ionic strength = 7.5 mol/kg is outside [0, 6]). Ask for less.",
        ),
        (
            PlanBeyondModelError(NoRoomForWater(), NEAREST, (GAS,), ("7", "8")),
            "The gas is poisonous. This row cannot be judged in cups 7, 8: so strong a stock "
            f"leaves no room for water: there is no such solution. {WORKS}",
        ),
        (
            PlanBeyondModelError(NoRoomForWater(), Nearest(), (), ("8",)),
            "This row cannot be judged in cup 8: so strong a stock leaves no room for water: there "
            "is no such solution. No single other amount mends it; change two at once.",
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
