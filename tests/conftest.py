"""What tests of several layers need: a PostgreSQL server; and no test passes over a fault."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tarebook.api.unforeseen import REPORTS_GO_TO

USER, DATABASE = "bench", "readings"


@dataclass(frozen=True, slots=True, kw_only=True)
class PostgreSQL:
    """A throw-away server that listens on a socket in its own folder, not on the network.

    Attributes
    ----------
    url : str
        Of a database that an ordinary user owns.
    superuser_url : str
        The same database as the superuser.
    """

    bin: Path
    folder: Path
    url: str
    superuser_url: str

    def run(self, *command: str) -> None:
        """Run a program of the server as the user that may."""
        as_user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        # Not in a pipe: the server keeps what it inherits open.
        with (self.folder / "said").open("ab") as said:
            path = [*as_user, str(self.bin / command[0]), *command[1:]]
            subprocess.run(path, check=True, stdout=said, stderr=said, cwd=self.folder)

    def start(self) -> None:
        """Start the server and wait until it answers."""
        options = f"-k {self.folder} -c listen_addresses='' -c max_connections=60"
        log = str(self.folder / "log")
        self.run("pg_ctl", "-D", str(self.folder / "data"), "-w", "-l", log, "-o", options, "start")

    def stop(self, how: str = "fast") -> None:
        """Stop the server; "immediate" is as if the power went."""
        self.run("pg_ctl", "-D", str(self.folder / "data"), "-w", "-m", how, "stop")

    def sql(self, *statements: str, database: str = "postgres") -> None:
        """Run statements as the superuser."""
        options = [part for statement in statements for part in ("-c", statement)]
        self.run("psql", "-q", "-h", str(self.folder), "-U", "super", *options, database)


def _programs() -> Path | None:
    found = shutil.which("initdb")
    places = [Path(found).resolve().parent] if found else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


def _make(programs: Path, folder: Path) -> PostgreSQL:
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    server = PostgreSQL(
        bin=programs,
        folder=folder,
        url=f"postgresql://{USER}@/{DATABASE}?host={folder}",
        superuser_url=f"postgresql://super@/{DATABASE}?host={folder}",
    )
    server.run("initdb", "-D", str(folder / "data"), "-A", "trust", "-U", "super", "-E", "UTF8")
    server.start()
    server.sql(f"CREATE ROLE {USER} LOGIN", f"CREATE DATABASE {DATABASE} OWNER {USER}")
    return server


@pytest.fixture(scope="session")
def postgresql() -> Iterator[PostgreSQL]:
    programs = _programs()
    if programs is None:
        said = "there is no PostgreSQL server here: sudo apt-get install postgresql"
        if os.environ.get("CI"):
            pytest.fail(said)
        pytest.skip(said)
    # Not below pytest's own folder, which only its user may enter; and a socket's path is short.
    folder = Path(tempfile.mkdtemp(prefix="tarebook-pg-"))
    try:
        server = _make(programs, folder)
        yield server
        server.stop("immediate")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def fault_reports(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Where reports of unforeseen errors go; a test that plants such an error empties it."""
    folder = Path(tempfile.mkdtemp(prefix="tarebook-faults-"))
    monkeypatch.setenv(REPORTS_GO_TO, str(folder))
    yield folder
    shutil.rmtree(folder)


@pytest.fixture(autouse=True)
def no_unforeseen_error(fault_reports: Path) -> Iterator[None]:
    """Fail a test in which the command line or the app, in any process, met such an error."""
    yield
    reports = [path.read_text(encoding="utf-8") for path in sorted(fault_reports.iterdir())]
    assert not reports, "\n".join(reports)
