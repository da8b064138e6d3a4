"""The quick part of the tests, for the inner loop: ``make quick``.

It is what stands in the folders of `FOLDERS` without the marker ``slow``. That such a test takes no
time and starts nothing beside itself is held whenever it runs, so that no marker is forgotten.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator
from pathlib import Path
from typing import Final

import pytest
from scripts.processor_time import processor_seconds

TOP: Final = Path(__file__).parents[1]

PACKAGES: Final = (
    "core",
    "chemistry",
    "measurement",
    "series",
    "records",
    "model",
    "reduction",
    "planning",
    "diagnosis",
)

FOLDERS: Final = (
    *(TOP / "tests" / name for name in (*PACKAGES, "published")),
    *(TOP / "src" / "tarebook" / name for name in PACKAGES),
)

LONGEST: Final = 4.0
"""Seconds of the processor that a quick test may take. One of more than 1 is marked as slow."""

BESIDE: Final = ("subprocess.Popen", "os.system", "os.posix_spawn", "os.fork", "socket.bind")
"""What is done to start a program or to listen, as `sys.audit` names it."""


def is_quick(item: pytest.Item) -> bool:
    """Return whether a test is of the quick part."""
    in_folder = any(item.path.is_relative_to(folder) for folder in FOLDERS)
    return in_folder and item.get_closest_marker("slow") is None


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the option that leaves out all but the quick part, and how long a test of it may take."""
    parser.addoption("--quick", action="store_true", help="run the quick part alone")
    what = "seconds of the processor that a test of the quick part may take"
    parser.addoption("--longest", type=float, default=LONGEST, help=what)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave out folders that hold no part of it."""
    if not config.getoption("--quick"):
        return None
    near = any(
        collection_path.is_relative_to(folder) or folder.is_relative_to(collection_path)
        for folder in FOLDERS
    )
    return None if near else True


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is marked as slow."""
    if config.getoption("--quick"):
        left_out = [item for item in items if not is_quick(item)]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if is_quick(item)]


class _Alone:
    """Refuses that a quick test starts something beside itself."""

    def __init__(self) -> None:
        self.test = ""
        sys.addaudithook(self)

    def __call__(self, event: str, _: tuple[object, ...]) -> None:
        if self.test and event in BESIDE:
            test, self.test = self.test, ""
            pytest.fail(f"{test} does {event}: mark it with pytest.mark.slow")


ALONE: Final = _Alone()


def held_to_its_time(
    item: pytest.Item, clock: Callable[[], float] = processor_seconds
) -> Generator[None, object, object]:
    """Hold a quick test to the time that it may take."""
    before = clock()
    done = yield
    taken = clock() - before
    if is_quick(item) and taken > item.config.getoption("--longest"):
        pytest.fail(f"took {taken:.1f} s of the processor: mark it with pytest.mark.slow")
    return done


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Hold a quick test to starting nothing and to its time."""
    ALONE.test = item.nodeid if is_quick(item) else ""
    try:
        return (yield from held_to_its_time(item))
    finally:
        ALONE.test = ""
