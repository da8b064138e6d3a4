"""Solutions per second, as a ratio to PHREEQC through its Python binding in the same run.

Both return the same: pH, ionic strength, activity of water, carbon, CO2 pressure and the molality
of every species, for cups of bicarbonate and acetic acid at temperatures of their own. PHREEQC is
timed at the same task, the quickest way that it has for it: closed as one table of solutions;
capped as solutions that then meet a gas with nothing to give.
It is timed with all solutions in one input and with one call for each solution. Its rate for closed
solutions, its quickest task, is shown beside the others as well.
"""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np
import pytest
from phreeqpy.iphreeqc.phreeqc_dll import IPhreeqc
from pytest_benchmark.fixture import BenchmarkFixture
from tests.cups import closed

from tarebook.chemistry.equilibrium import (
    Equilibrium,
    StrongIon,
    System,
    acid,
    capped,
    phreeqc_database,
)
from tarebook.chemistry.equilibrium.exchange import species_of
from tarebook.core.arrays import FloatArray
from tarebook.core.units import kelvin

BATCH = 100_000
REFERENCE_BATCH, REFERENCE_CALLS = 3_000, 300
ATMOSPHERE = 101325.0
SYSTEM = System(acids=(acid("carbonic"), acid("acetic")), strong_ions=(StrongIon("Na+", 1),))
SPECIES = " ".join(form for one in SYSTEM.acids for form in species_of(one))
PUNCH = f"""
SELECTED_OUTPUT
 -reset false
 -pH
 -ionic_strength
 -totals Carbonic
 -activities H2O
 -saturation_indices CO2(g)
 -molalities H+ OH- Na+ {SPECIES}
"""


@dataclass(frozen=True, slots=True)
class Cups:
    bicarbonate: FloatArray
    acetic: FloatArray
    celsius: FloatArray
    pressure: FloatArray


def cups(n: int) -> Cups:
    rng = np.random.Generator(np.random.SFC64(20))
    return Cups(
        rng.uniform(0.05, 0.8, n),
        rng.uniform(0.0, 1.0, n),
        rng.uniform(10.0, 35.0, n),
        rng.uniform(40.0, 101325.0, n),
    )


@pytest.fixture(scope="module")
def program() -> IPhreeqc:
    reference = IPhreeqc()
    reference.load_database_string(phreeqc_database(SYSTEM))
    return reference


def reference_inputs(mode: str, n: int) -> list[str]:
    """Return the first cups in PHREEQC's words, one input each."""
    c = cups(n)
    inputs = []
    logs = np.log10(c.pressure / ATMOSPHERE)
    for i, (m, a, t, p) in enumerate(zip(c.bicarbonate, c.acetic, c.celsius, logs, strict=True), 1):
        text = (
            f"SOLUTION {i}\n units mol/kgw\n temp {t}\n pH 7 charge\n Na {m}\n Acetic {a}\n"
            f" Carbonic {m}\n"
        )
        if mode == "capped":
            text += f"EQUILIBRIUM_PHASES {i}\n CO2(g) {p} 0\n"
        inputs.append(text + "END\n")
    return inputs


def reference_table(n: int) -> str:
    """Return the first cups as one table of closed solutions."""
    c = cups(n)
    rows = [
        f"{i}\t{t}\t7\t{m}\t{a}\t{m}"
        for i, (m, a, t) in enumerate(zip(c.bicarbonate, c.acetic, c.celsius, strict=True), 1)
    ]
    head = "SOLUTION_SPREAD\n -units mol/kgw\nNumber\ttemp\tpH\tNa\tAcetic\tCarbonic\n\t\tcharge\n"
    return head + "\n".join(rows) + "\nEND\n"


def reference_batch(program: IPhreeqc, mode: str) -> tuple[float, FloatArray]:
    """Return PHREEQC's solutions per second in one input, best of three, and its pH."""
    n = REFERENCE_BATCH
    text = reference_table(n) if mode == "closed" else "".join(reference_inputs(mode, n))
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        program.run_string(PUNCH + text)
        answers = program.get_selected_output_array()
        best = min(best, time.perf_counter() - start)
    # A capped cup is punched as it was and as it became.
    found = np.array([row[0] for row in answers[1:]], dtype=np.float64)
    found = found[1::2] if mode == "capped" else found
    assert found.shape == (n,)
    return n / best, found


def reference_calls(program: IPhreeqc, mode: str) -> float:
    """Return PHREEQC's solutions per second with one call for each, best of three."""
    inputs = reference_inputs(mode, REFERENCE_CALLS)
    program.run_string(PUNCH)
    best = np.inf
    for _ in range(3):
        start = time.perf_counter()
        for text in inputs:
            program.run_string(text)
            program.get_selected_output_array()
        best = min(best, time.perf_counter() - start)
    return REFERENCE_CALLS / best


def solve(mode: str, c: Cups) -> Equilibrium:
    """Solve all cups by our own solver."""
    acetic, sodium, t = {"acetic": c.acetic}, {"Na+": c.bicarbonate}, kelvin(c.celsius)
    both = {"carbonic": c.bicarbonate, **acetic}
    if mode == "closed":
        return closed(SYSTEM, totals=both, strong=sodium, temperature=t)
    return capped(SYSTEM, totals=both, strong=sodium, temperature=t, pressure=c.pressure)


@pytest.mark.parametrize("mode", ["closed", "capped"])
def test_solutions_per_second(benchmark: BenchmarkFixture, program: IPhreeqc, mode: str) -> None:
    c = cups(BATCH)
    batch, reference_ph = reference_batch(program, mode)
    calls = reference_calls(program, mode)
    quickest, _ = reference_batch(program, "closed")
    run = benchmark.pedantic
    result: Equilibrium = run(solve, (mode, c), rounds=7, warmup_rounds=1)  # type: ignore[no-untyped-call] # half typed
    assert benchmark.stats is not None
    rate = BATCH / benchmark.stats.stats.min
    benchmark.extra_info.update(
        solutions_per_s=rate,
        phreeqc_batch_per_s=batch,
        phreeqc_calls_per_s=calls,
        ratio_to_batch=rate / batch,
        ratio_to_calls=rate / calls,
        ratio_to_closed_batch=rate / quickest,
    )
    print(
        f"\n{mode}: {rate:,.0f} solutions/s; PHREEQC at the same task {batch:,.0f}/s in one input "
        f"(ratio {rate / batch:.0f}), {calls:,.0f}/s call by call (ratio {rate / calls:.0f}); "
        f"closed, its quickest, {quickest:,.0f}/s in one table (ratio {rate / quickest:.0f})"
    )
    np.testing.assert_allclose(
        solve(mode, cups(REFERENCE_BATCH)).ph, reference_ph, rtol=0, atol=0.01
    )
    assert result.ph.size == BATCH
    # The aim is 100; half of that, so that a busy machine is not taken for a slow solver.
    assert rate / calls > 50
