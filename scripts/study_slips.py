"""How often slips are found, and how often a clean series is blamed: by simulation, with seeds.

Run it from the top of the repository: python scripts/study_slips.py [PART OF THE FULL SIZE]
It writes docs/studies/slips.md.
"""

from __future__ import annotations

import math
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc

from tarebook.chemistry.equilibrium import StrongIon, System, acid, phreeqc_database
from tarebook.core.arrays import FloatArray
from tarebook.core.units import celsius, litres, millilitres
from tarebook.diagnosis.findings import Finding, Severity
from tarebook.diagnosis.slips.check import check_slips
from tarebook.diagnosis.slips.cups import cups_of, view
from tarebook.diagnosis.slips.hypotheses import Case, hypotheses
from tarebook.diagnosis.slips.kinds import NOT_TOLD_APART, SlipKind
from tarebook.diagnosis.slips.likelihood import rest_without
from tarebook.diagnosis.slips.numbers import CLOSE, shifted
from tarebook.diagnosis.slips.odds import default_odds
from tarebook.diagnosis.slips.series import SeriesWeights, weigh_series
from tarebook.measurement.volumes import own_u
from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.delivery import delivered
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.observables import expected_readings
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import VOLUMES, Quantity, Reading, RunTable, memory_value
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[1]
EXAMPLES = ("clean-pool-granules", "weak-acid-foot-bath")
SEED = 2025
LARGE = 5.0
"""Effect of a planted slip, in the uncertainty of what it changes."""

MASSES = (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
SHOWS = {
    SlipKind.LIQUIDS_EXCHANGED: (Quantity.REAGENT, Quantity.DILUENT),
    SlipKind.VOLUMES_EXCHANGED: (Quantity.REAGENT, Quantity.DILUENT),
    SlipKind.SAMPLE_MISSING: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_TWICE: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_LOST: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.LIQUID_LOST: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.WEIGHED_EARLY: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.WEIGHED_LATE: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.OTHER_STOCK: (Quantity.REAGENT, Quantity.FINAL, Quantity.SAMPLE),
}
"""Slips in the cup leave every number right; these are the readings in which they show."""


@dataclass(frozen=True)
class Planted:
    """A slip put into a series: what, where, and what should have been written."""

    kind: SlipKind
    runs: tuple[str, ...]
    quantities: tuple[Quantity, ...]
    truth: str = ""


@dataclass(frozen=True)
class Slipped:
    """A series with slips, and without them."""

    experiment: Experiment
    clean: RunTable
    table: RunTable
    planted: tuple[Planted, ...]


@cache
def experiment(name: str) -> Experiment:
    text = (TOP / "examples" / name / "experiment.toml").read_text(encoding="utf-8")
    return parse_definition(text, "experiment.toml")


def drawn(of: Experiment, rng: np.random.Generator) -> Parameters:
    """Return a truth drawn from the priors, with a content near the claimed one."""
    many = drawn_parameters(of, rng, 1)
    one = {name: np.asarray(getattr(many, name)).reshape(()) for name in NAMES}
    claimed = of.sample.claimed_mass_fraction
    centre = claimed.value if claimed else 0.85
    one["content"] = np.array(min(centre + 0.05 * rng.standard_normal(), 1.0))
    return Parameters(**one)


# Readings changed, cups changed ------------------------------------------------------------------


def rewritten(table: RunTable, run: str, quantity: Quantity, text: str) -> RunTable:
    """Return readings with another number in one place."""
    value = memory_value(quantity, float(text))
    readings = tuple(
        replace(r, typed=text, value=value) if r.run == run and r.quantity is quantity else r
        for r in table.readings
    )
    return replace(table, readings=readings)


def typed(table: RunTable, run: str, quantity: Quantity) -> str:
    return table.of(run, quantity)[0].typed


def number_like(text: str, value: float) -> str:
    """Return a value with as many decimals as a number has."""
    return f"{value:.{len(text.partition('.')[2])}f}"


def moved(table: RunTable, run: str, quantity: Quantity, change: float) -> RunTable:
    """Return readings with one number larger, in the unit of the sheet."""
    text = typed(table, run, quantity)
    return rewritten(table, run, quantity, number_like(text, float(text) + change))


def with_cup(
    series: Simulated,
    of: Experiment,
    index: int,
    *,
    strength: float = 1.0,
    **contents: float,
) -> RunTable:
    """Return the readings if one cup had really held something else; the volumes stay written."""
    inside = {name: getattr(series.contents, name).copy() for name in Contents.__slots__}
    for name, value in contents.items():
        inside[name][index] = value
    factor = np.ones(len(inside["sample"]))
    factor[index] = strength
    changed = series.parameters.with_values(concentration=series.parameters.concentration * factor)
    before = _shown(of, series.parameters, series.contents)
    after = _shown(of, changed, Contents(**inside))
    run = series.table.runs[index]
    table = moved(series.table, run, Quantity.LIQUID, float(after[0][index] - before[0][index]))
    return moved(table, run, Quantity.FINAL, float(after[1][index] - before[1][index]))


def _shown(
    of: Experiment, parameters: Parameters, contents: Contents
) -> tuple[FloatArray, FloatArray]:
    state = cup_state(of, parameters, contents)
    shown = expected_readings(of, parameters, contents, np.zeros(len(contents.sample)), state)
    return shown.liquid, shown.final


# The slips ---------------------------------------------------------------------------------------

Result = tuple[RunTable, Planted] | None
Planter = Callable[[Simulated, Experiment, np.random.Generator], Result]


def plant(kind: SlipKind, series: Simulated, of: Experiment, rng: np.random.Generator) -> Result:
    """Return a series with a slip of one kind, None where it happens to change nothing."""
    if kind in _OF_CUPS:
        return _cup_slip(kind, series, of, rng)
    if kind in (SlipKind.RUNS_EXCHANGED, SlipKind.COLUMN_SHIFTED):
        return _exchanged(kind, series.table, rng)
    return _written_slip(kind, series, of, rng)


def _written_slip(
    kind: SlipKind, series: Simulated, of: Experiment, rng: np.random.Generator
) -> Result:
    table = series.table
    index = int(rng.integers(len(table.runs)))
    run = table.runs[index]
    among: Sequence[Quantity] = READ
    if kind in (SlipKind.LINE_MISREAD, SlipKind.MENISCUS_EDGE, SlipKind.TARGET_WRITTEN):
        among = VOLUMES
    elif kind is SlipKind.NOT_ZEROED:
        among = MASSES
    elif kind is SlipKind.TARE_SUBTRACTED:
        among = (Quantity.LIQUID, Quantity.FINAL)
    quantity = among[int(rng.integers(len(among)))]
    text = typed(table, run, quantity)
    truth = text
    if kind is SlipKind.TARGET_WRITTEN:
        return _target_written(series, of, index, quantity, rng)
    if kind is SlipKind.COPIED:
        if index == 0:
            return None
        new = typed(table, table.runs[index - 1], quantity)
    else:
        written = _WRITERS[kind](text, table, run, quantity, of, rng)
        if written is None:
            return None
        new = written
    if float(new) == float(text) or float(new) < 0:
        return None
    planted = Planted(kind, (run,), (quantity,), truth)
    return rewritten(table, run, quantity, new), planted


def _target_written(
    series: Simulated, of: Experiment, index: int, quantity: Quantity, rng: np.random.Generator
) -> Result:
    """A pour that missed its target by more than usual, and the target written down."""
    run = of.planned[index]
    target = run.reagent if quantity is Quantity.REAGENT else run.diluent
    instrument = of.equipment.reagent if quantity is Quantity.REAGENT else of.equipment.diluent
    off = 8.0 * instrument.finest_reading * rng.standard_normal()
    name = "reagent" if quantity is Quantity.REAGENT else "diluent"
    there = float(getattr(series.contents, name)[index])
    text = typed(series.table, run.run, quantity)
    poured = max(there + target + off - litres(float(text)), 0.0)
    table = with_cup(series, of, index, **{name: poured})
    truth = number_like(text, millilitres(target + off))
    new = number_like(text, millilitres(target))
    planted = Planted(SlipKind.TARGET_WRITTEN, (run.run,), (quantity,), truth)
    return rewritten(table, run.run, quantity, new), planted


def _digit_wrong(text: str, *rest: object) -> str:
    rng = _rng(rest)
    places = [i for i, letter in enumerate(text) if letter != "."]
    place = places[int(rng.integers(len(places)))]
    near = sorted(CLOSE[text[place]])
    far = [d for d in "0123456789" if d not in near and d != text[place]]
    pool = near if rng.random() < 0.6 else far
    return text[:place] + pool[int(rng.integers(len(pool)))] + text[place + 1 :]


def _digits_swapped(text: str, *rest: object) -> str:
    rng = _rng(rest)
    places = [i for i, letter in enumerate(text) if letter != "."]
    first = int(rng.integers(len(places) - 1))
    letters = list(text)
    i, j = places[first], places[first + 1]
    letters[i], letters[j] = letters[j], letters[i]
    return "".join(letters)


def _digit_extra(text: str, *rest: object) -> str:
    rng = _rng(rest)
    place = int(rng.integers(len(text) + 1))
    return text[:place] + str(rng.integers(10)) + text[place:]


def _digit_missing(text: str, *rest: object) -> str:
    rng = _rng(rest)
    places = [i for i, letter in enumerate(text) if letter != "."]
    place = places[int(rng.integers(len(places)))]
    left = text[:place] + text[place + 1 :]
    return "0" + left if left.startswith(".") else left.rstrip(".")


def _point_shifted(text: str, *rest: object) -> str:
    return shifted(text, int(_rng(rest).choice([1, -1, 2, -2], p=[0.4, 0.4, 0.1, 0.1])))


def _other_unit(text: str, *rest: object) -> str:
    return shifted(text, int(_rng(rest).choice([3, -3])))


def _line_misread(text: str, *rest: object) -> str:
    rng, of, quantity = _rng(rest), rest[-2], rest[-3]
    assert isinstance(of, Experiment)
    instrument = of.equipment.reagent if quantity is Quantity.REAGENT else of.equipment.diluent
    lines = int(rng.choice([1, -1, 10, -10, 5, -5], p=[0.3, 0.3, 0.15, 0.15, 0.05, 0.05]))
    value = float(text) + lines * millilitres(instrument.graduation)
    return number_like(text, value) if value <= millilitres(instrument.capacity) else text


def _meniscus_edge(text: str, *rest: object) -> str:
    rng, of, quantity = _rng(rest), rest[-2], rest[-3]
    assert isinstance(of, Experiment)
    instrument = of.equipment.reagent if quantity is Quantity.REAGENT else of.equipment.diluent
    steps = int(rng.integers(3, 11))
    return number_like(text, float(text) + steps * millilitres(instrument.finest_reading))


def _any_size(text: str, *rest: object) -> str:
    rng = _rng(rest)
    size = math.exp(rng.uniform(math.log(0.02), math.log(5.0)))
    return number_like(text, float(text) + size * rng.choice([-1.0, 1.0]))


def _net(text: str, *rest: object) -> str:
    table, run = rest[0], rest[1]
    assert isinstance(table, RunTable)
    assert isinstance(run, str)
    return number_like(text, float(text) - float(typed(table, run, Quantity.TARE)))


def _rng(rest: tuple[object, ...]) -> np.random.Generator:
    rng = rest[-1]
    assert isinstance(rng, np.random.Generator)
    return rng


_WRITERS: dict[SlipKind, Callable[..., str | None]] = {
    SlipKind.DIGIT_WRONG: _digit_wrong,
    SlipKind.DIGITS_SWAPPED: _digits_swapped,
    SlipKind.DIGIT_EXTRA: _digit_extra,
    SlipKind.DIGIT_MISSING: _digit_missing,
    SlipKind.POINT_SHIFTED: _point_shifted,
    SlipKind.OTHER_UNIT: _other_unit,
    SlipKind.LINE_MISREAD: _line_misread,
    SlipKind.MENISCUS_EDGE: _meniscus_edge,
    SlipKind.NOT_ZEROED: _any_size,
    SlipKind.UNKNOWN: _any_size,
    SlipKind.TARE_SUBTRACTED: _net,
}

_OF_CUPS = (
    SlipKind.LIQUIDS_EXCHANGED,
    SlipKind.VOLUMES_EXCHANGED,
    SlipKind.SAMPLE_MISSING,
    SlipKind.SAMPLE_TWICE,
    SlipKind.SAMPLE_LOST,
    SlipKind.LIQUID_LOST,
    SlipKind.WEIGHED_EARLY,
    SlipKind.WEIGHED_LATE,
    SlipKind.OTHER_STOCK,
)


def _cup_slip(
    kind: SlipKind, series: Simulated, of: Experiment, rng: np.random.Generator
) -> Result:
    table = series.table
    index = int(rng.integers(len(table.runs)))
    run = table.runs[index]
    planted = Planted(kind, (run,), SHOWS[kind])
    sample = float(series.contents.sample[index])
    gas = float(series.state.gas_made[index])
    if kind is SlipKind.VOLUMES_EXCHANGED:
        reagent, diluent = (typed(table, run, quantity) for quantity in VOLUMES)
        table = rewritten(table, run, Quantity.REAGENT, diluent)
        return rewritten(table, run, Quantity.DILUENT, reagent), replace(planted, truth=reagent)
    if kind is SlipKind.LIQUIDS_EXCHANGED:
        inside = series.contents
        first, second = float(inside.reagent[index]), float(inside.diluent[index])
        return with_cup(series, of, index, reagent=second, diluent=first), planted
    if kind is SlipKind.SAMPLE_MISSING:
        return with_cup(series, of, index, sample=0.0), planted
    if kind is SlipKind.SAMPLE_TWICE:
        second = of.sample.nominal_mass * (1.0 + 0.01 * rng.standard_normal())
        return with_cup(series, of, index, sample=sample + second), planted
    if kind is SlipKind.SAMPLE_LOST:
        return with_cup(series, of, index, sample=sample * rng.uniform(0.4, 0.95)), planted
    if kind is SlipKind.LIQUID_LOST:
        return moved(table, run, Quantity.FINAL, -rng.exponential(0.5)), planted
    if kind is SlipKind.WEIGHED_EARLY:
        coming = min(rng.exponential(0.15 * gas), 0.8 * gas)
        return moved(table, run, Quantity.FINAL, coming), planted
    if kind is SlipKind.WEIGHED_LATE:
        late = float(rng.choice([60.0, 120.0, 240.0, 480.0, 1440.0]))
        return with_cup(series, of, index, minutes=late), planted
    strength = float(np.exp(0.7 * rng.standard_normal()))
    return with_cup(series, of, index, strength=min(strength, 1.5)), planted


_SETS = (
    (Quantity.TARE,),
    (Quantity.LIQUID,),
    (Quantity.FINAL,),
    (Quantity.REAGENT, Quantity.DILUENT),
    (Quantity.SAMPLE, Quantity.FINAL),
)


def _exchanged(kind: SlipKind, table: RunTable, rng: np.random.Generator) -> Result:
    n = len(table.runs)
    source = list(range(n))
    if kind is SlipKind.RUNS_EXCHANGED:
        quantities = _SETS[int(rng.integers(len(_SETS)))]
        i, j = (int(k) for k in rng.choice(n, 2, replace=False))
        source[i], source[j] = j, i
    else:
        quantities = ((Quantity.TARE,), (Quantity.LIQUID,), (Quantity.FINAL,))[rng.integers(3)]
        start = int(rng.integers(n - 2))
        shift = int(rng.choice([1, -1]))
        source[start:] = [start + (k + shift) % (n - start) for k in range(n - start)]
    new = table
    for quantity in quantities:
        for i, other in enumerate(source):
            if i != other:
                text = typed(table, table.runs[other], quantity)
                new = rewritten(new, table.runs[i], quantity, text)
    runs = tuple(table.runs[i] for i, other in enumerate(source) if i != other)
    return new, Planted(kind, runs, quantities)


# How large, and can it be told apart -------------------------------------------------------------


def effect(of: Experiment, clean: RunTable, table: RunTable) -> float:
    """Return by how many u a slip moves what the readings of its runs agree about."""
    weights = weigh_series(of, clean, default_odds(), may_shift=False)
    assert weights is not None
    fit = weights.fit
    cups = cups_of(joint_problem(of, table, table.runs, ALL_EFFECTS))
    views = view(of, fit.prior, fit.shared, cups)
    total = 0.0
    for i in range(cups.n):
        change = views.gap[i] - fit.views.gap[i]
        if not change.any():
            continue
        _, spread = rest_without(fit, [i]).gaps(views.pick([i]))
        total += float(change @ np.linalg.solve(spread[0], change))
    return math.sqrt(total)


WEIGHINGS = frozenset({Quantity.LIQUID, Quantity.FINAL, Quantity.SAMPLE})
"""Weighings whose errors all show in the gas; the second one in the liquid too, if it is large."""


def same_weighing(of: Experiment, clean: RunTable, table: RunTable, planted: Planted) -> bool:
    """Return whether a slip in a weighing shows in the gas alone: less than 3 u in the liquid."""
    if not WEIGHINGS & set(planted.quantities) or len(planted.runs) > 1:
        return False
    weights = weigh_series(of, clean, default_odds(), may_shift=False)
    assert weights is not None
    index = clean.runs.index(planted.runs[0])
    cups = cups_of(joint_problem(of, table, table.runs, ALL_EFFECTS))
    after = view(of, weights.fit.prior, weights.fit.shared, cups).pick([index])
    _, spread = rest_without(weights.fit, [index]).gaps(after)
    shift = float(after.gap[0, 0] - weights.fit.views.gap[index, 0])
    return abs(shift) < 3.0 * math.sqrt(float(spread[0, 0, 0]))


RARE = 0.1
"""Share of a slip's own chance from which another kind that proposes as much competes with it."""


def can_be_told(weights: SeriesWeights, planted: Planted) -> bool:
    """Return whether no other kind proposes, with a tenth of the chance, a number within 3 u."""
    if any(planted.kind in group for group in NOT_TOLD_APART):
        return False
    if not planted.truth or len(planted.runs) > 1:
        return True
    index = next(i for i, case in enumerate(weights.cases) if case.run == planted.runs[0])
    case: Case = weights.cases[index]
    quantity = planted.quantities[0]
    row = READ.index(quantity)
    truth = memory_value(quantity, float(planted.truth))
    all_of_them = hypotheses(case)
    own = [h.rate for h in all_of_them if h.kind is planted.kind and _value(h, row) is not None
           and abs(float(_value(h, row) or 0.0) - truth) < 1e-9]  # fmt: skip
    if not own:
        return True
    cups = weights.fit.cups.pick([index])
    cups.observed[row] = truth
    views = view(weights.experiment, weights.fit.prior, weights.fit.shared, cups)
    _, spread = rest_without(weights.fit, [index]).gaps(views)
    move = views.by_own[0, :, row]
    u = 1.0 / math.sqrt(max(float(move @ np.linalg.solve(spread[0], move)), 1e-30))
    near: dict[SlipKind, float] = defaultdict(float)
    for h in all_of_them:
        value = _value(h, row)
        if h.kind is not planted.kind and value is not None and abs(value - truth) < 3.0 * u:
            near[h.kind] += h.rate
    return max(near.values(), default=0.0) < RARE * max(own)


def _value(hypothesis: object, row: int) -> float | None:
    cup = dict(getattr(hypothesis, "cup"))  # noqa: B009 # a Hypothesis, kept opaque for pickling
    return cup.get(row) if getattr(hypothesis, "meant") else None  # noqa: B009


# Other worlds ------------------------------------------------------------------------------------


def heavier(series: Simulated, of: Experiment, rng: np.random.Generator) -> Simulated:
    """Return a series whose errors follow Student's t with 4 degrees of freedom, u the same."""

    def error(u: FloatArray | float, n: int) -> FloatArray:
        return np.asarray(u * rng.standard_t(4, n) / math.sqrt(2.0))

    table, parameters, n = series.table, series.parameters, len(series.table.runs)
    equipment = of.equipment
    reagent = table.mean(Quantity.REAGENT, 0.0)
    diluent = table.mean(Quantity.DILUENT, 0.0)
    contents = Contents(
        reagent=np.maximum(
            delivered(
                reagent + error(own_u(equipment.reagent, reagent), n),
                parameters.scale_reagent,
                parameters.hold_up_reagent,
            ),
            0.0,
        ),
        diluent=np.maximum(
            delivered(
                diluent + error(own_u(equipment.diluent, diluent), n),
                parameters.scale_diluent,
                parameters.hold_up_diluent,
            ),
            0.0,
        ),
        sample=series.contents.sample,
        temperature=series.contents.temperature,
        minutes=series.contents.minutes,
    )
    tare = table.mean(Quantity.TARE, 0.0)
    state = cup_state(of, parameters, contents)
    shown = expected_readings(of, parameters, contents, tare, state)
    main, own = equipment.balance.weighing_u, equipment.sample_balance.weighing_u
    new = table
    for quantity, values, u in (
        (Quantity.TARE, tare, main),
        (Quantity.LIQUID, shown.liquid, main),
        (Quantity.SAMPLE, shown.sample, own),
        (Quantity.FINAL, shown.final, main),
    ):
        for run, value in zip(table.runs, values + error(u, n), strict=True):
            new = rewritten(new, run, quantity, number_like(typed(table, run, quantity), value))
    return Simulated(table=new, parameters=parameters, contents=contents, state=state)


PAIRS = """
SOLUTION_SPECIES
Na+ + CarbonicH3O- = NaCarbonicH3O
 log_k -0.25
Na+ + CarbonicH2O-2 = NaCarbonicH2O-
 log_k 1.27
"""
CUP = System(
    acids=(acid("carbonic"), acid("acetic")),
    strong_ions=(StrongIon("Na+", 1), StrongIon("Cl-", -1)),
)
PUNCH = """
SELECTED_OUTPUT
 -reset false
USER_PUNCH
 -headings carbon
 10 PUNCH TOTMOLE("Carbonic")
"""


@cache
def _phreeqc() -> IPhreeqc:
    program = IPhreeqc()
    program.load_database_string(phreeqc_database(CUP) + PAIRS)
    return program


def phreeqc_cups(series: Simulated, of: Experiment) -> Simulated:
    """Return a series whose dissolved gas is PHREEQC's, with the ion pairs of phreeqc.dat."""
    state: CupState = series.state
    volume = series.contents.reagent + series.contents.diluent
    kilograms = state.liquid / 1000.0 - 0.03 * volume
    weak = "COOH" in of.reaction.reagent
    lines = [PUNCH]
    n = len(volume)
    analyte, reagent = state.analyte_amount, state.reagent_amount
    own_acid = np.maximum(state.own_acid_amount, 0.0)
    for i in range(n):
        per_kg = [float(x[i] / kilograms[i]) for x in (analyte, reagent, own_acid)]
        chloride = per_kg[2] + (0.0 if weak else per_kg[1])
        acetic = per_kg[1] if weak else 0.0
        pressure = math.log10(float(state.gas_pressure[i]) / 101325.0)
        lines += [
            f"SOLUTION {i + 1}",
            " units mol/kgw",
            f" temp {celsius(float(state.temperature[i]))}",
            " pH 7 charge",
            f" Carbonic {per_kg[0]}",
            f" Na {per_kg[0]}",
            f" Cl {chloride}",
            f" Acetic {acetic}",
            "END",
            f"USE solution {i + 1}",
            "EQUILIBRIUM_PHASES 1",
            f" CO2(g) {pressure:.12g} 0",
            "END",
        ]
    program = _phreeqc()
    program.run_string("\n".join([*lines, ""]))
    carbon = np.array(program.get_selected_output_array()[1:], dtype=np.float64)[1::2, 0]
    gas_molar_mass = of.reaction.gas_molar_mass.value
    released = (analyte - carbon * kilograms) * gas_molar_mass
    table = series.table
    for i, run in enumerate(table.runs):
        more = float(state.gas_released[i] - released[i])
        table = moved(table, run, Quantity.FINAL, more)
    return replace(series, table=table)


# The study ---------------------------------------------------------------------------------------

KINDS = tuple(kind for kind in SlipKind if kind is not SlipKind.OTHER_STOCK_THROUGHOUT)
SINGLE_RUN = tuple(
    kind for kind in KINDS if kind not in (SlipKind.RUNS_EXCHANGED, SlipKind.COLUMN_SHIFTED)
)
WORLDS: dict[str, Callable[[Simulated, Experiment, np.random.Generator], Simulated] | None] = {
    "as the model": None,
    "PHREEQC with ion pairs": lambda series, of, _: phreeqc_cups(series, of),
    "heavier tails": heavier,
}


def one_series(seed: int, world: str, n_slips: int) -> Slipped:
    """Return a simulated series with so many slips of random kinds, each large in its effect."""
    rng = np.random.Generator(np.random.SFC64(np.random.SeedSequence([SEED, n_slips, seed])))
    of = experiment(EXAMPLES[seed % len(EXAMPLES)])
    kinds = KINDS if n_slips == 1 else SINGLE_RUN
    while True:
        series = simulate(of, drawn(of, rng), rng)
        change = WORLDS[world]
        if change is not None:
            series = change(series, of, rng)
        clean, table = series.table, series.table
        planted: list[Planted] = []
        for _ in range(n_slips):
            kind = kinds[int(rng.integers(len(kinds)))]
            done = plant(kind, series, of, rng)
            if done is None or effect(of, clean, done[0]) < LARGE:
                break
            if any(set(p.runs) & set(done[1].runs) for p in planted):
                break
            planted.append(done[1])
            table = _together(clean, table, done[0])
        if len(planted) == n_slips:
            return Slipped(of, clean, table, tuple(planted))


def _together(clean: RunTable, one: RunTable, other: RunTable) -> RunTable:
    """Return readings with the changes that two tables make to the clean one."""

    def pick(a: Reading, b: Reading, c: Reading) -> Reading:
        return c if c.typed != a.typed else b

    readings = tuple(map(pick, clean.readings, one.readings, other.readings))
    return replace(one, readings=readings)


@dataclass(frozen=True)
class Outcome:
    """What the check made of one series."""

    example: str
    stops: int
    looks: int
    found: bool
    first: bool
    first_weighing: bool
    kind: bool
    told: bool
    all_named: bool
    kinds: tuple[str, ...]
    named: str


_ORDER = {Severity.STOP: 0, Severity.LOOK: 1, Severity.NOTE: 2}


def _runs_of(finding: Finding) -> set[str]:
    return set(str(finding.evidence.get("runs", finding.run)).split(", "))


def judge(case: tuple[int, str, int]) -> Outcome:
    """Return what the check makes of one series."""
    seed, world, n_slips = case
    series = one_series(seed, world, n_slips)
    found = list(check_slips(series.experiment, series.table))
    found = [f for f in found if f.severity is not Severity.NOTE]
    found.sort(key=lambda f: (_ORDER[f.severity], -float(f.evidence.get("probability", 0.0))))
    first = found[0] if found else None
    right = kind = told = weighing = False
    if n_slips == 1:
        planted = series.planted[0]
        weights = weigh_series(series.experiment, series.table, default_odds(), may_shift=False)
        assert weights is not None
        told = can_be_told(weights, planted)
        if first is not None:
            right = _runs_of(first) & set(planted.runs) != set() and first.reading in {
                quantity.value for quantity in planted.quantities
            }
            if planted.kind is SlipKind.COLUMN_SHIFTED:
                right = first.reading == planted.quantities[0].value
            weighing = right
            if same_weighing(series.experiment, series.clean, series.table, planted):
                weighing = right or (
                    first.run == planted.runs[0] and Quantity(first.reading) in WEIGHINGS
                )
            kind = first.code == f"slip-{planted.kind.value}"
    named = {run for f in found for run in _runs_of(f)}
    return Outcome(
        example=EXAMPLES[seed % len(EXAMPLES)],
        stops=sum(f.severity is Severity.STOP for f in found),
        looks=sum(f.severity is Severity.LOOK for f in found),
        found=bool(found),
        first=right,
        first_weighing=weighing,
        kind=kind and right,
        told=told,
        all_named=all(set(p.runs) & named for p in series.planted),
        kinds=tuple(p.kind.value for p in series.planted),
        named=first.code.removeprefix("slip-") if first else "",
    )


def many(world: str, n_slips: int, n: int) -> list[Outcome]:
    cases = [(seed, world, n_slips) for seed in range(n)]
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(judge, cases, chunksize=20))


def share(part: int, whole: int) -> str:
    """Return a share with its 95 % interval (Wilson)."""
    if not whole:
        return "none"
    z, p = 1.96, part / whole
    middle = (p + z * z / (2 * whole)) / (1 + z * z / whole)
    half = z / (1 + z * z / whole) * math.sqrt(p * (1 - p) / whole + (z / (2 * whole)) ** 2)
    return f"{100 * p:.1f} % ({100 * (middle - half):.1f} to {100 * (middle + half):.1f})"


def main(part: float = 1.0) -> None:
    begun = time.perf_counter()
    lines: list[str] = []
    sizes = {"as the model": (2000, 2000, 500)} | {
        world: (500, 500, 200) for world in WORLDS if world != "as the model"
    }
    per_kind: dict[str, list[Outcome]] = defaultdict(list)
    for world, counts in sizes.items():
        clean, single, double = (
            many(world, n_slips, max(int(n * part), 20)) for n_slips, n in enumerate(counts)
        )
        told = [o for o in single if o.told]
        rows = [
            ("clean series with a false *stop*", sum(o.stops > 0 for o in clean), len(clean)),
            ("clean series with a false *look*", sum(o.looks > 0 for o in clean), len(clean)),
            ("one slip: found", sum(o.found for o in single), len(single)),
            ("one slip: right run and reading first", sum(o.first for o in single), len(single)),
            ("the same, the weighings being one where the slip shows in the gas alone",
             sum(o.first_weighing for o in single), len(single)),
            ("one slip: right kind first, where kinds can be told apart",
             sum(o.kind for o in told), len(told)),
            ("one slip: right kind first, all", sum(o.kind for o in single), len(single)),
            ("two slips: both runs named", sum(o.all_named for o in double), len(double)),
        ]  # fmt: skip
        lines += ["", f"## {world.capitalize()}", "", "| what | n | share (95 % interval) |"]
        lines += ["| --- | --- | --- |"]
        lines += [f"| {what} | {whole} | {share(hit, whole)} |" for what, hit, whole in rows]
        if world == "as the model":
            for outcome in single:
                per_kind[outcome.kinds[0]].append(outcome)
    lines += ["", "## Kind by kind, as the model", ""]
    lines += ["| kind | n | found | run and reading first | kind first | named instead |"]
    lines += ["| --- | --- | --- | --- | --- | --- |"]
    for kind, outcomes in sorted(per_kind.items()):
        n = len(outcomes)
        instead = Counter(o.named for o in outcomes if not o.kind and o.named)
        others = ", ".join(f"{name} {count}" for name, count in instead.most_common(3))
        lines.append(
            f"| {kind} | {n} | {sum(o.found for o in outcomes)} | "
            f"{sum(o.first for o in outcomes)} | {sum(o.kind for o in outcomes)} | {others} |"
        )
    print("\n".join(lines))
    print(f"\n{time.perf_counter() - begun:.0f} s")
    if part == 1.0:
        head = (TOP / "docs" / "studies" / "slips.md").read_text(encoding="utf-8")
        head = head[: head.index("<!-- figures -->") + len("<!-- figures -->")]
        text = "\n".join([head, *lines, ""])
        (TOP / "docs" / "studies" / "slips.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
