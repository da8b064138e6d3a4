"""Does the joint fit find what is true? Simulated series, fitted blind; writes a page of tables.

Run it from the top of the repository: python scripts/study_joint_fit.py

Two studies. In the first our own forward model makes the readings; in the second the chemistry of
the cup is PHREEQC's with ion pairs, which our solver does not have. Truths are drawn over wide
ranges; every error of every instrument is drawn too. The same seed gives the same page.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path

import numpy as np
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc

from tarebook.chemistry.equilibrium import System, phreeqc_database
from tarebook.chemistry.equilibrium.exchange import element
from tarebook.core.units import celsius
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.release import Mixture, Release, Released, by_equilibrium
from tarebook.model.simulate import simulate
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import SetAside
from tarebook.reduction.usual_series import reduce_usual
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[1]
PAGE = TOP / "docs" / "studies" / "joint-fit.md"

SEED = 20
SERIES = 1000
USUAL_DRAWS = 4_000
CLEAN = SetAside(unusable={}, doubtful={})
ATMOSPHERE = 101325.0

COVERAGE_ASKED = (0.93, 0.975)
BIAS_ASKED = {"own": 0.003, "pairs": 0.005}
"""Bounds on the part of 95 % intervals that hold the truth, and on the mean relative error."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A definition to make series of, and the contents they are drawn from."""

    title: str
    example: str
    contents: tuple[float, float]
    changes: tuple[tuple[str, str], ...] = ()

    def experiment(self) -> Experiment:
        text = (TOP / "examples" / self.example / "experiment.toml").read_text(encoding="utf-8")
        for old, new in self.changes:
            if old not in text:
                raise ValueError(f"{self.example}: {old!r} is not in the definition")
            text = text.replace(old, new)
        return parse_definition(text)


KINDS = (
    Kind("pool granules, 0.001 g balance", "clean-pool-granules", (0.75, 1.0)),
    Kind(
        "pool granules, 0.01 g balance",
        "clean-pool-granules",
        (0.75, 1.0),
        (("readability_g = 0.001", "readability_g = 0.01"),),
    ),
    Kind("foot-bath salt, weak acid", "weak-acid-foot-bath", (0.60, 0.88)),
)

PAIRS = """
SOLUTION_SPECIES
Na+ + CarbonicH3O- = NaCarbonicH3O
 log_k -0.25
Na+ + CarbonicH2O-2 = NaCarbonicH2O-
 log_k 1.27
"""
"""NaHCO3 and NaCO3- with the constants of phreeqc.dat, in the names of our database."""

PUNCH = """
KNOBS
 -convergence_tolerance 1e-12
SELECTED_OUTPUT
 -reset false
USER_PUNCH
 -headings pH I carbon
 10 PUNCH -LA("H+"), MU, TOTMOLE("Carbonic")
"""


@lru_cache(maxsize=4)
def program(system: System, pairs: bool) -> IPhreeqc:
    """Return PHREEQC with the constants of a system, loaded once.

    The pairs stand in place of our coefficients of sodium with the ions of carbonic acid.
    """
    loaded = IPhreeqc()
    text = phreeqc_database(system)
    if pairs:
        coefficients = (" CarbonicH3O- Na+ ", " CarbonicH2O-2 Na+ ")
        kept = [line for line in text.splitlines() if not line.startswith(coefficients)]
        text = "\n".join([*kept, PAIRS])
    loaded.load_database_string(text)
    return loaded


def by_phreeqc(mixture: Mixture, pairs: bool = True) -> Released:
    """Return what leaves the liquid by PHREEQC: a gas at a pressure, with nothing to give."""
    water, temperature, pressure = np.broadcast_arrays(
        mixture.water, mixture.temperature, mixture.pressure
    )
    amounts = {element(name): m for name, m in (mixture.totals | mixture.strong).items()}
    rows = {name: np.broadcast_to(m, water.shape).ravel() for name, m in amounts.items()}
    lines = [PUNCH]
    for i in range(water.size):
        lines += [f"SOLUTION {i + 1}", " units mol/kgw", " pH 6 charge"]
        lines += [f" temp {celsius(float(temperature.flat[i])):.12g}"]
        lines += [f" {name} {values[i]:.15g}" for name, values in rows.items()]
        log_p = np.log10(pressure.flat[i] / ATMOSPHERE)
        lines += [
            f"EQUILIBRIUM_PHASES {i + 1}",
            f" CO2(g) {log_p:.15g} 0",
            "END",
        ]
    engine = program(mixture.chemistry.system, pairs)
    engine.run_string("\n".join([*lines, ""]))
    # each cup punches its solution and then the same after the gas has left
    found = np.array(engine.get_selected_output_array()[1:], dtype=np.float64)[1::2]
    ph, strength, carbon = found.reshape(*water.shape, 3).transpose(-1, *range(water.ndim))
    total = np.broadcast_to(mixture.totals["carbonic"], water.shape)
    return Released(
        gas=(total - carbon) * water,
        ph=ph,
        ionic_strength=strength,
        extrapolated=strength > 0.5,
    )


CHEMISTRIES: dict[str, Release] = {"own": by_equilibrium, "pairs": by_phreeqc}


@dataclass(frozen=True, slots=True)
class One:
    """Errors of one series: relative, of the content; whether the interval holds the truth."""

    full: float
    full_holds: bool
    full_u: float
    usual: float
    usual_holds: bool
    chi2_per_dof: float
    profiled: bool
    ph: float
    ph_u: float
    others_hold: tuple[bool, ...]


def one_series(kind: Kind, chemistry: str, seed: int, number: int) -> One | str:
    """Draw a truth, make readings, reduce them blind; a text says why that failed."""
    experiment = kind.experiment()
    stream = np.random.SeedSequence(seed, spawn_key=(KINDS.index(kind), number))
    rng = np.random.Generator(np.random.SFC64(stream))
    drawn = drawn_parameters(experiment, rng, 1)
    truth = Parameters(**{name: getattr(drawn, name)[0, 0] for name in NAMES})
    truth = truth.with_values(content=np.array(rng.uniform(*kind.contents)))
    if chemistry != "own":
        # the other chemistry is the shift
        none = np.array(0.0)
        truth = truth.with_values(first_pk_shift=none, activity=none)
    made = simulate(experiment, truth, rng, release=CHEMISTRIES[chemistry])
    usual = reduce_usual(experiment, made.table, CLEAN, seed=seed, draws=USUAL_DRAWS).series
    full = reduce_full(experiment, made.table, CLEAN, None, pictures=False)
    if full.series is None or usual is None:
        return full.no_series_because.key if full.no_series_because else "no textbook calculation"
    content = float(truth.content)
    found, plain = full.series.sample_mass_fraction, usual.sample_mass_fraction
    first = full.runs[0].ph
    return One(
        full=found.value / content - 1.0,
        full_holds=found.low <= content <= found.high,
        full_u=found.u / content,
        usual=plain.value / content - 1.0,
        usual_holds=plain.low <= content <= plain.high,
        chi2_per_dof=full.series.chi2 / full.series.dof,
        profiled=full.series.interval_method == "profile",
        ph=first.value - float(made.state.ph[0]) if first else 0.0,
        ph_u=first.u if first else 0.0,
        others_hold=_others_hold(full.series, truth),
    )


OTHERS = {
    "own_acid": "own acid",
    "concentration": "strength of the stock",
    "hold_up_reagent": "hold-up of the reagent",
    "gas_pressure": "gas pressure at the end of the fizzing",
    "head_fraction": "part of the head space that holds gas",
}


def _others_hold(series: FullSeries, truth: Parameters) -> tuple[bool, ...]:
    found = {parameter.name: parameter.value for parameter in series.parameters}
    return tuple(
        found[name].low <= float(getattr(truth, name)) <= found[name].high for name in OTHERS
    )


@dataclass(frozen=True, slots=True)
class Line:
    """What a number of series of one kind came to."""

    title: str
    n: int
    failures: tuple[str, ...]
    full_bias: float
    full_bias_u: float
    full_sd: float
    full_u: float
    full_coverage: float
    usual_bias: float
    usual_coverage: float
    chi2_per_dof: float
    profiled: float
    ph_bias: float
    ph_coverage: float
    others: tuple[float, ...]


def line_of(title: str, found: Iterable[One | str]) -> Line:
    """Return the means of many series."""
    every = list(found)
    good = [one for one in every if isinstance(one, One)]
    full, usual = (np.array([getattr(one, name) for one in good]) for name in ("full", "usual"))

    def mean(value: Callable[[One], float]) -> float:
        return float(np.mean([value(one) for one in good]))

    return Line(
        title=title,
        n=len(every),
        failures=tuple(one for one in every if isinstance(one, str)),
        full_bias=float(full.mean()),
        full_bias_u=float(full.std(ddof=1)) / len(good) ** 0.5,
        full_sd=float(full.std(ddof=1)),
        full_u=mean(lambda one: one.full_u**2) ** 0.5,
        full_coverage=mean(lambda one: one.full_holds),
        usual_bias=float(usual.mean()),
        usual_coverage=mean(lambda one: one.usual_holds),
        chi2_per_dof=mean(lambda one: one.chi2_per_dof),
        profiled=mean(lambda one: one.profiled),
        ph_bias=mean(lambda one: one.ph),
        ph_coverage=mean(lambda one: abs(one.ph) <= 1.96 * one.ph_u),
        others=tuple(np.mean([one.others_hold for one in good], axis=0).tolist()),
    )


def study(chemistry: str, seed: int, n: int, workers: int) -> tuple[Line, ...]:
    """Return one line for each kind of series."""
    lines = []
    for kind in KINDS:
        work = partial(one_series, kind, chemistry, seed)
        if workers > 1:
            with ProcessPoolExecutor(workers) as pool:
                found = list(pool.map(work, range(n), chunksize=25))
        else:
            found = [work(number) for number in range(n)]
        lines.append(line_of(kind.title, found))
        print(chemistry, lines[-1], flush=True)
    return tuple(lines)


def faults(chemistry: str, lines: Iterable[Line]) -> list[str]:
    """Return in which lines a bound is not met."""
    low, high = COVERAGE_ASKED
    found = []
    for line in lines:
        where = f"{chemistry}, {line.title}"
        if line.failures:
            found.append(f"{where}: {len(line.failures)} of {line.n} gave no result")
        if abs(line.full_bias) >= BIAS_ASKED[chemistry]:
            found.append(f"{where}: bias {100 * line.full_bias:.2f} %")
        if chemistry == "own" and not low <= line.full_coverage <= high:
            found.append(f"{where}: coverage {100 * line.full_coverage:.1f} %")
    return found


def _percent(value: float, digits: int = 1, sign: bool = False) -> str:
    # a minus that a reader takes for one
    text = f"{100 * value:{'+' if sign else ''}.{digits}f}"
    return text.replace("-", "−")


def table(lines: Iterable[Line]) -> str:
    """Return the lines as a table."""
    rows = [
        "| series | n | textbook calculation: bias, % | covers, % | joint fit: bias, % | sd, % | "
        "mean u, % | covers, % | chi2/dof | by profile, % |",
        "| --- | --: | --: | --: | --: | --: | --: | --: | --: | --: |",
    ]
    for one in lines:
        bias = f"{_percent(one.full_bias, 2, True)} ± {_percent(one.full_bias_u, 2)}"
        cells = [
            one.title,
            str(one.n),
            _percent(one.usual_bias, 1, True),
            _percent(one.usual_coverage),
            bias,
            _percent(one.full_sd, 2),
            _percent(one.full_u, 2),
            _percent(one.full_coverage),
            f"{one.chi2_per_dof:.2f}",
            _percent(one.profiled, 0),
        ]
        rows.append("| " + " | ".join(cells) + " |")
    return "\n".join(rows)


def others_table(lines: Iterable[Line]) -> str:
    """Return how often the intervals of the other parameters hold the truth."""
    kinds = list(lines)
    rows = ["| parameter | " + " | ".join(line.title for line in kinds) + " |"]
    rows.append("| --- |" + " --: |" * len(kinds))
    for i, name in enumerate(OTHERS.values()):
        rows.append(f"| {name} | " + " | ".join(_percent(k.others[i]) for k in kinds) + " |")
    return "\n".join(rows)


PAGE_TEXT = """# Does the joint fit find what is true?

Made by `make study` (scripts/study_joint_fit.py), seed {seed}, {n} series of each kind; the same
seed gives the same page. All readings are simulated.

For each series a truth is drawn: the content evenly over {contents},
and everything else from what is taken to be known beforehand: acid of the sample, strength of the
stock, scale of each cylinder, liquid left at each pour, pressure and loss of the dissolved gas, gas
left in the vessel, evaporation, humidity of the gas. Then every error of every instrument is drawn,
the readings are rounded as instruments round, and the series is reduced without a look at the
truth, by the textbook calculation and by the joint fit.

*Bias* is the mean relative error of the content, with its standard error; *sd* its standard
deviation; *mean u* the root mean square of the standard uncertainties stated; *covers* how many
of the 95 % intervals hold the truth. Of {n} series a method with true 95 % intervals covers between
{low} and {high} % nineteen times in twenty.

## Readings by our own model

{own}

Asked for: bias below 0.3 %, coverage from 93 to 97.5 %.

How many of the 95 % intervals of the other parameters hold the truth, in per cent:

{others}

## Readings by another chemistry

The same, but what stays dissolved is worked out by PHREEQC 3 with the ion pairs NaHCO3 (log K
−0.25) and NaCO3- (log K 1.27), which our solver does not have; the fit knows nothing of them.

{pairs}

Asked for: bias below 0.5 %.

The pH of the first cup, in which bicarbonate is left over, against PHREEQC's:

{ph}

The content hardly feels the ion pairs: they move the pH of cups with bicarbonate left over, and
with it what those cups hold back, by about one per cent of it. Their pH is off by what the
uncertainty of the equilibrium constants (0.05 in the first pK) is there to cover.
"""


def page(own: tuple[Line, ...], pairs: tuple[Line, ...], seed: int, n: int) -> str:
    """Return the page."""
    half = 1.96 * (0.95 * 0.05 / n) ** 0.5
    ranges = sorted({kind.contents for kind in KINDS})
    ph = ["| series | mean difference in pH | within the 95 % interval, % |", "| --- | --: | --: |"]
    ph += [
        f"| {line.title} | {line.ph_bias:+.3f} | {_percent(line.ph_coverage)} |".replace("-0", "−0")
        for line in pairs
    ]
    return PAGE_TEXT.format(
        seed=seed,
        n=n,
        contents=" or ".join(f"{low:g} to {high:g}" for low, high in ranges),
        low=_percent(0.95 - half),
        high=_percent(0.95 + half),
        own=table(own),
        others=others_table(own),
        pairs=table(pairs),
        ph="\n".join(ph),
    )


def main() -> int:
    """Run both studies and write the page; 1 if a bound is not met."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--series", type=int, default=SERIES, help="of each kind")
    arguments.add_argument("--seed", type=int, default=SEED)
    arguments.add_argument("--workers", type=int, default=2)
    given = arguments.parse_args()
    found = {
        chemistry: study(chemistry, given.seed, given.series, given.workers)
        for chemistry in CHEMISTRIES
    }
    PAGE.parent.mkdir(parents=True, exist_ok=True)
    text = page(found["own"], found["pairs"], given.seed, given.series)
    PAGE.write_text(text, encoding="utf-8")
    wrong = [fault for chemistry, lines in found.items() for fault in faults(chemistry, lines)]
    print("\n".join(wrong) or f"All bounds met; {PAGE.relative_to(TOP)} written.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
