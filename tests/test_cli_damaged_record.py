"""A record whose store or key is damaged, and files that are none: a sentence each, exit code 2."""

from __future__ import annotations

import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from click.testing import CliRunner

from tarebook import cli
from tarebook.api import exchange
from tarebook.api.folder import KEY_FILE, STORE
from tarebook.api.placing import SETTING

POOL = Path(__file__).parent / "snapshots" / "pool"
NOISE = random.Random(5).randbytes(20_000)

COMMANDS = ("check", "reduce", "report", "verify", "export", "backup")


def run(command: str, folder: Path) -> None:
    """Run a command that must refuse: what it says is short, and no trace."""
    more = [str(folder.parent / "kept.db")] if command == "backup" else []
    result = CliRunner().invoke(cli.main, [command, str(folder), *more])
    assert result.exit_code in (1, 2) if command == "verify" else result.exit_code == 2, (
        command,
        result.output,
    )
    said = result.output
    assert "Traceback" not in said
    assert "mistake of its own" not in said
    assert 20 < len(said) < 2_000


def refused(*command: str) -> None:
    result = CliRunner().invoke(cli.main, list(command))
    assert result.exit_code == 2, (command, result.output)
    assert "fault" in result.output or "rror" in result.output
    assert len(result.output) < 12_000


def sql(*statements: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        with closing(sqlite3.connect(folder / STORE)) as connection, connection:
            for statement in statements:
                connection.execute(statement)

    return change


def instead(name: str, data: bytes) -> Callable[[Path], object]:
    return lambda folder: (folder / name).write_bytes(data)


def cut(name: str, part: float) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        data = (folder / name).read_bytes()
        (folder / name).write_bytes(data[: int(part * len(data))])

    return change


def folder_in_place_of(name: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        (folder / name).unlink(missing_ok=True)
        (folder / name).mkdir()

    return change


def drop_guards(folder: Path) -> list[str]:
    with closing(sqlite3.connect(folder / STORE)) as connection:
        rows = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        return [f"DROP TRIGGER {name}" for (name,) in rows]


def without_column(folder: Path) -> None:
    sql(*drop_guards(folder), "ALTER TABLE event RENAME COLUMN typed TO other")(folder)


def without_table(folder: Path) -> None:
    sql(*drop_guards(folder), "DROP TABLE event")(folder)


def without_experiments(folder: Path) -> None:
    sql(*drop_guards(folder), "PRAGMA foreign_keys = OFF", "DROP TABLE experiment")(folder)


DAMAGE: dict[str, Callable[[Path], object]] = {
    "store of noise": instead(STORE, NOISE),
    "store empty": instead(STORE, b""),
    "store cut": cut(STORE, 0.5),
    "store is a folder": folder_in_place_of(STORE),
    "no table of events": without_table,
    "a column is missing": without_column,
    "no version": sql("DROP TABLE record_version"),
    "no table of experiments": without_experiments,
    "a version that is none": sql("UPDATE record_version SET version_num = 'x'"),
}


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv(SETTING, raising=False)
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    exchange.import_readings(folder, folder / "readings.csv")
    for name in (f"{STORE}-wal", f"{STORE}-shm"):
        (folder / name).unlink(missing_ok=True)
    return folder


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_store_is_said_by_every_command(damage: str, kept: Path) -> None:
    DAMAGE[damage](kept)
    for command in COMMANDS:
        run(command, kept)


SECRETS: dict[str, bytes | None] = {
    "empty": b"",
    "cut": b'{"key": "a',
    "noise": NOISE,
    "nested": b"[" * 100_000,
    "a folder": None,
}


@pytest.mark.parametrize("name", [".bench/access.json", KEY_FILE])
@pytest.mark.parametrize("damage", SECRETS)
def test_a_damaged_key_is_said(name: str, damage: str, kept: Path) -> None:
    place, data = kept / name, SECRETS[damage]
    place.parent.mkdir(exist_ok=True)
    if data is None:
        place.mkdir()
    else:
        place.write_bytes(data)
    command = ["bench", str(kept), "--no-browser", "--port", "0"]
    if name == KEY_FILE:
        command = ["verify", str(kept)]
    result = CliRunner().invoke(cli.main, command)
    assert result.exit_code == 2, result.output
    assert 20 < len(result.output) < 2_000
    assert place.name in result.output


SHEETS: dict[str, Callable[[str], bytes]] = {
    "UTF-16": lambda text: text.encode("utf-16"),
    "UTF-16 without a mark": lambda text: text.encode("utf-16-le"),
    "UTF-32": lambda text: text.encode("utf-32"),
    "zero bytes": lambda text: text.encode().replace(b"15.790", b"15\0790"),
    "a cell of 9 MB": lambda text: text.encode().replace(b"15.790", b"1" * 9_000_000),
    "a file of 11 MB": lambda text: text.encode() + b"," * 11_000_000,
    "a note of 9 MB": lambda text: text.encode() + b'9,,,,,,,,,"' + b"x" * 9_000_000,
    "a number that is none": lambda text: text.replace("15.790", "nan").encode(),
    "a number without end": lambda text: text.replace("15.790", "inf").encode(),
    "a large number": lambda text: text.replace("15.790", "1e308").encode(),
    "a small number": lambda text: text.replace("15.790", "1e-300").encode(),
    "a number of 4,300 digits": lambda text: text.replace("15.790", "9" * 4_300).encode(),
    "a number of 4,301 digits": lambda text: text.replace("15.790", "9" * 4_301).encode(),
}


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_sheet_that_is_none_is_said(sheet: str, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    data = SHEETS[sheet]((folder / "readings.csv").read_text(encoding="utf-8"))
    (folder / "readings.csv").write_bytes(data)
    for command in ("check", "report"):
        refused(command, str(folder))
    refused("import", str(folder), str(folder / "readings.csv"))


DEFINITIONS: dict[str, bytes] = {
    "nested lists": b"x = " + b"[" * 100_000,
    "nested tables": b"x = " + b"{a=" * 20_000,
    "nested keys": b"a." * 100_000 + b"b = 1",
    "UTF-16": 'title = "x"'.encode("utf-16"),
    "zero bytes": b'title = "\0"',
    "a number of 4,301 digits": b"title = " + b"9" * 4_301,
    "a text of 9 MB": b'title = "' + b"x" * 9_000_000 + b'"',
    "dates": b"title = 1979-05-27\nnotes = 99:99:99",
}


@pytest.mark.parametrize("definition", DEFINITIONS)
def test_a_definition_that_is_none_is_said(definition: str, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    (folder / "experiment.toml").write_bytes(DEFINITIONS[definition])
    for command in ("check", "plan", "prepare"):
        refused(command, str(folder), *(["--groups", "2"] if command == "prepare" else []))


@pytest.mark.parametrize(
    "address",
    ["http://192.0.2.1/" + "x" * 5_000, "x" * 5_000, "http://[::1", "http://a:9999999", "\0"],
)
def test_an_address_that_no_code_holds_is_said(address: str, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    before = sorted(folder.rglob("*"))
    refused("prepare", str(folder), "--groups", "2", "--address", address)
    assert sorted(folder.rglob("*")) == before


def test_a_name_that_no_square_holds_is_said(tmp_path: Path) -> None:
    """Each of these letters takes twelve in a link."""
    folder = Path(shutil.copytree(POOL, tmp_path / "pool"))
    place = folder / "experiment.toml"
    names = [chr(0x1F600 + number) * 200 for number in range(8)]
    text = place.read_text(encoding="utf-8").replace("[series]", f"[series]\nruns = {names}")
    place.write_text(text, encoding="utf-8")
    refused("prepare", str(folder), "--groups", "2", "--address", "http://192.0.2.1")
