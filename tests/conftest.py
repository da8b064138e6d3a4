"""What tests of several layers need: a PostgreSQL server; and no test passes over a fault."""

from __future__ import annotations

import logging
import os
import shutil
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings
from scripts.torture.postgresql import PostgreSQL, programs, throw_away
from tests.quick import (
    pytest_addoption,
    pytest_collection_modifyitems,
    pytest_ignore_collect,
    pytest_runtest_call,
)

from tarebook.api.unforeseen import REPORTS_GO_TO
from tarebook.web.log import Sentences

# The hooks of pytest that stand beside.
__all__ = [
    "pytest_addoption",
    "pytest_collection_modifyitems",
    "pytest_ignore_collect",
    "pytest_runtest_call",
]

# How fast a machine is, and what else it does, says nothing of the code.
ANYWHERE = settings(
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.large_base_example,
        # Each example makes files of its own in the one folder that a test is given.
        HealthCheck.function_scoped_fixture,
    ],
)
settings.register_profile("anywhere", ANYWHERE)
# Of a planted fault only whether it is seen is asked, the same in every run.
settings.register_profile(
    "mutants",
    ANYWHERE,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
)
settings.load_profile("anywhere")


@pytest.fixture(scope="session")
def postgresql() -> Iterator[PostgreSQL]:
    found = programs()
    if found is None:
        said = "there is no PostgreSQL server here: sudo apt-get install postgresql"
        if os.environ.get("CI"):
            pytest.fail(said)
        pytest.skip(said)
    with throw_away(found) as server:
        yield server


@pytest.fixture
def fault_reports(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Where reports of unforeseen errors go; a test that plants such an error empties it."""
    folder = Path(tempfile.mkdtemp(prefix="tarebook-faults-"))
    monkeypatch.setenv(REPORTS_GO_TO, str(folder))
    yield folder
    shutil.rmtree(folder)


@pytest.fixture(autouse=True)
def no_server_tells_on() -> Iterator[None]:
    """Take away what a server in this process set up to tell of itself: it would tell of others."""
    yield
    root = logging.getLogger()
    for handler in list(root.handlers):
        if isinstance(handler.formatter, Sentences):
            root.removeHandler(handler)
            handler.close()
    threading.excepthook = threading.__excepthook__


@pytest.fixture(autouse=True)
def no_unforeseen_error(fault_reports: Path) -> Iterator[None]:
    """Fail a test in which the command line or the app, in any process, met such an error."""
    yield
    reports = [path.read_text(encoding="utf-8") for path in sorted(fault_reports.iterdir())]
    assert not reports, "\n".join(reports)
