"""The laboratories of `tests.poured_rows`, one after the other."""

from __future__ import annotations

import pytest
from tests.poured_rows import LABORATORIES

from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment


@pytest.fixture(params=sorted(LABORATORIES))
def laboratory(request: pytest.FixtureRequest) -> Experiment:
    return parse_definition(LABORATORIES[request.param])
