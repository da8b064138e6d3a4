"""A throw-away PostgreSQL server, where its programs are installed."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

USER, DATABASE = "bench", "readings"

SYSTEM_USER = "postgres"
"""Who runs the server where the tests run as root: its package makes this user."""


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
        # The server refuses to run as root.
        user = SYSTEM_USER if os.geteuid() == 0 else None
        # Not in a pipe: the server keeps what it inherits open.
        with (self.folder / "said").open("ab") as said:
            path = [str(self.bin / command[0]), *command[1:]]
            subprocess.run(
                path,
                check=True,
                stdout=said,
                stderr=said,
                cwd=self.folder,
                user=user,
                group=user,
                extra_groups=[] if user else None,
            )

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


def programs() -> Path | None:
    """Return the folder of the server's programs; None if there is none here."""
    found = shutil.which("initdb")
    places = [Path(found).resolve().parent] if found else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


def _make(programs: Path, folder: Path) -> PostgreSQL:
    if os.geteuid() == 0:
        shutil.chown(folder, SYSTEM_USER)
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


@contextmanager
def throw_away(programs: Path) -> Iterator[PostgreSQL]:
    """Give a server that is gone at the end of the block."""
    # Not below pytest's own folder, which only its user may enter; and a socket's path is short.
    folder = Path(tempfile.mkdtemp(prefix="tarebook-pg-"))
    try:
        server = _make(programs, folder)
        yield server
        server.stop("immediate")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
