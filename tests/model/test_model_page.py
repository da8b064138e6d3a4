"""The figures of docs/model.md, worked out anew."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters, priors
from tarebook.records.readings import Quantity
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[2]
PAGE = (TOP / "docs" / "model.md").read_text(encoding="utf-8")
# A line break is a space.
TEXT = re.sub(r"\s+", " ", PAGE)


def row(label: str) -> list[str]:
    """Return the cells of the row of a table that starts with a label."""
    (line,) = [line for line in PAGE.splitlines() if line.startswith(f"| {label} |")]
    return [cell.strip() for cell in line.strip("|").split("|")][1:]


@pytest.fixture(scope="module")
def example() -> Experiment:
    path = TOP / "examples" / "clean-pool-granules" / "experiment.toml"
    return parse_definition(path.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def parameters(example: Experiment) -> Parameters:
    return central_parameters(example).with_values(content=np.array(0.944))


@pytest.fixture(scope="module")
def contents() -> Contents:
    reagent = np.array([0.005, 0.022, 0.035])
    return Contents(
        reagent=reagent,
        diluent=0.040 - reagent,
        sample=np.full(3, 1.5),
        temperature=np.full(3, 294.15),
        minutes=np.full(3, 10.0),
    )


@pytest.fixture(scope="module")
def state(example: Experiment, parameters: Parameters, contents: Contents) -> CupState:
    return cup_state(example, parameters, contents)


@pytest.mark.parametrize(
    ("label", "name"),
    [
        ("gas made by the equation", "gas_made"),
        ("stays dissolved", "dissolved"),
        ("lies in the vessel", "head_gas"),
        ("leaves as vapour with the gas", "vapour"),
        ("evaporates", "evaporated"),
    ],
)
def test_sizes_of_the_effects(state: CupState, label: str, name: str) -> None:
    assert row(label) == [f"{1000 * value:.1f}" for value in getattr(state, name)]


def test_figures_in_the_text(
    example: Experiment, parameters: Parameters, contents: Contents, state: CupState
) -> None:
    assert f"After ten minutes $P$ is {state.gas_pressure[0] / 101325:.2f} atm here" in TEXT
    at_once = Contents(
        **{n: getattr(contents, n) for n in Contents.__slots__ if n != "minutes"},
        minutes=np.zeros(3),
    )
    fall = 294.15 - cup_state(example, parameters, at_once).temperature
    assert f"about {fall[2]:.1f} °C here" in TEXT
    warm = cup_state(example, parameters, contents, ALL_EFFECTS - {CupEffect.COOLING})
    more = 100 * (state.dissolved[2] / warm.dissolved[2] - 1)
    assert f"some {more:.0f} % more here" in TEXT
    per_minute = 1000 * float(parameters.evaporation)
    assert f"to rim: {per_minute:.1f} mg/min here" in TEXT


def test_figures_of_the_buoyancy(
    example: Experiment, parameters: Parameters, contents: Contents, state: CupState
) -> None:
    tare = np.zeros(3)
    with_air, without = (
        Seen(example, parameters, contents, tare, state, effects)
        for effects in (ALL_EFFECTS, ALL_EFFECTS - {CupEffect.BUOYANCY})
    )
    liquid = 1000 * (without.of(Quantity.LIQUID) - with_air.of(Quantity.LIQUID))
    assert f"that is {liquid[0]:.0f} mg" in TEXT
    lost = [1000 * r.lost for r in (without, with_air)]
    change = np.abs(lost[0] - lost[1])
    assert f"takes {change.min():.1f} to {change.max():.1f} mg" in TEXT


def test_table_of_what_is_known(example: Experiment) -> None:
    known = {prior.name: prior for prior in priors(example)}
    hold_up = known["hold_up_reagent"]
    assert row("hold-up of a 50 mL cylinder, mL")[:2] == [
        f"{1000 * hold_up.centre:.3f}",
        f"{100 * hold_up.u / hold_up.centre:.0f} %",
    ]
    room = example.room
    own_gas = room.pressure - 2488.0
    pressure = known["gas_pressure"]
    assert row("gas pressure over that of the moist gas")[0] == f"{pressure.centre / own_gas:.2f}"
    assert pressure.u == pytest.approx(np.hypot(0.15, 0.02))
    for label, name in (("degassing, 1/min", "degassing"), ("evaporation", "evaporation")):
        assert row(label)[1] == f"{100 * known[name].u:.0f} %"
    head = known["head_fraction"]
    assert row("part of the head space that holds gas")[:2] == [f"{head.centre}", f"{head.u:.2f}"]
    humid = known["vapour_saturation"]
    logit = humid.u * humid.centre * (1 - humid.centre)
    assert row("humidity of the gas")[:2] == [f"{humid.centre}", f"{logit:.2f}"]
    assert row("first pK of carbonic acid, shift")[1] == f"{known['first_pk_shift'].u}"
