"""The application over real sockets: every route, every frame of a whole session, and what is answered to nonsense."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect
from websockets.typing import Origin

from chanterd.config import bundled
from chanterd.hearing.simulated import DemoSource
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from chanterd.practice.ladder.rule import OFFERED, as_json
from chanterd.serving.daemon import monotonic
from chanterd.serving.wire import hub
from chanterd.serving.wire.hub import LET_GO_FRAMES, QUEUE_FRAMES
from tests.serving.played_seat import HandSource, at_tempo
from tests.serving.running_daemon import Viewing, ask, served, slow_socket, wait_until
from tests.serving.wire.test_frames import ELSEWHERE, KINDS

GRIP = {"drill": "grip from B to C", "click_bpm": 60}


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a daemon with one chanter played by hand."""
    with served(tmp_path_factory.mktemp("data"), [HandSource()]) as (page, _):
        yield page


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a daemon with two simulated players."""
    with served(tmp_path_factory.mktemp("data"), [DemoSource(1), DemoSource(2)]) as (page, _):
        yield page


def test_every_frame_of_a_whole_session_is_as_described(tmp_path: Path) -> None:
    """Play, stop, learn, calibrate, unplug, talk nonsense: each frame is one of the schema that is served."""
    source = HandSource()
    with served(tmp_path, [source]) as (page, daemon):
        schema = ask(page, "GET", "frames.schema.json").json()
        with Viewing(page) as viewing:
            viewing.wait_for(lambda frame: frame["kind"] == "hello")
            rule = {**as_json(OFFERED), "first_bpm": 300, "top_bpm": 300}
            ask(page, "POST", "api/practice", {**GRIP, "click_bpm": 300, "ladder": rule}).raise_for_status()
            grid = viewing.wait_for_kind("grid")["practice"]["grid"]
            for note, beat in ((Note.B, 0), (Note.LOW_G, 0.7), (Note.D, 0.8), (Note.HIGH_A, 0.9), (Note.C, 1)):
                source.press(note, round(grid["beat0_ns"] + beat * 60e9 / 300))
            viewing.wait_for_kind("ladder")
            daemon._on_history_trouble("The disk is full.")  # as the writer's thread says it
            source.status("gone")
            source.status("ready")
            viewing.wait_for(lambda frame: frame["kind"] == "chanter" and frame["chanter"]["state"] == "gone")
            ask(page, "DELETE", "api/practice").raise_for_status()
            ask(page, "POST", "api/session", {"plan": "quarry-hollow"}).raise_for_status()
            ask(page, "DELETE", "api/session").raise_for_status()
            ask(page, "POST", "api/practice", {**GRIP, "feedback": "say first", "click_off": True}).raise_for_status()
            wait_until(lambda: source.cues[-1] is not None and source.cues[-1].click_off)
            for note, at_ns in at_tempo(source.cues[-1], 12, 1.3):  # type: ignore[arg-type]
                source.press(note, at_ns)
            viewing.wait_for_kind("doubt")
            ask(page, "POST", "api/learning", {}).raise_for_status()
            for note in Note:
                source.press(note, monotonic() + note * 100 * NS_PER_MS)
            source.release(monotonic() + 1000 * NS_PER_MS)
            viewing.wait_for(lambda frame: frame["kind"] == "learning" and frame["learning"]["state"] == "done")
            ask(page, "POST", "api/calibration", {}).raise_for_status()
            ask(page, "DELETE", "api/calibration").raise_for_status()
            ask(page, "POST", "api/chanter", {"profile": "white keys"}).raise_for_status()
            viewing.socket.send('{"kind": "clock", "sent": 12.5}')
            viewing.socket.send("nonsense")
            viewing.wait_for_kind("error")
            wait_until(
                lambda: viewing.of("calibration")[-1:] != [] and viewing.of("calibration")[-1]["calibration"] is None
            )
            assert {frame["kind"] for frame in viewing.frames} - ELSEWHERE == KINDS - ELSEWHERE
        validator = jsonschema.Draft202012Validator(schema)
        for frame in viewing.frames:
            validator.validate(frame)
        assert len(daemon.hub) == 0


def test_the_verdict_in_the_state_is_the_one_that_was_sent(two: str) -> None:
    """A page that is loaded in the midst of a run draws the same reps and click as one that saw them played."""
    with Viewing(two) as early:
        ask(two, "POST", "api/practice", {**GRIP, "click_bpm": 300, "seat": "2"}).raise_for_status()
        early.wait_for(lambda frame: frame["kind"] == "rep" and frame["final"] and frame["rep"] == 2)
        with Viewing(two) as late:
            hello = late.wait_for_kind("hello")
            practice = hello["state"]["seats"][1]["practice"]
            assert practice["grid"] == early.wait_for_kind("grid")["practice"]["grid"]
            counts = {"kind", "seat", "final", "in_a_row", "clean_count", "played_count", "heard_ns", "sent_ns"}
            sent = [{name: rep[name] for name in rep if name not in counts} for rep in early.of("rep")]
            assert practice["reps"][:3] == sent[:3]
            late.wait_for_kind("rep")
        ask(two, "DELETE", "api/practice?seat=2").raise_for_status()


def test_both_pages_see_what_one_of_them_does(page: str) -> None:
    """Start on one, stop on the other: both pages show it, and the state agrees."""
    with Viewing(page) as one, Viewing(page) as other:
        ask(page, "POST", "api/practice", GRIP).raise_for_status()
        for viewing in (one, other):
            viewing.wait_for(lambda frame: frame["kind"] == "grid" and frame["practice"] is not None)
        ask(page, "DELETE", "api/practice").raise_for_status()
        for viewing in (one, other):
            viewing.wait_for(lambda frame: frame["kind"] == "grid" and frame["practice"] is None)
    assert ask(page, "GET", "api/state").json()["seats"][0]["practice"] is None


@pytest.mark.parametrize(
    ("path", "body", "said"),
    [
        (
            "api/practice",
            {**GRIP, "click_bpm": 0},
            "click_bpm is 0.0; it must be a number of clicks a minute from 20 to 300",
        ),
        ("api/practice", {**GRIP, "click_bpm": "fast"}, "'click_bpm' is 'fast'; it must be a number"),
        ("api/practice", {"click_bpm": 60}, "'drill' is missing"),
        ("api/practice", {**GRIP, "tempo": 60}, "'tempo' is not known here"),
        ("api/practice", {**GRIP, "drill": "grip from B"}, "grip from B"),
        ("api/practice", {**GRIP, "drill": "gripp from B to C"}, "Did you mean 'grip'?"),
        ("api/practice", {**GRIP, "standard": "hard"}, "The standard 'hard' is not known. "),
        ("api/practice", {**GRIP, "seat": "9"}, "'seat' is '9'; it must be '1'."),
        ("api/practice", [GRIP], "The request has no JSON object in it"),
        ("api/practice", None, "The request has no JSON object in it"),
        ("api/practice", {**GRIP, "feedback": "after fife"}, "Did you mean 'after five'?"),
        ("api/guess", {"rep": 0, "guess": "late"}, "There is nothing to guess: no run is going on."),
        ("api/guess", {"guess": "late"}, "'rep' is missing"),
        ("api/input", {"input": "/etc/passwd"}, "The input '/etc/passwd' is not there now"),
        ("api/chanter", {"profile": "none"}, "The profile 'none' is not known."),
        ("api/learning", {"players": "1"}, "'players' is not known here. Did you mean 'player'?"),
        ("api/calibration", {"seat": 1}, "'seat' is 1; it must be a text in quotes."),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_sentence(page: str, path: str, body: Any, said: str) -> None:
    """Field, value, range and mend; nothing is started, and the daemon goes on."""
    answer = ask(page, "POST", path, body)
    assert answer.status_code == 422
    assert said in answer.json()["said"]
    assert set(answer.json()) <= {"said", "mistakes"}
    player = ask(page, "GET", "api/state").json()["seats"][0]
    assert (player["practice"], player["learning"], player["calibration"]) == (None, None, None)


@pytest.mark.parametrize(
    ("content", "kind", "status", "said"),
    [
        (b'{"drill": "grip from B to C", "click_bpm": NaN}', "application/json", 422, "click_bpm is nan; it must be"),
        (b'{"drill": "grip from B to C", "click_bpm": 1e999}', "application/json", 422, "click_bpm is inf; it must be"),
        (b"drill=grip", "application/json", 422, "The request is not JSON"),
        (b'{"drill": "grip from B', "application/json", 422, "The request is not JSON"),
        (b"\xff\xfe\x00", "application/json", 400, "cannot be read"),
        (b"[" * 8_000, "application/json", 400, "cannot be read"),
        (json.dumps(GRIP).encode(), "text/plain", 422, "as application/json"),
        (json.dumps(GRIP).encode(), "application/x-www-form-urlencoded", 422, "as application/json"),
        (b"", "application/json", 422, "no JSON object in it"),
    ],
)
def test_a_body_that_is_no_json_is_refused_in_a_sentence(
    page: str, content: bytes, kind: str, status: int, said: str
) -> None:
    """Whatever the bytes, one sentence; a form, which other sites can send without asking, is no JSON."""
    answer = ask(page, "POST", "api/practice", content=content, headers={"content-type": kind})
    assert (answer.status_code, said in answer.json()["said"]) == (status, True), answer.text


@pytest.mark.parametrize(("method", "path", "status"), [("GET", "api/nothing", 404), ("PUT", "api/state", 405)])
def test_an_unknown_route_is_reported_in_a_sentence(page: str, method: str, path: str, status: int) -> None:
    """It names the path and where to look."""
    answer = ask(page, method, path)
    assert answer.status_code == status
    assert f"/{path}" in answer.json()["said"]
    assert "/openapi.json" in answer.json()["said"]


@pytest.mark.parametrize(
    "path", ["../pyproject.toml", "%2e%2e/pyproject.toml", "..%2fconfigs/fingering.toml", "app.py"]
)
def test_nothing_outside_the_page_is_served(page: str, path: str) -> None:
    """No way up out of the folder of the page."""
    assert ask(page, "GET", path).status_code == 404


def test_every_answer_carries_the_policy(page: str) -> None:
    """The page, its parts, JSON, refusals and errors; so do refused and accepted sockets."""
    parts = [path.name for path in bundled("web").glob("*.*")]
    paths = ["", *parts, "api/state", "api/nothing", "openapi.json", "frames.schema.json"]
    answers = [ask(page, "GET", path) for path in paths]
    answers += [ask(page, "POST", "api/practice", {}), ask(page, "GET", "", headers={"host": "evil.example"})]
    policies = {answer.headers.get("content-security-policy") for answer in answers}
    [policy] = policies
    assert policy.startswith("default-src 'none'; ")


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "http://127.0.0.1"},
        {"Origin": "https://localhost"},
    ],
    ids=str,
)
def test_a_foreign_page_gets_no_socket(page: str, headers: dict[str, str]) -> None:
    """The handshake is refused with 403, a sentence, and the security headers."""
    with (
        pytest.raises(InvalidStatus) as caught,
        connect(page.replace("http", "ws") + "live", additional_headers=headers),
    ):
        pass
    answer = caught.value.response
    assert answer.status_code == 403
    assert b"may not talk to chanterd" in (answer.body or b"")
    assert "content-security-policy" in answer.headers


def test_our_own_page_gets_a_socket(page: str) -> None:
    """With the Origin of the page, by either name of this machine."""
    for name in ("127.0.0.1", "localhost"):
        origin = page.rstrip("/").replace("127.0.0.1", name)
        with connect(page.replace("http", "ws") + "live", origin=Origin(origin)) as socket:
            assert json.loads(socket.recv())["kind"] == "hello"


def test_frames_from_a_page_that_mean_nothing_end_nothing(page: str) -> None:
    """Text that is no JSON, deep nesting, binary: an error frame each, and the same connection goes on."""
    with Viewing(page) as viewing:
        for nonsense in ("hello", "[" * 50_000, b"\x90\x45\x40", b"", "{}", '{"kind": "clock", "sent": NaN}'):
            viewing.socket.send(nonsense)
        viewing.socket.send('{"kind": "clock", "sent": 1}')
        viewing.wait_for_kind("clock")
        assert len(viewing.of("error")) == 6


def test_an_endless_frame_ends_its_own_connection_only(page: str) -> None:
    """More than 64 KiB is cut off with WebSocket code 1009, message too big (RFC 6455, section 7.4.1)."""
    with Viewing(page) as other, connect(page.replace("http", "ws") + "live") as socket:
        socket.send("x" * 70_000)
        with pytest.raises(ConnectionClosed) as caught:
            list(iter(socket.recv, None))
        assert caught.value.rcvd is not None
        assert caught.value.rcvd.code == 1009
        other.socket.send('{"kind": "clock", "sent": 1}')
        other.wait_for_kind("clock")


def test_a_page_that_stops_reading_does_not_hold_up_the_others(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A socket that is never read from loses passing frames only; another viewer gets every single one meanwhile.

    Then it reads again: every verdict is there, and a resync says that notes were lost.
    """
    monkeypatch.setattr(hub, "BURST", 100_000)  # for this once no flood, however fast the notes are pressed
    source = HandSource()
    with served(tmp_path, [source]) as (page, daemon), Viewing(page, json.loads) as quick:
        live = page.replace("http", "ws") + "live"
        with connect(live, sock=slow_socket(page), max_queue=1, close_timeout=0.1) as slow:
            wait_until(lambda: len(daemon.hub) == 2)
            ask(page, "POST", "api/practice", {**GRIP, "click_bpm": 300}).raise_for_status()
            beat0_ns = quick.wait_for_kind("grid")["practice"]["grid"]["beat0_ns"]
            stamps = [beat0_ns + number * 5 * NS_PER_MS for number in range(3200)]
            for number, at_ns in enumerate(stamps):
                source.press(Note.B if number % 2 else Note.LOW_A, at_ns)
                if number % 50 == 49:
                    quick.wait_for(lambda frame, at_ns=at_ns: frame.get("at_ns") == at_ns, -200)  # type: ignore[misc]
            last = quick.of("rep")[-1]["rep"]
            assert last > 30
            texts: list[Any] = []
            while not texts or texts[-1]["kind"] != "rep" or texts[-1]["rep"] != last:
                texts.append(json.loads(slow.recv(timeout=30)))
        assert [frame["at_ns"] for frame in quick.of("note")] == stamps
        assert quick.of("resync") == []
        assert [frame["rep"] for frame in texts if frame["kind"] == "rep" and frame["final"]] == list(range(last + 1))
        assert sum(frame["lost"] for frame in texts if frame["kind"] == "resync") > QUEUE_FRAMES


def test_a_page_that_never_reads_is_let_go(tmp_path: Path) -> None:
    """Beyond the limit it is no viewer any longer, though its socket is open and full; the daemon ends as usual."""
    source = HandSource()
    with served(tmp_path, [source]) as (page, daemon):
        live = page.replace("http", "ws") + "live"
        with connect(live, sock=slow_socket(page), max_queue=1, close_timeout=0.1):
            wait_until(lambda: len(daemon.hub) == 1)
            sent = 0
            while len(daemon.hub) == 1:
                assert sent < 20 * LET_GO_FRAMES, "it is still sent to"
                sent += QUEUE_FRAMES
                for number in range(QUEUE_FRAMES):
                    source.status("ready", f"{sent} {number}")
                last = f"{sent} {QUEUE_FRAMES - 1}"
                wait_until(lambda last=last: daemon.seats["1"].shown()["chanter"]["said"] == last)  # type: ignore[misc]
            assert sent > LET_GO_FRAMES


def test_a_browser_that_vanishes_is_forgotten(tmp_path: Path) -> None:
    """A connection that is cut without a farewell leaves no viewer behind."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        with Viewing(page) as viewing:
            viewing.wait_for_kind("hello")
            viewing.socket.socket.shutdown(2)
        wait_until(lambda: len(daemon.hub) == 0)


def test_every_route_is_described(page: str) -> None:
    """Each operation has a summary in words, and a refusal is described as what it is: {"said": text}."""
    described = ask(page, "GET", "openapi.json").json()
    operations = {
        f"{method} {path}": route for path, methods in described["paths"].items() for method, route in methods.items()
    }
    asked = re.findall(r'ask\("(\w+)", ["`](api/[^"`?]+)', (bundled("web") / "core/api.js").read_text(encoding="utf-8"))
    assert len(asked) > 10
    nameless = {re.sub(r"\{\w+\}", "{}", name) for name in operations}
    assert nameless >= {re.sub(r"\$\{[^}]+\}", "{}", f"{method.lower()} /{path}") for method, path in asked}
    assert set(operations) >= {"get /api/state", "get /frames.schema.json"}
    assert operations["post /api/practice"]["summary"] == "Start a run after a count-in"
    for name, route in operations.items():
        assert " " in route["summary"], name
        refusal = route["responses"]["422"]["content"]["application/json"]["schema"]
        assert refusal == {"$ref": "#/components/schemas/Said"}, name
    assert set(described["components"]["schemas"]["Said"]["properties"]) == {"said", "mistakes"}
    assert "HTTPValidationError" not in described["components"]["schemas"]
    assert "/live" in described["info"]["description"]


def test_answers_are_as_described(page: str) -> None:
    """The state, the drills and a started run fit the schemas that openapi.json gives for them."""
    described = ask(page, "GET", "openapi.json").json()
    for method, path, body in (
        ("get", "api/state", None), ("get", "api/drills", None), ("get", "api/inputs", None),
        ("post", "api/practice", GRIP), ("delete", "api/practice", None),
        ("post", "api/learning", {}), ("delete", "api/learning", None),
    ):  # fmt: skip
        schema = described["paths"][f"/{path}"][method]["responses"]["200"]["content"]["application/json"]["schema"]
        whole = {**schema, "components": described["components"]}
        jsonschema.Draft202012Validator(whole).validate(ask(page, method.upper(), path, body).json())


def test_two_simulated_players_are_kept_apart(two: str) -> None:
    """Both practise at once; each frame is about the drill of the player it names, and a request must name one."""
    answer = ask(two, "POST", "api/practice", GRIP)
    assert (answer.status_code, "'1' or '2'" in answer.json()["said"]) == (422, True)
    with Viewing(two) as viewing:
        for seat, drill in (("1", "grip from B to C"), ("2", "birl from E")):
            ask(two, "POST", "api/practice", {"drill": drill, "click_bpm": 240, "seat": seat}).raise_for_status()
        leads = {"1": "B", "2": "E"}
        for seat in leads:
            viewing.wait_for_kind("rep", seat=seat)
        for frame in viewing.of("rep"):
            assert frame["lead"]["note"] == leads[frame["seat"]]
        ask(two, "DELETE", "api/practice?seat=1").raise_for_status()
        state = ask(two, "GET", "api/state").json()
        assert [player["practice"] is None for player in state["seats"]] == [True, False]
        ask(two, "DELETE", "api/practice?seat=2").raise_for_status()


def test_the_simulated_player_teaches_and_calibrates_itself(tmp_path: Path) -> None:
    """The demo plays the scale, and answers the clicks, on request."""
    with served(tmp_path, [DemoSource()]) as (page, _), Viewing(page) as viewing:
        ask(page, "POST", "api/learning", {}).raise_for_status()
        viewing.wait_for(lambda frame: frame["kind"] == "learning" and frame["learning"]["state"] == "done")
        state = ask(page, "GET", "api/state").json()
        assert state["seats"][0]["chanter"]["profile"] == "demo (learned)"
        ask(page, "POST", "api/calibration", {}).raise_for_status()
        viewing.wait_for(lambda frame: frame["kind"] == "calibration" and frame["calibration"]["heard"] >= 2)
        ask(page, "DELETE", "api/calibration").raise_for_status()
