"""Events: what can be one, and that its JSON object is read back unchanged."""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tarebook.core.errors import InputError
from tarebook.records.events import FIELDS, Event, Kind, event_of, object_of, time_text
from tarebook.records.readings import Quantity
from tarebook.records.typed import read_number

GIVEN: dict[str, Any] = {
    "id": "0b8f3c1e-6d0a-4a5e-9a51-2f6f0f3f7a10",
    "kind": "reading",
    "group": "3",
    "run": "1",
    "column": "tare_g",
    "typed": "12,31",
    "device": "phone",
    "taken": "2026-10-05T14:03:21.5+02:00",
}
OTHER = "ffffffff-6d0a-4a5e-9a51-2f6f0f3f7a10"
CORRECTION = {**GIVEN, "kind": "correction", "supersedes": OTHER, "reason": "misread"}


def test_what_a_device_sends() -> None:
    event = event_of(GIVEN)
    assert event.kind is Kind.READING
    assert (event.typed, event.number, event.unit) == ("12,31", "12.31", "g")
    assert event.quantity is Quantity.TARE
    assert event.slot == ("1", "tare_g", 1)
    assert time_text(event.taken) == "2026-10-05T12:03:21.500000Z"


def test_a_withdrawal_has_no_value_and_a_note_no_number() -> None:
    withdrawn = event_of({**CORRECTION, "kind": "withdrawal", "typed": ""})
    assert (withdrawn.typed, withdrawn.number, withdrawn.unit) == ("", "", "")
    note = event_of({**GIVEN, "column": "note", "typed": "fizzed over\nat once"})
    assert (note.number, note.unit, note.quantity) == ("", "", None)


texts = st.text(
    st.characters(blacklist_categories=["Cc", "Cs"]), min_size=1, max_size=20
).map(str.strip).filter(bool)  # fmt: skip
typed = st.decimals(min_value="-0.5", max_value="9999", places=3).map(
    lambda number: str(number).replace(".", ",")
)

times = st.datetimes(timezones=st.timezones()).filter(lambda time: 1971 < time.year < 9000)


@st.composite
def sent(draw: st.DrawFn) -> dict[str, Any]:
    given = {
        **GIVEN,
        "id": str(draw(st.uuids())),
        "group": draw(texts),
        "run": draw(texts),
        "column": draw(st.sampled_from([*Quantity, "note"])),
        "repeat": draw(st.integers(1, 99)),
        "instrument": draw(texts),
        "who": draw(texts),
        "taken": draw(times).isoformat(),
    }
    given["typed"] = draw(texts if given["column"] == "note" else typed)
    return given


@pytest.mark.slow
@given(sent())
def test_an_event_is_read_back_from_its_object(given: dict[str, Any]) -> None:
    event = event_of(given)
    written = json.loads(json.dumps(object_of(event)))
    assert tuple(written) == FIELDS
    assert event_of(written) == event


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"id": "1"}, "id"),
        ({"id": GIVEN["id"].upper()}, "id"),
        ({"id": "{0b8f3c1e-6d0a-4a5e-9a51-2f6f0f3f7a10}"}, "id"),
        ({"kind": "change"}, "kind"),
        ({"group": ""}, "group"),
        ({"group": " 3"}, "group"),
        ({"group": "3\0"}, "group"),
        ({"group": "3\n4"}, "group"),
        ({"group": "\ud800"}, "group"),
        ({"run": ""}, "run"),
        ({"run": "x" * 201}, "run"),
        ({"device": ""}, "device"),
        ({"column": "tare"}, "column"),
        ({"repeat": 0}, "repeat"),
        ({"repeat": 100}, "repeat"),
        ({"repeat": True}, "repeat"),
        ({"repeat": "1"}, "repeat"),
        ({"typed": ""}, "tare_g"),
        ({"typed": "twelve"}, "tare_g"),
        ({"typed": 12.31}, "typed"),
        ({"typed": "1e999"}, "tare_g"),
        ({"number": "12,31", "unit": "g"}, "number"),
        ({"number": "nan", "unit": "g"}, "number"),
        ({"number": "1e999", "unit": "g"}, "number"),
        ({"number": "12.31", "unit": "kg"}, "unit"),
        ({"taken": "yesterday"}, "taken"),
        ({"taken": "2026-10-05T14:03:21"}, "taken"),
        ({"taken": "1066-10-14T12:00:00Z"}, "taken"),
        ({"taken": None}, "taken"),
        ({"supersedes": OTHER}, "supersedes"),
        ({"reason": "because"}, "reason"),
        ({"colour": "blue"}, "'colour'"),
        ({"column": "note", "typed": "x", "number": "1", "unit": ""}, "number"),
        ({"column": "note", "typed": "x" * 5001}, "typed"),
        ({"column": "note", "typed": "bell\a"}, "typed"),
        ({"column": "run", "typed": "first"}, "number"),
        ({"column": "run", "typed": "0"}, "number"),
    ],
)
def test_what_is_no_event(change: dict[str, Any], where: str) -> None:
    with pytest.raises(InputError) as refused:
        event_of({**GIVEN, **change})
    assert [fault.where for fault in refused.value.faults] == [where]


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"supersedes": ""}, "supersedes"),
        ({"reason": ""}, "reason"),
        ({"supersedes": GIVEN["id"]}, "supersedes"),
        ({"supersedes": "the first"}, "supersedes"),
        ({"kind": "withdrawal"}, "typed"),
    ],
)
def test_what_is_no_correction(change: dict[str, Any], where: str) -> None:
    assert event_of(CORRECTION).supersedes == OTHER
    with pytest.raises(InputError) as refused:
        event_of({**CORRECTION, **change})
    assert [fault.where for fault in refused.value.faults] == [where]


def test_all_faults_come_at_once() -> None:
    with pytest.raises(InputError) as refused:
        event_of({**GIVEN, "id": "1", "group": "", "repeat": 0, "column": "tare"})
    assert {fault.where for fault in refused.value.faults} == {"id", "group", "repeat", "column"}
    with pytest.raises(InputError) as refused:
        event_of({})
    needed = {"id", "kind", "group", "run", "column", "device", "taken"}
    assert {fault.where for fault in refused.value.faults} == needed


def test_no_time_without_a_zone() -> None:
    event = event_of(GIVEN)
    values = {name: getattr(event, name) for name in FIELDS}
    with pytest.raises(InputError, match="without a time zone"):
        Event(**{**values, "taken": dt.datetime(2026, 10, 5)})  # noqa: DTZ001 - what is refused


@pytest.mark.parametrize(
    ("quantity", "text", "number"),
    [
        (Quantity.TARE, "12.50", "12.50"),
        (Quantity.TARE, "12,50", "12.50"),
        (Quantity.TARE, "  12,50  g ", "12.50"),
        (Quantity.TARE, "+   52.310 g", "52.310"),
        (Quantity.TARE, "− 0,02", "-0.02"),
        (Quantity.TARE, ",5", "0.5"),
        (Quantity.TARE, ".5", ".5"),
        (Quantity.TARE, "5.", "5."),
        (Quantity.TARE, "1 234,5", "1234.5"),
        (Quantity.TARE, "1\u202f234.5", "1234.5"),
        (Quantity.TARE, "1’234.5", "1234.5"),
        (Quantity.TARE, "1,234", "1.234"),
        (Quantity.TARE, "52310 mg", "52.310"),
        (Quantity.TARE, "0,05231 kg", "52.31"),
        (Quantity.REAGENT, "12mL", "12"),
        (Quantity.REAGENT, "12 ml", "12"),
        (Quantity.REAGENT, "12,5 cm³", "12.5"),
        (Quantity.REAGENT, "0.0125 L", "12.5"),
        (Quantity.REAGENT, "500 µL", "0.500"),
        (Quantity.TEMPERATURE, "21,5 °C", "21.5"),
        (Quantity.TEMPERATURE, "21.5°", "21.5"),
        (Quantity.MINUTES, "3 min", "3"),
        (Quantity.MINUTES, "1e1", "1e1"),
    ],
)
def test_numbers_as_people_type_them(quantity: Quantity, text: str, number: str) -> None:
    assert read_number(quantity, text) == number


@pytest.mark.parametrize(
    "text",
    ["", " ", ".", ",", "-", "g", "12 50", "1 23", "12.3.4", "1,234.5", "1.234,5", "12;5", "0x10",
     "12.5 oz", "12.5 mL", "12.5 G", "12.5 g g", "1 2", "١٢", "inf", "nan", "1e999", "12..5"],
)  # fmt: skip
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(InputError) as refused:
        read_number(Quantity.TARE, text)
    assert refused.value.faults[0].where == "tare_g"
    assert refused.value.faults[0].allowed == "a number in g"


@given(
    st.decimals(min_value=-999, max_value=99_999, places=4),
    st.sampled_from(["", " g", "g", " mg", "kg"]),
    st.sampled_from([".", ","]),
)
def test_no_digit_is_lost_or_moved(value: Decimal, unit: str, mark: str) -> None:
    number = read_number(Quantity.TARE, f"{value:f}".replace(".", mark) + unit)
    factor = {"mg": Decimal("0.001"), "kg": Decimal(1000)}.get(unit.strip(), Decimal(1))
    assert Decimal(number) == value * factor
