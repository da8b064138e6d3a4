"""The app as it runs in a lesson: a process of its own, with limits, that can be killed."""

from __future__ import annotations

import os
import re
import resource
import shutil
import signal
import subprocess
import sys
import threading
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from tarebook.api.placing import SETTING
from tarebook.api.unforeseen import REPORTS_GO_TO

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules"
PATIENCE = 120.0
"""Seconds for a server to begin."""

TAREBOOK = str(Path(sys.executable).with_name("tarebook"))


def new_folder(place: Path) -> Path:
    """Return a new folder with the definition of the example and no readings."""
    place.mkdir(parents=True)
    shutil.copy(EXAMPLE / "experiment.toml", place)
    return place


@dataclass
class Server:
    """`tarebook bench` on a folder; all traffic stays on this machine.

    Attributes
    ----------
    folder : Path
    groups : int
    database : str
        Address of a PostgreSQL database; empty for the file in the folder.
    files : int
        Most files that the process may have open; 0 for what the system allows.
    file_bytes : int
        Largest file that the process may write, as on a disk that is full; 0 for any.
    port : int
        The same at every start, as devices know it; 0 before the first.
    codes : dict of str
        Join code of each group.
    said : str
        What the terminal showed at the last start.
    """

    folder: Path
    groups: int = 2
    database: str = ""
    files: int = 0
    file_bytes: int = 0
    port: int = 0
    codes: dict[str, str] = field(default_factory=dict)
    said: str = ""
    _process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        """Start it and return when it listens."""
        self.begin()
        self.wait()

    def begin(self) -> None:
        """Start it and return at once."""
        command = [TAREBOOK, "bench", str(self.folder), "--port", str(self.port), "--no-browser"]
        command += ["--share", "--groups", str(self.groups)]
        environment = {**os.environ, SETTING: self.database}
        with self._errors.open("ab") as errors:
            self._process = subprocess.Popen(
                command,
                stdout=subprocess.PIPE,
                stderr=errors,
                text=True,
                env=environment,
                preexec_fn=self._limit,
            )

    def _limit(self) -> None:
        # A group of its own: its helper processes end with it, as when a machine is switched off.
        os.setsid()
        if self.files:
            resource.setrlimit(resource.RLIMIT_NOFILE, (self.files, self.files))
        if self.file_bytes:
            _, most = resource.getrlimit(resource.RLIMIT_FSIZE)
            resource.setrlimit(resource.RLIMIT_FSIZE, (self.file_bytes, most))

    @property
    def _errors(self) -> Path:
        return self.folder.with_name(f"{self.folder.name}-stderr.txt")

    @property
    def process(self) -> subprocess.Popen[str]:
        """The process that runs."""
        assert self._process is not None
        return self._process

    def wait(self) -> None:
        """Read what the terminal shows until the app listens."""
        assert self.process.stdout is not None
        said = []
        # One that hangs is ended, and then its output ends.
        watch = threading.Timer(PATIENCE, self.process.kill)
        watch.start()
        for line in self.process.stdout:
            said.append(line)
            if found := re.search(r"http://[0-9.]+:([0-9]+)", line):
                self.port = self.port or int(found[1])
            if found := re.search(r"group (\S+): (\S+)", line):
                self.codes[found[1]] = found[2]
            if line.startswith("Stop with"):
                self.said = "".join(said)
                watch.cancel()
                return
        watch.cancel()
        raise RuntimeError("".join(said) + self._errors.read_text())

    def kill(self) -> None:
        """End it as a power failure would, with all its helpers."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self._end()

    def stop(self) -> None:
        """End it in the usual way."""
        self.process.send_signal(signal.SIGTERM)
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(timeout=30)
        with suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGKILL)
        self._end()

    def _end(self) -> None:
        self.process.wait()
        assert self.process.stdout is not None
        self.process.stdout.close()
        self._process = None

    def free_disk(self) -> None:
        """Let it write files of any size again."""
        _, most = resource.prlimit(self.process.pid, resource.RLIMIT_FSIZE)
        resource.prlimit(self.process.pid, resource.RLIMIT_FSIZE, (most, most))

    def megabytes(self) -> float | None:
        """Return the most memory that it or a helper ever had; None if the system tells not."""
        sizes = []
        for status in Path("/proc").glob("[0-9]*/status"):
            with suppress(OSError):
                told = status.read_text()
                own = int(status.parent.name) == self.process.pid
                if own or re.search(rf"^PPid:\s+{self.process.pid}$", told, re.MULTILINE):
                    sizes += re.findall(r"^VmHWM:\s+(\d+) kB$", told, re.MULTILINE)
        return max(map(int, sizes)) / 1024 if sizes else None

    def faults(self) -> int:
        """Return how many unforeseen mistakes of its own it has met so far."""
        reports = Path(os.environ.get(REPORTS_GO_TO, self.folder)).glob("tarebook-fault-*")
        return len(list(reports)) + self._errors.read_text(errors="replace").count("Traceback")
