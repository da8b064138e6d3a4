"""A folder that is open at the bench: its definition, its record, its groups, its reductions."""

from __future__ import annotations

import contextlib
import stat
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tarebook.api.anchors import ANCHORS, keep_anchor
from tarebook.api.bench import reductions, slips_so_far
from tarebook.api.bench.access import Access
from tarebook.api.bench.background import Background
from tarebook.api.bench.belief import Beliefs
from tarebook.api.bench.group_record import GroupRecord
from tarebook.api.bench.reductions import Reductions
from tarebook.api.bench.reports import Reports
from tarebook.api.bench.say import Before, known_before
from tarebook.api.bench.slips_so_far import SlipsSoFar
from tarebook.api.exchange import import_readings
from tarebook.api.folder import READINGS, STORE
from tarebook.api.missed import missed
from tarebook.api.placing import copied_from
from tarebook.api.readings_source import beside_record
from tarebook.api.record import LONE_GROUP, OpenRecord, clock, note_definition, open_record
from tarebook.api.reduce_series import slip_odds
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.planning.contents import ContentRange, content_range
from tarebook.records.anchor import Occasion
from tarebook.records.chain import Head
from tarebook.records.errors import RecordError
from tarebook.records.events import DEVICE_KEY, NO_GROUP, Received
from tarebook.records.fold import by_group, natural
from tarebook.records.place import Place
from tarebook.records.signature import Signers
from tarebook.records.source import Beside
from tarebook.records.store import SqlLog
from tarebook.report.payload import Json
from tarebook.series.experiment import Experiment

LAG = 10.0
"""Seconds by which the results of a group with a crowded run may be behind."""


@dataclass(slots=True, kw_only=True)
class _OfGroup:
    """What is known of one group's record; who adds to it holds the lock."""

    record: GroupRecord
    for_results: GroupRecord
    looked: float = 0.0
    lock: threading.Lock = field(default_factory=threading.Lock)


@dataclass(slots=True, kw_only=True)
class Workspace:
    """An open folder; may be used by many threads at once.

    Attributes
    ----------
    opened : OpenRecord
    access : Access
    background : Background
        Computes what takes longer than an answer may.
    beliefs : Beliefs
    reductions : Reductions
    reports : Reports
    slips : SlipsSoFar
    before : Before
        What is known before any reading, for the ranges of what is to be expected.
    contents : ContentRange
        What is believed of the sample before any reading.
    odds : SlipOdds
        How often slips are made, by the course's own history where there is one.
    taken_over : int
        Readings that were brought in from `readings.csv` because nothing was recorded yet.
    beside : Beside
        In what `readings.csv` differs from the record, which is used.
    copied_from : Place or None
        The folder of which this one is a copy with a record in a file of its own; said once.
    n_lost : int
        Events that the record once had, by an anchor that was kept, and has no longer.
    is_other : bool
        Whether it is another record than the folder held before.
    n_missed : int
        How often something was known to be missing when the folder was opened.
    expected_curve : tuple of dict or None
        What the model expects of the class before any reading; None until it is asked for.
    clock : callable
        Returns seconds.
    """

    opened: OpenRecord
    access: Access
    background: Background
    beliefs: Beliefs
    reductions: Reductions
    reports: Reports
    slips: SlipsSoFar
    before: Before
    contents: ContentRange
    odds: SlipOdds
    taken_over: int = 0
    beside: Beside = field(default_factory=Beside)
    copied_from: Place | None = None
    n_lost: int = 0
    is_other: bool = False
    n_missed: int = 0
    expected_curve: tuple[Json, ...] | None = None
    clock: Callable[[], float] = time.monotonic
    _groups: dict[str, _OfGroup] = field(default_factory=dict)
    _recording: set[str] = field(default_factory=set)
    _n_seen: int = 0
    _signers: Signers = field(default_factory=Signers)
    _n_signers_seen: int = 0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @property
    def folder(self) -> Path:
        """The experiment's folder."""
        return self.opened.folder

    @property
    def experiment(self) -> Experiment:
        """The definition, as it was when the folder was opened."""
        return self.opened.experiment

    def of_group(self, group: str) -> GroupRecord:
        """Return what a group recorded; only what came since it was looked at last is looked at."""
        return self._grown(group, self.opened.log.events)

    def just_recorded(self, group: str) -> GroupRecord:
        """Return the same right after something was recorded, when the store need not be asked."""
        return self._grown(group, self.opened.log.known)

    def _grown(self, group: str, events: Callable[..., tuple[Received, ...]]) -> GroupRecord:
        of_group = self._of_group(group)
        with of_group.lock:
            new = events(group=group, after=of_group.record.head)
            if new:
                of_group.record = of_group.record.grown(new)
            return of_group.record

    def signers(self) -> Signers:
        """Return the devices that sign, by the keys in the record; the store is not asked.

        Whoever records is told by the store what others recorded before.
        """
        with self._lock:
            for one in self.opened.log.known(group=NO_GROUP, after=self._n_signers_seen):
                self._n_signers_seen = one.sequence
                if one.event.column == DEVICE_KEY:
                    self._signers.fault_of(one, believed=True)
            return self._signers

    def for_results(self, group: str) -> GroupRecord:
        """Return what the results of a group rest on: what it recorded, up to now.

        With a crowded run it may be some seconds old: results go through all there is, and they are
        asked for every few seconds, also by others.
        """
        record, of_group = self.of_group(group), self._of_group(group)
        with of_group.lock:
            now = self.clock()
            if not record.is_crowded or now - of_group.looked >= LAG:
                of_group.for_results, of_group.looked = record, now
            return of_group.for_results

    def _of_group(self, group: str) -> _OfGroup:
        with self._lock:
            known = self._groups.get(group)
            if known is None:
                empty = GroupRecord(experiment=self.experiment, planned=self.opened.planned)
                known = self._groups[group] = _OfGroup(record=empty, for_results=empty)
            return known

    def last_of_group(self, group: str) -> GroupRecord:
        """Return what a group had recorded when it was looked at last; that may have grown."""
        known = self._of_group(group).record
        return known if known.received else self.of_group(group)

    def head(self) -> int:
        """Return the number of the last event of the record."""
        return self.opened.log.head().count

    def end(self) -> Head:
        """Return the end of the record's chain."""
        return self.opened.log.head()

    def groups(self) -> tuple[str, ...]:
        """Return the groups that have a code or have recorded something."""
        with self._lock:
            new = self.opened.log.events(after=self._n_seen)
            self._n_seen += len(new)
            self._recording |= set(by_group(one.event for one in new))
            names = {group.name for group in self.access.groups} | self._recording
        return tuple(sorted(names, key=natural))


@contextmanager
def open_workspace(folder: Path, *, workers: bool = True) -> Iterator[Workspace]:
    """Open a folder for the bench, and close it at the end of the block.

    Where nothing was recorded yet, the readings that stand in `readings.csv` are brought into the
    record first.

    Parameters
    ----------
    folder : Path
    workers : bool
        Whether long work is done in a process of its own; in a test it need not be.

    Raises
    ------
    InputError
        If definition, sheet or the history of slips cannot be used.
    RecordError
        If the record cannot be opened.
    CannotWriteError
        If the folder cannot be written.
    """
    odds = slip_odds(folder)
    _for_owner_alone(folder)
    with open_record(folder) as opened:
        taken_over = 0
        known = missed(folder, opened.log)
        note_definition(opened)
        nothing = not by_group(one.event for one in opened.log.events())
        if nothing and (folder / READINGS).exists():
            taken_over = len(import_readings(folder, folder / READINGS, group=LONE_GROUP).events)
        background = Background(workers=workers, imports=reductions.IMPORTS)
        # A process of its own: what went wrong at a cup cannot wait for the reductions of a class.
        quick = Background(workers=workers, imports=slips_so_far.IMPORTS)
        background.warm()
        quick.warm()
        try:
            yield Workspace(
                opened=opened,
                access=Access(folder),
                background=background,
                beliefs=Beliefs(background),
                reductions=Reductions(background, odds),
                reports=Reports(background, odds),
                slips=SlipsSoFar(quick, odds),
                before=known_before(opened.experiment),
                contents=content_range(opened.experiment),
                odds=odds,
                taken_over=taken_over,
                beside=_beside(opened),
                copied_from=_copied_from(opened),
                n_lost=known.n_lost,
                is_other=known.is_other,
                n_missed=known.times,
            )
        finally:
            with contextlib.suppress(RecordError):
                keep_anchor(folder, opened.log, Occasion.CLOSED)
            background.close()
            quick.close()


def _copied_from(opened: OpenRecord) -> Place | None:
    # In a shared database, a copy was refused when the record was opened.
    if not isinstance(opened.log, SqlLog) or not (opened.folder / STORE).exists():
        return None
    return copied_from(opened.folder, opened.log, now=clock())


def _for_owner_alone(folder: Path) -> None:
    """Let nobody else on the machine read record and sheet, where the disk keeps rights."""
    for name in (STORE, f"{STORE}-wal", f"{STORE}-shm", f"{STORE}-last", READINGS, ANCHORS):
        with contextlib.suppress(OSError):
            path = folder / name
            rights = stat.S_IMODE(path.stat().st_mode)
            if rights & 0o077:
                path.chmod(rights & 0o700)


def _beside(opened: OpenRecord) -> Beside:
    """Return in what the sheet differs from the record of the group whose it is."""
    groups = {name: one for name, one in opened.groups().items() if one.table.readings}
    found = (beside_record(opened, groups, group) for group in groups)
    return next((beside for beside in found if beside != Beside()), Beside())
