"""Who may do what: every route, every role, other groups' readings, forged requests, sessions."""

from __future__ import annotations

import re
import socket
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.routing import Mount, Route
from starlette.testclient import TestClient

from tarebook.api import bench
from tarebook.api.backup import backup
from tarebook.api.exchange import export_readings
from tarebook.web.app import build_app, routes
from tarebook.web.settings import Settings

Make = Callable[..., dict[str, Any]]

OPEN, GROUP, INSTRUCTOR = "anybody", "groups", "instructor"

WHO = {
    ("GET", "/"): OPEN,
    ("GET", "/join"): OPEN,
    ("POST", "/join"): OPEN,
    ("POST", "/enter"): OPEN,
    ("POST", "/leave"): OPEN,
    ("POST", "/language"): OPEN,
    ("GET", "/run/{group}/{run:path}"): GROUP,
    ("GET", "/groups"): INSTRUCTOR,
    ("POST", "/groups"): INSTRUCTOR,
    ("POST", "/groups/code"): INSTRUCTOR,
    ("POST", "/groups/share"): INSTRUCTOR,
    ("POST", "/groups/sheet"): INSTRUCTOR,
    ("GET", "/groups/{group}/square.svg"): INSTRUCTOR,
    ("GET", "/projector"): "groups once shared",
    ("GET", "/bench"): GROUP,
    ("GET", "/bench/{run:path}"): GROUP,
    ("GET", "/api/series"): GROUP,
    ("POST", "/api/events"): GROUP,
    ("GET", "/api/results"): GROUP,
    ("GET", "/api/balance"): "groups at the machine",
    ("GET", "/results"): GROUP,
    ("GET", "/results/part"): GROUP,
    ("GET", "/results/file/{name}"): GROUP,
    ("GET", "/plan"): INSTRUCTOR,
    ("GET", "/plan/part"): INSTRUCTOR,
    ("GET", "/api/plan"): INSTRUCTOR,
    ("GET", "/prepare"): INSTRUCTOR,
    ("POST", "/prepare"): INSTRUCTOR,
    ("GET", "/prepare/{name}"): INSTRUCTOR,
}
"""Who may call each route. A route that is not here fails the first test."""

EVERY = sorted(WHO)


def addresses(path: str, group: str) -> str:
    """Return an address of a route that asks for a group's things."""
    path = path.replace("{group}", group).replace("{run:path}", "1")
    return path.replace("{name}", "readings.csv")


def test_every_route_is_in_the_table() -> None:
    found = {
        (method, route.path)
        for route in routes()
        if isinstance(route, Route)
        for method in route.methods or ()
        if method != "HEAD"
    }
    assert found == set(WHO)
    assert {route.path for route in routes() if isinstance(route, Mount)} == {"/static", "/fonts"}


def test_every_route_is_documented() -> None:
    text = (Path(__file__).parents[2] / "docs" / "bench.md").read_text(encoding="utf-8")
    for method, path in WHO:
        assert f"`{method} {path.replace(':path', '')}`" in text


@pytest.mark.parametrize(("method", "path"), EVERY)
def test_strangers_come_no_further_than_the_door(
    room: Any, new_event: Make, method: str, path: str
) -> None:
    room.group("1").send(new_event("1", "tare_g", "15.790", who="Zoe of group one"))
    stranger = room.browser()
    stranger.open("/join")
    call = stranger.client.get if method == "GET" else stranger.client.post
    answer = call(addresses(path, "1"))
    if WHO[method, path] == OPEN:
        # No form, no token: refused as forged; the pages themselves are open.
        assert answer.status_code == (200 if method == "GET" else 403)
    elif path.startswith("/run/"):
        assert "Join your group" in answer.text
    else:
        assert answer.status_code == 401
    assert "15.79" not in answer.text
    assert "Zoe" not in answer.text


@pytest.mark.parametrize(("method", "path"), [k for k in EVERY if WHO[k] != OPEN])
def test_a_group_does_not_reach_another_nor_the_instructors_pages(
    room: Any, new_event: Make, method: str, path: str
) -> None:
    one = room.group("1")
    one.send(new_event("1", "tare_g", "15.790", who="Zoe of group one"))
    two = room.group("2")
    if method == "GET":
        answer = two.get(addresses(path, "1"), params={"group": "1"})
    elif path == "/api/events":
        answer = two.send(new_event("1", "tare_g", "1.0"), group="1")
    else:
        answer = two.form(path, group="1", shares="yes", count="9")
    refused = path not in ("/api/results", "/api/balance")
    # Asked for another group's readings, this route gives the own group's alone.
    if path == "/api/results":
        assert [group["group"] for group in answer.json()["groups"]] == ["2"]
    assert answer.status_code == (403 if refused else answer.status_code)
    assert "Zoe" not in answer.text
    assert "15.79" not in answer.text
    assert room.workspace.access.shares is False
    assert len(room.workspace.access.groups) == 3


def test_a_group_sees_its_own(room: Any, new_event: Make) -> None:
    one = room.group("1")
    one.send(new_event("1", "tare_g", "15.790"))
    assert one.get("/api/series").json()["group"] == "1"
    assert one.get("/results").status_code == 200
    kept = one.get("/results/file/readings.csv")
    assert "15.790" in kept.text
    assert kept.headers["content-disposition"] == 'attachment; filename="group-1-readings.csv"'


def test_sharing_opens_results_but_no_bench(room: Any, new_event: Make) -> None:
    one, two, instructor = room.group("1"), room.group("2"), room.instructor()
    one.send(new_event("1", "tare_g", "15.790"))
    assert two.get("/projector").status_code == 403
    instructor.open("/groups")
    assert instructor.form("/groups/share", shares="yes").status_code == 303
    assert two.get("/projector").status_code == 200
    assert two.get("/results", params={"group": "1"}).status_code == 200
    assert [g["group"] for g in two.get("/api/results").json()["groups"]] == ["1", "2", "3"]
    assert two.get("/api/series", params={"group": "1"}).status_code == 403
    assert two.send(new_event("1", "tare_g", "1"), group="1").status_code == 403
    assert two.get("/groups").status_code == 403
    instructor.form("/groups/share", shares="no")
    assert two.get("/results", params={"group": "1"}).status_code == 403


@pytest.mark.parametrize(("method", "path"), [key for key in EVERY if key[0] == "POST"])
def test_no_change_without_the_token_of_the_session(
    room: Any, new_event: Make, method: str, path: str
) -> None:
    instructor, other = room.instructor(), room.group("1")
    before = room.workspace.head()
    for token in ("", "0" * 64, other.csrf, "ü"):
        if path == "/api/events":
            body = {"events": [new_event("1", "tare_g", "1.0")]}
            headers = {"x-csrf-token": token.encode()}
            answer = instructor.client.post(path, json=body, headers=headers)
        else:
            answer = instructor.form(path, csrf=token, group="1", count="9", shares="yes")
        assert answer.status_code == 403
    assert len(room.workspace.access.groups) == 3
    assert room.workspace.head() == before


def test_join_by_code_in_any_spelling(room: Any) -> None:
    code = room.workspace.access.group("2").code
    for typed in (code, code.lower(), f" {code[:3]}-{code[3:]} ", f"{code[:3]} {code[3:]}"):
        browser = room.browser()
        assert browser.join(typed).headers["location"] == "/bench"
        assert browser.get("/api/series").json()["group"] == "2"


def test_joining_leads_only_to_pages_of_ours(room: Any) -> None:
    code = room.workspace.access.group("2").code
    for asked, led in (
        ("/bench/3", "/bench/3"),
        ("https://elsewhere.test/", "/bench"),
        ("//elsewhere.test", "/bench"),
        ("/\\elsewhere.test", "/bench"),
        ("/\r\nset-cookie: x=y", "/bench"),
    ):
        browser = room.browser()
        browser.open("/join")
        answer = browser.form("/join", code=code, next=asked)
        assert answer.headers["location"] == led


def test_the_code_on_a_bench_sheet_leads_to_its_run(room: Any) -> None:
    stranger = room.browser()
    answer = stranger.get("/run/2/3?e=1A2B3C4D")
    assert 'name="next" value="/bench/3"' in answer.text
    assert room.group("2").get("/run/2/3").headers["location"] == "/bench/3"
    assert room.group("1").get("/run/2/3").status_code == 403
    led = room.instructor().get("/run/2/3").headers["location"]
    assert led == "/bench/3?group=2"


def test_a_new_code_ends_the_sessions_of_the_old_one(room: Any, new_event: Make) -> None:
    two, instructor = room.group("2"), room.instructor()
    old = room.workspace.access.group("2").code
    instructor.open("/groups")
    assert instructor.form("/groups/code", group="2").status_code == 303
    assert room.workspace.access.group("2").code != old
    assert two.get("/api/series").status_code == 401
    assert two.send(new_event("1", "tare_g", "1")).status_code == 401
    assert room.browser().join(old).status_code == 403
    assert room.group("1").get("/api/series").status_code == 200


def test_a_new_secret_ends_the_instructors_sessions(room: Any) -> None:
    instructor = room.instructor()
    new = room.workspace.access.new_secret()
    assert instructor.get("/groups").status_code == 401
    old = room.browser()
    old.open("/join")
    assert old.form("/enter", secret=room.secret).status_code == 403
    assert old.form("/enter", secret=new.upper()).status_code == 303


def test_leaving_ends_the_session_on_the_device(room: Any) -> None:
    one = room.group("1")
    assert one.form("/leave").status_code == 303
    assert one.get("/api/series").status_code == 401


def test_wrong_codes_are_counted_by_address_and_in_all(room: Any) -> None:
    code = room.workspace.access.group("1").code
    wrong = room.browser("192.0.2.1")
    for number in range(10):
        # The same again is no new guess.
        assert wrong.join(f"AAAAA{number}").status_code == 403
        assert wrong.join(f"AAAAA{number}").status_code == 403
    blocked = wrong.join(code)
    assert blocked.status_code == 429
    assert 1 <= int(blocked.headers["retry-after"]) <= 60
    assert room.browser("192.0.2.2").join(code).status_code == 303
    room.now[0] += 61
    assert room.browser("192.0.2.1").join(code).status_code == 303
    for number in range(100):
        room.browser(f"198.51.100.{number}").join(f"BB{number:04}")
    # Whoever typed no wrong code comes in all the same; whoever did waits.
    other = room.browser("192.0.2.3")
    assert other.join(code).status_code == 303
    assert room.browser("192.0.2.4").join("CCCCCC").status_code == 403
    assert room.browser("192.0.2.4").join(code).status_code == 429
    room.now[0] += 61
    assert room.browser("192.0.2.4").join(code).status_code == 303


def test_wrong_secrets_are_counted_with_the_codes(room: Any) -> None:
    browser = room.browser()
    browser.open("/join")
    for number in range(5):
        assert browser.form("/enter", secret="no").status_code == 403
        assert browser.form("/join", code=f"AAAAA{number}").status_code == 403
    assert browser.form("/enter", secret=room.secret).status_code == 429


def test_ten_addresses_that_guess_do_not_shut_the_instructor_out(room: Any) -> None:
    for place in range(10):
        guessing = room.browser(f"198.51.100.{place}")
        for number in range(10):
            assert guessing.join(f"B{place}{number:04}").status_code == 403
    new_place = room.browser("192.0.2.20")
    new_place.open("/join")
    assert new_place.form("/enter", secret=room.secret).status_code == 303


def test_a_device_that_held_the_secret_never_waits(room: Any) -> None:
    """Also where all that guess share its address, and after it left; others there wait."""
    mine = room.instructor()
    mine.open("/groups")
    assert mine.form("/leave").status_code == 303
    guessing = room.browser()
    for number in range(10):
        assert guessing.join(f"BBBBB{number}").status_code == 403
    other = room.browser()
    other.open("/join")
    assert other.form("/enter", secret=room.secret).status_code == 429
    mine.open("/join")
    assert mine.form("/enter", secret="not this one").status_code == 403
    assert mine.form("/enter", secret=room.secret).status_code == 303


def test_a_device_that_held_a_code_never_waits_with_that_code_and_guesses_no_other(
    room: Any,
) -> None:
    code, other = (room.workspace.access.group(name).code for name in ("1", "2"))
    mine = room.group("1")
    for number in range(10):
        assert mine.join(f"BBBBB{number}").status_code == 403
    assert mine.join(other).status_code == 429
    assert mine.join(code).status_code == 303
    # A new code is one that the device has not held.
    room.workspace.access.new_code("1")
    assert mine.join(room.workspace.access.group("1").code).status_code == 429


def test_a_mark_lets_nobody_in_and_cannot_be_made(room: Any) -> None:
    mine = room.instructor()
    (mark,) = (one for one in mine.client.cookies.items() if one[0].endswith("_held"))
    stranger = room.browser()
    stranger.client.cookies.set(*mark)
    assert stranger.get("/groups").status_code == 401
    for number in range(10):
        stranger.join(f"BBBBB{number}")
    stranger.client.cookies.set(mark[0], mark[1][:-2])
    stranger.open("/join")
    assert stranger.form("/enter", secret=room.secret).status_code == 429


@pytest.mark.parametrize("other", ['a="b', 'a="b; c', "a=ü", "ä=1", "=", "a b=c", '"', "a=\x01"])
def test_cookies_of_other_programs_hide_no_session(room: Any, other: str) -> None:
    one = room.group("1")
    own = "; ".join(f"{name}={value}" for name, value in one.client.cookies.items())
    for header in (f"{other}; {own}", f"{own}; {other}"):
        stranger = room.browser()
        answer = stranger.get("/api/series", headers={b"cookie": header.encode()})
        assert answer.status_code == 200


def test_a_planted_cookie_of_our_name_hides_no_session(room: Any) -> None:
    one = room.group("1")
    name, value = next(iter(one.client.cookies.items()))
    header = f"{name}=planted; {name}={value}"
    assert room.browser().get("/api/series", headers={"cookie": header}).status_code == 200


def test_leaving_ends_the_session_for_every_copy_of_its_cookie(room: Any) -> None:
    for leaving, page in ((room.group("1"), "/api/series"), (room.instructor(), "/groups")):
        header = "; ".join(f"{name}={value}" for name, value in leaving.client.cookies.items())
        copy = {"cookie": header}
        assert room.browser().get(page, headers=copy).status_code == 200
        assert leaving.form("/leave").status_code == 303
        assert room.browser().get(page, headers=copy).status_code == 401
        # Started again, the app still knows.
        again = build_app(room.workspace, Settings(port=8420, shares=True))
        client = TestClient(again, base_url="http://localhost:8420")
        assert client.get(page, headers=copy).status_code == 401


def test_ended_sessions_take_no_more_than_their_room(tmp_path: Path) -> None:
    now = [0.0]
    ended = bench.EndedSessions(tmp_path, 100.0, clock=lambda: now[0])
    ended.add("", "instructor")
    for number in range(5000):
        ended.add("1", f"key {number}")
    assert "instructor" in ended
    assert "key 4999" in ended
    assert len((tmp_path / "ended").read_text().splitlines()) < 4000
    assert stat.S_IMODE((tmp_path / "ended").stat().st_mode) == 0o600
    now[0] = 101.0
    assert "key 4999" not in bench.EndedSessions(tmp_path, 100.0, clock=lambda: now[0])


def test_shared_only_our_own_names_are_answered(room: Any) -> None:
    browser = room.browser()
    for host in ("elsewhere.test", "bench.test.elsewhere.test", "", "192.0.2.7.elsewhere.test"):
        answer = browser.get("/join", headers={"host": host})
        assert answer.status_code == 400
        assert "--name" in answer.text
    own = socket.gethostname()
    for host in ("bench.test:8420", "BENCH.test.", "192.0.2.7:8420", "[2001:db8::1]:8420", own):
        assert browser.get("/join", headers={"host": host}).status_code == 200


def test_other_names_of_the_machine_can_be_given() -> None:
    settings = Settings(port=8420, shares=True, names=("lab.school.test",))
    assert settings.may_be_called("lab.school.test:8420")
    assert not Settings(port=8420, names=("lab.school.test",)).may_be_called("lab.school.test")


def test_the_security_log_says_what_happened_without_codes_or_readings(
    room: Any, new_event: Make
) -> None:
    one, instructor = room.group("1"), room.instructor()
    one.send(new_event("1", "tare_g", "15.790", who="Zoe of group one"))
    old = room.workspace.access.group("2").code
    for number in range(11):
        room.browser("198.51.100.9").join(f"BBBBB{number:02}")
    instructor.open("/groups")
    instructor.form("/groups/code", group="2")
    instructor.form("/groups/share", shares="yes")
    one.get("/results/file/readings.csv")
    room.browser().get("/join", headers={"host": "elsewhere.test"})
    instructor.form("/leave")
    path = room.workspace.access.place / "security.log"
    said = path.read_text()
    for words in (
        'a group joined group="1" from="192.0.2.7"', "the instructor came in",
        'a wrong code from="198.51.100.9"', 'too many wrong codes from="198.51.100.9"',
        'a group has a new code group="2"', "the results of the class are shared",
        'a file was taken out group="1" file="readings.csv"', "a request named another host",
        "a session was ended",
    ):  # fmt: skip
        assert said.count(words) == 1, words
    codes = [group.code for group in room.workspace.access.groups]
    for secret in (room.secret, old, *codes, "15.79", "Zoe", "BBBBB", one.csrf):
        assert secret not in said
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_record_sheets_backups_and_logs_are_their_owners_alone(
    folder: Path, tmp_path: Path, new_event: Make
) -> None:
    def rights(path: Path) -> int:
        return stat.S_IMODE(path.stat().st_mode)

    with bench.open_workspace(folder, workers=False) as workspace:
        bench.record_events(workspace, "1", [new_event("1", "tare_g", "15.790")])
        made = sorted(path.name for path in folder.iterdir() if path.name.startswith("tarebook.db"))
        assert {"tarebook.db", "tarebook.db-shm", "tarebook.db-wal"} <= set(made)
        assert all(rights(folder / name) == 0o600 for name in made)
        for copy in (tmp_path / "copy.db", tmp_path / "copy.zip"):
            backup(folder, copy)
            assert rights(copy) == 0o600
    (sheet,) = export_readings(folder)
    assert rights(sheet) == 0o600
    # A record of an earlier version is taken back when the bench opens.
    for name in ("tarebook.db", "readings.csv"):
        (folder / name).chmod(0o644)
    with bench.open_workspace(folder, workers=False):
        assert rights(folder / "tarebook.db") == rights(folder / "readings.csv") == 0o600


def test_good_codes_are_never_counted(room: Any) -> None:
    code = room.workspace.access.group("1").code
    for _ in range(30):
        assert room.browser().join(code).status_code == 303


def test_cookies_are_closed(make_room: Callable[..., Any]) -> None:
    for https in (False, True):
        room = make_room(https=https)
        cookie = room.browser().get("/").headers["set-cookie"]
        assert "; HttpOnly" in cookie
        assert "; SameSite=Lax" in cookie
        assert "; Path=/" in cookie
        assert ("; Secure" in cookie) is https


def test_a_cookie_cannot_be_made_or_changed(room: Any) -> None:
    one = room.group("1")
    (name, value), *_ = one.client.cookies.items()
    for bad in (value[:-3] + "abc", "x" + value, "", "a" * 5000, value.replace(".", "..", 1)):
        stranger = room.browser()
        stranger.client.cookies.set(name, bad)
        assert stranger.get("/api/series").status_code == 401
    # A session that needed no secret is worth nothing in the room.
    solo = TestClient(
        build_app(room.workspace, Settings(port=8420)), base_url="http://localhost:8420"
    )
    assert solo.get("/groups").status_code == 200
    (name, value), *_ = solo.cookies.items()
    stranger = room.browser()
    stranger.client.cookies.set(name, value)
    assert stranger.get("/groups").status_code == 401


def test_without_sharing_only_this_machine_is_answered(alone: Any) -> None:
    assert alone.get("/groups").status_code == 200
    for host in ("elsewhere.test", "192.168.1.5:8420", "localhost.elsewhere.test", ""):
        assert alone.get("/groups", headers={"host": host}).status_code == 400
    for host in ("localhost:8420", "127.0.0.1", "[::1]:8420"):
        assert alone.get("/groups", headers={"host": host}).status_code == 200


def test_secrets_are_hashed_and_the_file_is_the_owners(room: Any) -> None:
    place = room.workspace.access.place
    text = (place / "access.json").read_text()
    assert "$argon2id$" in text
    assert room.secret not in text
    assert room.secret.replace("-", "").upper() not in text
    assert stat.S_IMODE(place.stat().st_mode) == 0o700
    assert stat.S_IMODE((place / "access.json").stat().st_mode) == 0o600


def test_codes_can_be_read_aloud(room: Any) -> None:
    room.workspace.access.add(tuple(str(n) for n in range(1, 41)))
    codes = [group.code for group in room.workspace.access.groups]
    assert len(set(codes)) == 40
    for code in codes:
        assert re.fullmatch(r"[A-HJ-NP-RT-Z346789]{6}", code)


def test_logs_hold_no_secrets(
    room: Any, new_event: Make, caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    caplog.set_level(0)
    instructor, one = room.instructor(), room.group("1")
    one.send(new_event("1", "tare_g", "no number"))
    room.browser().join("WRONG1")
    said = caplog.text + "".join(capfd.readouterr())
    codes = [group.code for group in room.workspace.access.groups]
    for secret in (room.secret, instructor.csrf, one.csrf, *codes, "WRONG1"):
        assert secret not in said


def test_alone_a_session_of_a_shared_lesson_is_the_instructors_again(
    room: Any, workspace: bench.Workspace
) -> None:
    one = room.group("1")
    (name, value), *_ = one.client.cookies.items()
    solo = TestClient(build_app(workspace, Settings(port=8420)), base_url="http://localhost:8420")
    solo.cookies.set(name, value)
    assert solo.get("/groups").status_code == 200


def test_names_of_groups_are_only_ever_text(alone: Any, new_event: Make, workspace: Any) -> None:
    name = '"><b id=x>&{{ 1 }}'
    bench.record_events(workspace, name, [new_event("1", "tare_g", "15.79")])
    for address in ("/results", "/results/part", "/bench", "/groups", "/"):
        answer = alone.get(address, params={"group": name})
        assert answer.status_code == 200
        assert "<b id=x>" not in answer.text


def test_groups_of_the_record_are_shown_even_without_a_code(
    alone: Any, new_event: Make, workspace: bench.Workspace
) -> None:
    bench.record_events(workspace, "brought in", [new_event("1", "tare_g", "15.79")])
    assert "brought in" in alone.get("/results").text
    assert alone.get("/api/series", params={"group": "brought in"}).status_code == 200
    assert alone.get("/api/series", params={"group": "nobody"}).status_code == 404
