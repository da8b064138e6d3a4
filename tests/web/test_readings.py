"""The routes of the bench page: what it is given, and what becomes of what it sends."""

from __future__ import annotations

import html
import json
import threading
import uuid
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tarebook.api import bench
from tarebook.series.definition import parse_definition

Make = Callable[..., dict[str, Any]]


def run_of(view: dict[str, Any], run: str) -> dict[str, Any]:
    return next(one for one in view["runs"] if one["run"] == run)


def test_series_has_all_that_the_page_needs_offline(alone: Any) -> None:
    view = alone.get("/api/series").json()
    assert view["group"] == "1"
    assert view["experiment"]["equation"].startswith("NaHCO3")
    assert view["experiment"]["invented"]
    assert [step["quantity"] for step in view["steps"] if not step["optional"]] == [
        "tare_g", "diluent_mL", "reagent_mL", "vessel_liquid_g", "sample_g", "final_g",
    ]  # fmt: skip
    assert view["steps"][0]["step"] == pytest.approx(0.001)
    assert all(step["label"] and step["hint"] for step in view["steps"])
    assert [run["run"] for run in view["runs"]] == list("12345678")
    first = view["runs"][0]
    assert first["targets"] == {"reagent_mL": 5.0, "diluent_mL": 35.0, "sample_g": 1.5}
    assert first["next"] == "tare_g"
    assert first["readings"] == []
    assert len(view["csrf"]) == 64


def test_a_cup_from_the_first_reading_to_the_last(
    alone: Any, new_event: Make, cup: tuple[tuple[str, str], ...]
) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    expected_next = [quantity for quantity, _ in cup[1:]] + [None]
    for (quantity, typed), following in zip(cup, expected_next, strict=True):
        sent = new_event("1", quantity, typed)
        answer = alone.send(sent)
        assert answer.status_code == 200
        assert answer.json()["acknowledged"] == [sent["id"]]
        (run,) = answer.json()["runs"]
        assert run["next"] == following
        # The range that was given for a good reading held it.
        before = alone.get("/api/series").json()
        expected = run_of(before, "1")["expected"].get(quantity)
        if expected:
            assert expected["low"] <= float(typed) <= expected["high"]
    said = {one["code"]: one for one in run["said"]}
    assert set(said) == {"liquid-meaning", "loss-meaning"}
    # 54.840 - 15.790 and 54.840 + 1.488 - 56.210, by hand.
    assert "39.05\u00a0g of liquid by mass" in said["liquid-meaning"]["message"]
    assert "0.118\u00a0g has left the cup" in said["loss-meaning"]["message"]


@pytest.mark.parametrize(
    ("typed", "number"),
    [("12,50 g", "12.50"), (" 12.50", "12.50"), ("12500 mg", "12.500"), ("0,0125 kg", "12.5")],
)
def test_numbers_as_people_type_them(alone: Any, new_event: Make, typed: str, number: str) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    (run,) = alone.send(new_event("2", "tare_g", typed)).json()["runs"]
    (reading,) = run["readings"]
    assert (reading["typed"], reading["number"]) == (typed.strip(), number)
    assert reading["value"] == float(number)
    assert reading["unit"] == "g"
    assert reading["current"]
    assert not reading["conflict"]
    assert reading["instrument"] == "0.001 g balance"


def test_what_is_no_number_is_refused_and_the_rest_is_kept(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    bad, good = new_event("1", "tare_g", "12..5"), new_event("1", "sample_g", "1,5")
    answer = alone.send(bad, good).json()
    assert answer["acknowledged"] == [good["id"]]
    assert [one["id"] for one in answer["refused"]] == [bad["id"]]
    assert answer["refused"][0]["message"]


def test_an_odd_value_is_taken_and_said(alone: Any, new_event: Make, cup: Any) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    readings = dict(cup) | {"final_g": "52.610"}  # two digits swapped: 56.210
    for quantity, typed in readings.items():
        answer = alone.send(new_event("1", quantity, typed)).json()
        assert len(answer["acknowledged"]) == 1
    found = [one for one in answer["runs"][0]["said"] if one["reading"] == "final_g"]
    worst = found[0]
    assert worst["severity"] in ("look", "stop")
    assert worst["do"]


def test_swapped_digits_are_named(alone: Any, new_event: Make, cup: Any) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    for quantity, typed in (dict(cup) | {"final_g": "56.120"}).items():
        answer = alone.send(new_event("1", quantity, typed)).json()
    (odd,) = [one for one in answer["runs"][0]["said"] if one["severity"] != "note"]
    assert odd["code"] == "slip-digits-swapped"
    assert "56.210\u00a0g would fit" in odd["message"]


def test_sending_again_records_nothing_twice(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    sent = new_event("1", "tare_g", "15.790")
    first, second = alone.send(sent).json(), alone.send(sent, sent).json()
    assert set(first["acknowledged"]) == set(second["acknowledged"]) == {sent["id"]}
    assert len(second["runs"][0]["readings"]) == 1
    # The first event of the record is the definition.
    assert second["head"] == first["head"] == 2


def test_an_id_that_stands_for_something_else_is_refused(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    sent = new_event("1", "tare_g", "15.790")
    alone.send(sent)
    answer = alone.send({**sent, "typed": "16.790"}).json()
    assert answer["acknowledged"] == []
    assert [one["id"] for one in answer["refused"]] == [sent["id"]]
    assert run_of(alone.get("/api/series").json(), "1")["readings"][0]["typed"] == "15.790"


def test_an_id_of_another_group_is_refused_without_telling(room: Any, new_event: Make) -> None:
    one, two = room.group("1"), room.group("2")
    sent = new_event("1", "tare_g", "15.790", who="somebody of group 1")
    one.send(sent)
    answer = two.send({**sent, "typed": "16.1"})
    assert answer.json()["acknowledged"] == []
    assert len(answer.json()["refused"]) == 1
    assert "15.79" not in answer.text
    assert "group 1" not in answer.text


def test_a_correction_leaves_the_old_reading_visible(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    old = new_event("1", "tare_g", "51.790")
    alone.send(old)
    new = new_event("1", "tare_g", "15.790", kind="correction", supersedes=old["id"],
                    reason="two digits swapped")  # fmt: skip
    (run,) = alone.send(new).json()["runs"]
    assert [(r["typed"], r["current"]) for r in run["readings"]] == [
        ("51.790", False),
        ("15.790", True),
    ]
    undone = new_event("1", "tare_g", "", kind="withdrawal", supersedes=new["id"], reason="no cup")
    (run,) = alone.send(undone).json()["runs"]
    assert [r["current"] for r in run["readings"]] == [False, False, False]
    assert run["next"] == "tare_g"


def test_two_devices_are_two_readings_in_conflict(room: Any, new_event: Make) -> None:
    first, second = room.group("1"), room.group("1")
    first.send(new_event("1", "tare_g", "15.790", device="phone"))
    (run,) = second.send(new_event("1", "tare_g", "15.970", device="tablet")).json()["runs"]
    assert [(r["typed"], r["current"], r["conflict"]) for r in run["readings"]] == [
        ("15.790", True, True),
        ("15.970", True, True),
    ]
    assert len(run["conflicts"]) == 1
    assert "two-readings" in {one["code"] for one in run["said"]}


def test_a_queue_of_one_group_never_lands_in_another(room: Any, new_event: Make) -> None:
    two = room.group("2")
    answer = two.send(new_event("1", "tare_g", "15.790"), group="1")
    assert answer.status_code == 403
    assert answer.json()["error"]["code"] == "not-yours"
    assert two.send(new_event("1", "tare_g", "15.790"), group="2").status_code == 200
    assert room.workspace.of_group("1").received == ()


def test_nothing_is_acknowledged_that_the_record_cannot_take(
    alone: Any, new_event: Make, workspace: bench.Workspace, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise bench.RecordError("tarebook.db", "the disk is full", "Free some space.")

    alone.csrf = alone.get("/api/series").json()["csrf"]
    monkeypatch.setattr(type(workspace.opened.log), "append", full)
    answer = alone.send(new_event("1", "tare_g", "15.790"))
    assert answer.status_code == 503
    assert answer.json()["error"]["do"]


@pytest.mark.parametrize(
    "body",
    [b"", b"no", b"[]", b'{"events": 3}', b'{"events": [3]}', b'{"events": null}', b"\xff\xfe",
     b'{"events": [], "group": 3}', b"[" * 20_000],
)  # fmt: skip
def test_what_is_no_delivery_is_refused(alone: Any, body: bytes) -> None:
    token = alone.get("/api/series").json()["csrf"]
    answer = alone.client.post("/api/events", content=body, headers={"x-csrf-token": token})
    assert answer.status_code == 400
    assert set(answer.json()["error"]) == {"code", "message", "do"}


def test_sizes_are_limited(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    many = alone.send(*(new_event("1", "tare_g", "1") for _ in range(bench.MOST_EVENTS + 1)))
    assert many.status_code in (400, 413)
    big = alone.client.post(
        "/api/events", content=b" " * 70_000, headers={"x-csrf-token": alone.csrf}
    )
    assert big.status_code == 413

    def drip() -> Any:
        for _ in range(100):
            yield b" " * 1000

    grown = alone.client.post("/api/events", content=drip(), headers={"x-csrf-token": alone.csrf})
    assert grown.status_code == 413
    far = new_event("1", "tare_g", "1e300")
    assert alone.send(far).json()["refused"][0]["id"] == far["id"]
    assert alone.get("/api/series").json()["head"] == 0


def test_many_devices_at_once_lose_and_double_nothing(room: Any, new_event: Make) -> None:
    sent: list[str] = []
    acknowledged: list[str] = []

    def device(number: int) -> None:
        browser = room.group("1" if number % 2 else "2")
        for _ in range(5):
            made = new_event(str(1 + number % 8), "minutes", "9", device=f"phone {number}")
            sent.append(made["id"])
            acknowledged.extend(browser.send(made).json()["acknowledged"])

    threads = [threading.Thread(target=device, args=(number,)) for number in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = [one.event.id for group in ("1", "2") for one in room.workspace.of_group(group).received]
    assert sorted(acknowledged) == sorted(sent) == sorted(kept)


def test_a_run_that_is_not_planned_can_be_recorded(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    alone.send(new_event("extra", "tare_g", "15.790"))
    runs = [run["run"] for run in alone.get("/api/series").json()["runs"]]
    assert runs == [*"12345678", "extra"]


def test_unknown_keys_are_named(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    answer = alone.send(new_event("1", "tare_g", "15.790", colour="red")).json()
    assert "colour" in answer["refused"][0]["message"]
    assert json.dumps(answer)


def test_a_group_cannot_keep_the_sums_of_all_others_waiting(alone: Any, new_event: Make) -> None:
    alone.open("/bench")
    events = [new_event(f"extra {number}", "note", "x") for number in range(120)]
    first, answer = (alone.send(*events[at : at + 60]).json() for at in (0, 60))
    assert len(first["acknowledged"]) + len(answer["acknowledged"]) == 100
    assert {one["message"][:4] for one in answer["refused"]} == {"run:"}
    # What is recorded of a run that is there is taken all the same.
    assert alone.send(new_event("extra 7", "note", "y")).json()["refused"] == []


def test_half_a_character_is_refused_in_words(alone: Any, new_event: Make) -> None:
    """JSON can name half of a surrogate pair (RFC 8259, 8.2); no answer in UTF-8 can hold it."""
    alone.open("/bench")
    for name in ("id", "run", "quantity", "typed", "taken_at", "who", "device"):
        body = json.dumps({"events": [new_event("1", "tare_g", "15.79") | {name: "\ud83e"}]})
        answer = alone.client.post(
            "/api/events", content=body.encode(), headers={"x-csrf-token": alone.csrf}
        )
        assert answer.status_code == 200
        (refused,) = answer.json()["refused"]
        assert refused["message"].isprintable()
    assert alone.get("/api/series").json()["head"] == 0


@pytest.mark.parametrize("length", ["9" * 5000, "\xb2", "-1", "+1", "1_0", "0x10", ""])
def test_a_length_that_is_none_is_refused(alone: Any, length: str) -> None:
    headers = {"x-csrf-token": "", "content-length": length.encode("latin-1")}
    assert alone.client.post("/api/events", content=b"{}", headers=headers).status_code == 413


def test_a_count_of_groups_without_end_is_refused(alone: Any) -> None:
    alone.open("/groups")
    for count in ("000001" + "9" * 20, "000001" + "9" * 5000, "201", "0", "-1", "\xb2", "\u0661"):
        answer = alone.form("/groups", count=count)
        assert answer.status_code == 400
        assert "whole number from 1 to 200" in answer.text


def test_ids_must_be_uuids(alone: Any, new_event: Make) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    sent = [new_event("1", "tare_g", "15.790", id=i) for i in ("1", str(uuid.uuid4()).upper(), "")]
    assert len(alone.send(*sent).json()["refused"]) == 3


def test_balance_is_for_browsers_on_the_machine(room: Any, alone: Any) -> None:
    assert alone.get("/api/balance").json()["connected"] is False
    assert room.group("1").get("/api/balance").status_code == 403


def test_the_bench_page_says_that_the_gas_burns(
    folder: Path, request: pytest.FixtureRequest
) -> None:
    definition = folder / "experiment.toml"
    text = definition.read_text(encoding="utf-8")
    for old, new in (("NaHCO3 + HCl -> NaCl + H2O + CO2", "Zn + 2 HCl -> ZnCl2 + H2"),
                     ('sample = "NaHCO3"', 'sample = "Zn"'), ('"CO2"', '"H2"')):  # fmt: skip
        assert old in text
        text = text.replace(old, new)
    definition.write_text(text, encoding="utf-8")
    page = request.getfixturevalue("alone").get("/bench").text
    experiment = parse_definition(text)
    cautions = bench.cautions(experiment, bench.spoken(experiment))
    burns = next(one for one in cautions if "hydrogen (H2)" in one)
    assert "No flame, no spark" in burns
    assert burns in html.unescape(page)


def test_the_bench_page_says_what_holds_for_every_cup(alone: Any) -> None:
    page = alone.get("/bench").text
    assert bench.always() in page
    assert "No flame" not in page


def test_in_a_crowd_a_reading_is_taken_first_and_looked_at_when_asked_again(
    alone: Any, new_event: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is said of it meanwhile, and that nothing was said is said."""
    alone.csrf = alone.get("/api/series").json()["csrf"]
    monkeypatch.setattr("tarebook.web.readings.has_time", lambda: False)
    sent = new_event("4", "diluent_mL", "32.3")
    answer = alone.send(sent).json()
    assert answer["acknowledged"] == [sent["id"]]
    (run,) = answer["runs"]
    assert not run["looked"]
    assert [one["typed"] for one in run["readings"]] == ["32.3"]
    assert run["said"] == []
    assert run["next"] is None
    # While there is no time it is of no use to ask; nothing is told again.
    assert alone.send(look=["4"]).json()["runs"] == []
    monkeypatch.setattr("tarebook.web.readings.has_time", lambda: True)
    (again,) = alone.send(look=["4"]).json()["runs"]
    assert again["looked"]
    assert [one["code"] for one in again["said"]] == ["outside-expected"]
    # A run of which nothing is known is not looked for.
    assert alone.send(look=["none such"]).json()["runs"] == []


@pytest.mark.parametrize("look", ["4", [4], {"run": "4"}])
def test_what_is_to_be_looked_at_is_a_list_of_runs(alone: Any, look: object) -> None:
    alone.csrf = alone.get("/api/series").json()["csrf"]
    answer = alone.send(look=look)
    assert answer.status_code == 400
    assert "look" in answer.json()["error"]["message"]
