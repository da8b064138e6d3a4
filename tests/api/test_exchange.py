"""Sheets and archives in and out, verification and backups, through the functions and commands."""

from __future__ import annotations

import datetime as dt
import itertools
import shutil
import stat
import threading
import uuid
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from tests.memory_log import MemoryLog

from tarebook import cli
from tarebook.api import exchange
from tarebook.api.backup import backup
from tarebook.api.folder import KEY_FILE, STORE
from tarebook.api.incoming import changes
from tarebook.api.placing import SETTING
from tarebook.api.record import open_record, record
from tarebook.api.verify import verify
from tarebook.core.csv_text import WITH_SEMICOLONS
from tarebook.core.errors import CannotWriteError, InputError
from tarebook.records.errors import (
    BrokenArchiveError,
    RecordNotEmptyError,
    RecordUnreachableError,
)
from tarebook.records.events import Event, Kind, event_of, object_of
from tarebook.records.fold import fold
from tarebook.records.readings import Quantity, Reading, RunTable, memory_value
from tarebook.records.sheet import HEADER, parse_sheet, write_sheet

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
SHEET = (POOL / "readings.csv").read_text(encoding="utf-8")
NOW = dt.datetime(2026, 10, 5, 12, 0, tzinfo=dt.UTC)

numbers = st.one_of(
    st.decimals(min_value="0.0001", max_value="9999", places=4).map(str),
    st.sampled_from(["1.", ".5", "+2", "1e-3", "2.5E2", "-0.0", "007"]),
)
remarks = st.text(st.characters(blacklist_categories=["Cc", "Cs"]), min_size=1, max_size=12).map(
    str.strip
).filter(bool)  # fmt: skip


@st.composite
def tables(draw: st.DrawFn) -> RunTable:
    names = st.one_of(st.sampled_from(["1", "2", "3", "10"]), remarks)
    runs = draw(st.lists(names, min_size=1, max_size=5, unique=True))
    readings = [
        Reading(
            run=run,
            quantity=quantity,
            value=memory_value(quantity, float(typed)),
            typed=typed,
            place="",
        )
        for run in runs
        for quantity in Quantity
        for typed in draw(st.lists(numbers, max_size=3))
    ]
    notes = {run: draw(remarks) for run in runs if draw(st.booleans())}
    return RunTable(runs=tuple(runs), readings=tuple(readings), notes=notes)


def brought_in(table: RunTable, log: MemoryLog, planned: tuple[str, ...]) -> tuple[Event, ...]:
    ids = (str(uuid.uuid4()) for _ in itertools.count())
    folded = fold((one.event for one in log.events()), planned)
    found = changes(table, folded, group="1", who="", device="import", reason="sheet", now=NOW,
                    new_id=lambda: next(ids))  # fmt: skip
    log.append([event_of(object_of(event)) for event in found.events], now=NOW)
    return found.events


@given(tables(), st.lists(st.sampled_from(["1", "2", "3", "4"]), unique=True))
def test_any_sheet_goes_in_and_comes_out_the_same(table: RunTable, planned: list[str]) -> None:
    sheet = write_sheet(table)
    log = MemoryLog(str(uuid.uuid4()))
    brought_in(parse_sheet(sheet), log, tuple(planned))
    folded = fold((one.event for one in log.events()), planned)
    assert write_sheet(folded.table) == sheet
    assert folded.conflicts == ()
    assert brought_in(parse_sheet(sheet), log, tuple(planned)) == ()


@given(tables(), tables())
def test_a_second_sheet_adds_and_corrects_but_takes_nothing_back(
    first: RunTable, second: RunTable
) -> None:
    log = MemoryLog(str(uuid.uuid4()))
    brought_in(first, log, ())
    before = log.events()
    brought_in(second, log, ())
    folded = fold(one.event for one in log.events())
    assert log.events()[: len(before)] == before
    for run, quantity in itertools.product(set(first.runs) | set(second.runs), Quantity):
        old = [r.typed for r in first.of(run, quantity)]
        new = [r.typed for r in second.of(run, quantity)]
        expected = new + old[len(new) :]
        assert [r.typed for r in folded.table.of(run, quantity)] == expected
    assert dict(folded.table.notes) == {**first.notes, **second.notes}
    among = [run for run in folded.table.runs if run in second.runs]
    assert tuple(among) == second.runs
    assert folded.conflicts == ()
    assert brought_in(second, log, ()) == ()


def test_a_sheet_settles_several_notes_of_a_run() -> None:
    log = MemoryLog(str(uuid.uuid4()))
    for number, text in enumerate(["spilt", "refilled"], start=1):
        given_ = {"id": str(uuid.UUID(int=number, version=4)), "kind": "reading", "group": "1",
                  "run": "1", "column": "note", "repeat": number, "typed": text,
                  "device": "phone", "taken": NOW.isoformat()}  # fmt: skip
        log.append([event_of(given_)], now=NOW)
    as_it_is = fold(one.event for one in log.events()).table
    assert as_it_is.notes == {"1": "spilt; refilled"}
    assert brought_in(as_it_is, log, ()) == ()
    events = brought_in(RunTable(runs=("1",), readings=(), notes={"1": "spilt, refilled"}), log, ())
    assert sorted(event.kind for event in events) == [Kind.CORRECTION, Kind.WITHDRAWAL]
    assert fold(one.event for one in log.events()).table.notes == {"1": "spilt, refilled"}


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    return Path(shutil.copytree(POOL, tmp_path / "pool"))


@pytest.fixture(params=["sqlite", "postgresql"])
def kept(request: pytest.FixtureRequest, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder whose record holds its sheet, in either database."""
    if request.param == "postgresql":
        monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    exchange.import_readings(folder, folder / "readings.csv", now=NOW)
    return folder


def test_the_sheet_of_the_contract_goes_round_byte_for_byte(kept: Path) -> None:
    (kept / "readings.csv").unlink()
    assert exchange.export_readings(kept) == (kept / "readings.csv",)
    assert (kept / "readings.csv").read_text(encoding="utf-8") == write_sheet(parse_sheet(SHEET))
    again = exchange.import_readings(kept, kept / "readings.csv")
    assert again.events == ()
    assert again.n_left == 0


def test_an_archive_goes_round_byte_for_byte(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one = exchange.export_archive(kept, kept / "one.zip", now=NOW)
    whole = verify(kept).verdict
    monkeypatch.delenv(SETTING, raising=False)
    new = kept.parent / "new"
    done = exchange.import_archive(new, one)
    assert done.verdict.whole
    assert (new / "experiment.toml").read_bytes() == (kept / "experiment.toml").read_bytes()
    assert verify(new).verdict == whole == done.verdict
    two = exchange.export_archive(new, new / "two.zip", now=NOW)
    assert two.read_bytes() == one.read_bytes()


def test_an_archive_moves_a_record_into_the_other_database(
    folder: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    exchange.import_readings(folder, folder / "readings.csv", now=NOW)
    file = exchange.export_archive(folder, folder / "x.zip", now=NOW)
    monkeypatch.setenv(SETTING, request.getfixturevalue("postgresql").url)
    moved = folder.parent / "moved"
    exchange.import_archive(moved, file)
    assert (moved / KEY_FILE).exists()
    assert not (moved / STORE).exists()
    again = exchange.export_archive(moved, moved / "x.zip", now=NOW)
    assert again.read_bytes() == file.read_bytes()
    # The same experiment twice in one database would have two ends.
    with pytest.raises(RecordNotEmptyError, match="holds the record of this archive already"):
        exchange.import_archive(folder.parent / "twice", file)
    assert not (folder.parent / "twice").exists()


def test_an_unpacked_archive_is_one_too(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = exchange.export_archive(kept, kept / "x.zip")
    monkeypatch.delenv(SETTING, raising=False)
    unpacked = kept.parent / "unpacked"
    with zipfile.ZipFile(file) as packed:
        packed.extractall(unpacked)
    assert verify(unpacked).verdict.whole
    exchange.import_archive(kept.parent / "new", unpacked)
    (unpacked / "events.jsonl").write_text("x\n")
    assert verify(unpacked).verdict.fault.startswith("event 1 was altered")
    with pytest.raises(BrokenArchiveError, match="event 1 was altered"):
        exchange.import_archive(kept.parent / "other", unpacked)
    assert not (kept.parent / "other").exists()


def test_nothing_is_imported_over_an_experiment(kept: Path) -> None:
    file = exchange.export_archive(kept, kept / "x.zip")
    with pytest.raises(RecordNotEmptyError, match=r"holds experiment\.toml already"):
        exchange.import_archive(kept, file)


def test_several_groups_have_a_sheet_each(folder: Path) -> None:
    for group in ("2", "10", "Ü 7"):
        exchange.import_readings(folder, folder / "readings.csv", group=group)
    wrote = exchange.export_readings(folder)
    assert [path.name for path in wrote] == ["readings-2.csv", "readings-10.csv", "readings-7.csv"]
    assert {path.parent.name for path in wrote} == {"out"}
    for path in wrote:
        assert path.read_text(encoding="utf-8") == write_sheet(parse_sheet(SHEET))
    assert exchange.export_readings(folder, group="10") == (folder / "readings.csv",)
    with pytest.raises(InputError, match="allowed: 2, 10, Ü 7"):
        exchange.export_readings(folder, group="3")


def test_names_of_groups_that_are_alike_do_not_share_a_file(folder: Path) -> None:
    for group in ("a b", "a-b", "A/b"):
        exchange.import_readings(folder, folder / "readings.csv", group=group)
    wrote = exchange.export_readings(folder)
    assert [path.name for path in wrote] == ["readings-1.csv", "readings-2.csv", "readings-3.csv"]


def test_a_sheet_with_readings_of_its_own_is_not_written_over(folder: Path) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    table = parse_sheet(SHEET)
    first = table.readings[0].typed
    by_hand = SHEET.replace(f"1,{first},", "1,99.99,", 1).rstrip("\n") + "\n"
    assert by_hand != SHEET
    (folder / "readings.csv").write_text(by_hand, encoding="utf-8")
    with pytest.raises(InputError, match=r"99\.99"):
        exchange.export_readings(folder)
    assert (folder / "readings.csv").read_text(encoding="utf-8") == by_hand
    found = exchange.import_readings(folder, folder / "readings.csv")
    assert [event.typed for event in found.events] == ["99.99"]
    assert found.n_of(Kind.CORRECTION) == 1
    exchange.export_readings(folder)
    # Both the old number and the new one are known now, so the old sheet may be written over.
    (folder / "readings.csv").write_text(SHEET, encoding="utf-8")
    exchange.export_readings(folder)
    assert "99.99" in (folder / "readings.csv").read_text(encoding="utf-8")


def test_a_bad_sheet_records_nothing(folder: Path) -> None:
    with open_record(folder):
        pass
    sheet = folder / "bad.csv"
    sheet.write_text(SHEET.replace("\n1,", "\n1\x07,", 1), encoding="utf-8")
    with pytest.raises(InputError, match="control character"):
        exchange.import_readings(folder, sheet)
    sheet.write_text(SHEET.replace(".", ",", 1), encoding="utf-8")
    with pytest.raises(InputError):
        exchange.import_readings(folder, sheet)
    assert verify(folder).verdict.head.count == 0
    with pytest.raises(InputError, match="no such file"):
        exchange.import_readings(folder, folder / "none.csv")


def test_a_record_on_a_medium_that_cannot_be_written(folder: Path) -> None:
    exchange.import_readings(folder, folder / "readings.csv")
    store = folder / STORE
    store.chmod(stat.S_IREAD)
    folder.chmod(stat.S_IREAD | stat.S_IEXEC)
    try:
        assert verify(folder).verdict.whole
    finally:
        folder.chmod(0o755)


def test_backup_while_readings_come_in(kept: Path) -> None:
    with open_record(kept, mode="write") as opened:
        stop = threading.Event()
        acknowledged: list[str] = []

        def write() -> None:
            while not stop.is_set():
                given_ = {"id": str(uuid.uuid4()), "kind": "reading", "group": "2", "run": "1",
                          "column": "note", "typed": "x", "device": "phone",
                          "taken": NOW.isoformat()}  # fmt: skip
                done = record(opened, [event_of(given_)])
                acknowledged.append(done.received[0].event.id)

        writers = [threading.Thread(target=write) for _ in range(2)]
        for writer in writers:
            writer.start()
        try:
            names = ["a.zip", "b.zip"] if (kept / KEY_FILE).exists() else ["a.db", "b.db", "c.zip"]
            for name in names:
                before = len(acknowledged)
                while len(acknowledged) < before + 5:
                    assert any(writer.is_alive() for writer in writers)
                known = len(acknowledged)
                done = backup(kept, kept.parent / name)
                assert done.verdict.whole
                assert done.verdict.head.count >= known
                assert verify(kept.parent / name) == done
        finally:
            stop.set()
            for writer in writers:
                writer.join()
    assert not list(kept.parent.glob(".*"))


def test_a_backup_never_replaces_a_file(kept: Path) -> None:
    (kept.parent / "x.zip").write_text("mine")
    with pytest.raises(CannotWriteError, match="it is there already"):
        backup(kept, kept.parent / "x.zip")
    with pytest.raises((CannotWriteError, InputError)):
        backup(kept, kept.parent / "none" / "x.db")
    assert (kept.parent / "x.zip").read_text() == "mine"


def test_without_a_record_there_is_nothing_to_save(folder: Path) -> None:
    for action in (exchange.export_readings, verify):
        with pytest.raises(RecordUnreachableError, match="nothing has been recorded"):
            action(folder)
    for name in ("x.db", "x.zip"):
        with pytest.raises(RecordUnreachableError, match="nothing has been recorded"):
            backup(folder, folder / name)
        assert not (folder / name).exists()
    with pytest.raises(InputError, match="no such file"):
        verify(folder / "none.zip")
    with pytest.raises(InputError, match="no such file"):
        verify(folder / "none")


def said(*arguments: object, code: int = 0) -> str:
    done = CliRunner().invoke(cli.main, [str(one) for one in arguments])
    assert done.exit_code == code, done.output
    return done.output


def test_the_commands(folder: Path) -> None:
    store, file, new = folder.parent / "copy.db", folder.parent / "x.zip", folder.parent / "new"
    count = len(parse_sheet(SHEET).readings) + len(parse_sheet(SHEET).notes)
    # Before them stands the definition.
    n_events = count + 1
    text = said("import", folder, folder / "readings.csv", "--who", "Ada")
    assert f"{count} new, 0 corrected" in text
    assert "0 new, 0 corrected" in said("import", folder, folder / "readings.csv")
    assert "readings.csv" in said("export", folder)
    assert str(file) in said("export", folder, "--archive", file)
    whole = said("verify", folder)
    assert f"is whole: {n_events} events" in whole
    last = whole.split("Last hash: ")[1].strip()
    assert "is whole" in said("verify", file, "--last", last.upper())
    assert "is NOT whole" in said("verify", file, "--last", "0" * 64, code=1)
    assert "now holds the whole record" in said("import", new, file)
    assert "is whole" in said("backup", new, store)
    assert last in said("verify", store)
    assert "leave --group away" in said("export", new, "--group", "1", "--archive", "y", code=2)
    assert "says itself whose" in said("import", new, file, "--group", "2", code=2)
    assert "it is there already" in said("backup", new, store, code=2)


def test_blank_cells_are_counted_and_left(folder: Path) -> None:
    said("import", folder, folder / "readings.csv")
    blank = folder / "blank.csv"
    blank.write_text(",".join(HEADER) + "\n1" + "," * (len(HEADER) - 1) + "\n")
    assert "that are blank in the sheet still count" in said("import", folder, blank)


def in_spanish(folder: Path) -> None:
    with (folder / "experiment.toml").open("a", encoding="utf-8") as file:
        file.write('\n[course]\nlanguage = "es"\n')


def test_a_sheet_of_the_folder_stays_as_it_was(folder: Path) -> None:
    in_spanish(folder)
    sheet = folder / "readings.csv"
    table = parse_sheet(SHEET)
    sheet.write_text(write_sheet(table, way=WITH_SEMICOLONS), encoding="utf-8")
    before = sheet.read_bytes()
    exchange.import_readings(folder, sheet, now=NOW)
    assert exchange.export_readings(folder) == (sheet,)
    assert sheet.read_bytes() == before
    sheet.unlink()
    exchange.export_readings(folder)
    assert sheet.read_text(encoding="utf-8") == write_sheet(table)


def test_sheets_of_groups_are_for_people_of_the_place(folder: Path) -> None:
    in_spanish(folder)
    for group in ("1", "2"):
        exchange.import_readings(folder, folder / "readings.csv", group=group, now=NOW)
    made = exchange.export_readings(folder)
    assert len(made) == 2
    for sheet in made:
        text = sheet.read_text(encoding="utf-8")
        assert "15,790" in text
        assert parse_sheet(text) == parse_sheet(SHEET)
