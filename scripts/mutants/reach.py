"""A plugin of pytest that measures what each test reaches of the code, and how long it takes.

What a fixture of a wider scope than the test reaches counts for all tests that ask for it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Generator
from pathlib import Path
from typing import Final

import coverage
import pytest
from scripts.processor_time import processor_seconds

GOES_TO: Final = "TAREBOOK_REACH"
"""The variable of the environment that names the folder of the results."""

FIXTURE: Final = "fixture "
"""Before the context of what a fixture reaches."""

MEASURED: Final = Path(__file__).parents[2] / "src" / "tarebook"


class Measuring:
    """Coverage of one process of pytest."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.coverage = coverage.Coverage(
            data_file=str(folder / "reach"),
            data_suffix=str(os.getpid()),
            branch=True,
            source=[str(MEASURED)],
            config_file=False,
            messages=False,
        )
        self.context = ""
        self.seconds: dict[str, float] = {}
        self.fixtures: dict[str, list[str]] = {}
        self.no_use: set[str] = set()
        self.coverage.start()

    def to(self, context: str) -> str:
        """Count what follows for another context and return the one before."""
        before, self.context = self.context, context
        self.coverage.switch_context(context)
        return before

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        """Count what a test reaches for the test."""
        wide = getattr(item, "_fixtureinfo", None)
        found = wide.name2fixturedefs.values() if wide else ()
        self.fixtures[item.nodeid] = [
            _name(definitions[-1]) for definitions in found if definitions[-1].scope != "function"
        ]
        self.to(item.nodeid)
        before = processor_seconds()
        done = yield
        self.seconds[item.nodeid] = processor_seconds() - before
        self.to("")
        return done

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(
        self, fixturedef: pytest.FixtureDef[object]
    ) -> Generator[None, object, object]:
        """Count what a shared fixture reaches for the fixture."""
        if fixturedef.scope == "function":
            return (yield)
        before = self.to(_name(fixturedef))
        try:
            return (yield)
        finally:
            self.to(before)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep those apart that do not pass as it is."""
        if not report.passed:
            self.no_use.add(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        """Keep what was measured."""
        self.coverage.stop()
        self.coverage.save()
        passed = {test: s for test, s in self.seconds.items() if test not in self.no_use}
        told = {"seconds": passed, "fixtures": self.fixtures}
        text = json.dumps(told)
        (self.folder / f"tests.{os.getpid()}.json").write_text(text, encoding="utf-8")


def _name(definition: pytest.FixtureDef[object]) -> str:
    return f"{FIXTURE}{definition.baseid}::{definition.argname}"


@pytest.hookimpl(tryfirst=True)
def pytest_load_initial_conftests(early_config: pytest.Config) -> None:
    """Begin before anything of the package is loaded."""
    early_config.pluginmanager.register(Measuring(Path(os.environ[GOES_TO])), "measuring")
