"""A closed run in the joint fit: it says that mass is kept, and nothing of the content."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.records.readings import RunTable
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

NOTHING = SetAside(unusable={}, doubtful={})
CLOSED = (
    '[weighing]\nsealed_runs = ["8"]\nsealed_vessel_rated_kPa = 600\n'
    "sealed_vessel_mL = 500\n\n[vessel]"
)


@pytest.mark.slow
def test_the_content_is_that_of_the_open_runs(
    build: Callable[..., Experiment],
    exact: Callable[..., RunTable],
) -> None:
    closed, plain = build({"[vessel]": CLOSED}), build()
    table = exact(closed, 0.87)
    fitted = reduce_full(closed, table, NOTHING, None)
    assert fitted.series is not None
    found = fitted.series.sample_mass_fraction
    assert abs(found.value - 0.87) < 0.05 * found.u
    without = RunTable(
        runs=table.runs[:-1], readings=tuple(r for r in table.readings if r.run != "8")
    )
    alone = reduce_full(plain, without, NOTHING, None)
    assert alone.series is not None
    # It weighs liquid and shows the hold-up as every cup does, so it may help a little.
    u_alone = alone.series.sample_mass_fraction.u
    assert 0.8 * u_alone < found.u <= u_alone * 1.001
    run = fitted.runs[-1]
    assert run.ph is None
    assert run.vapour == run.evaporated == 0.0
    np.testing.assert_allclose(run.dissolved + run.head_gas, run.gas_expected.value, rtol=1e-6)
    # An open cup takes part as it did, and a closed one taken for open is far off.
    mistaken = reduce_full(plain, table, NOTHING, None)
    assert mistaken.series is None
