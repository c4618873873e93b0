"""The daemon as a program: its port, its address, live and replayed takes alike, bad starts, and how it ends."""

import asyncio
import contextlib
import errno
import json
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import psutil
import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.habits import Habits
from chanterd.hearing.simulated import perform
from chanterd.hearing.take import write_take
from chanterd.judging.standard import read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import make_run
from chanterd.serving.seats.cue import cue_for
from chanterd.serving.server import ADDRESS, bind
from tests.serving.running_daemon import Program, Viewing, ask, slow_socket, wait_until

LINE = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d [^\n]+\.$")
"""A line of the log: when, and a sentence."""

FAULTY = Habits(
    bias_ms=12.0, beat_sd_ms=15.0, step_sd_ms=6.0, crushed=0.4, missing=0.3, wrong=0.3, wind_up=0.15, skipped=0.15,
    crossing=0.3, bounce=0.3, overlap=0.5,
)  # fmt: skip
"""A simulated player with every fault there is, and often."""
DRILL = "taorluath from C to low A"
BPM = 200.0
REPS = 16


def chanterd(*words: str) -> "subprocess.CompletedProcess[str]":
    """The program, run to its end."""
    command = [sys.executable, "-m", "chanterd.commands.main", *words]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)


@pytest.fixture(scope="module")
def take(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A simulated take with faults of all kinds; the seed is chosen so that each kind does occur."""
    path = tmp_path_factory.mktemp("takes") / "take.mid"
    drill, standard = drill_from_words(DRILL), read_standards()["steady"]
    cue = cue_for(make_run(Exercise(drill, Bpm(BPM), standard), Ns(0)))
    messages, truth = perform(cue, REPS, 5, FAULTY)
    write_take(path, messages, BPM)
    assert {played.extra for one in truth for played in one.onsets} == {None, "crossing noise", "bounce"}
    assert any(not one.onsets for one in truth)
    return path


def test_a_take_is_judged_alike_live_and_from_the_file(take: Path, tmp_path: Path) -> None:
    """The rep frames of a take that is played in real time equal, field by field, what 'assess' prints."""
    words = ["--drill", DRILL, "--click", str(BPM), "--data", str(tmp_path), "--json"]
    assessed = json.loads(chanterd("assess", str(take), *words).stdout)["reps"]
    with (
        Program(["--input", str(take), "--port", "0", "--data", str(tmp_path)]) as daemon,
        Viewing(daemon.page) as viewing,
    ):
        ask(daemon.page, "POST", "api/practice", {"drill": DRILL, "click_bpm": BPM}).raise_for_status()
        viewing.wait_for(lambda frame: frame["kind"] == "chanter" and frame["chanter"]["state"] == "ended")
        own = {"kind", "seat", "final", "in_a_row", "clean_count", "played_count", "heard_ns", "sent_ns"}
        live = [{name: rep[name] for name in rep if name not in own} for rep in viewing.of("rep")]
        ended = ask(daemon.page, "GET", "api/state").json()["seats"][0]
    assert live == assessed
    assert len(live) >= REPS - 1
    states = {step["state"] for rep in live for step in rep["steps"]}
    assert states >= {"played", "wrong note", "missing"}
    assert {extra["extra"] for rep in live for extra in rep["extras"]} >= {"crossing noise", "bounce"}
    assert "crushed" in {fault["fault"] for rep in live for fault in rep["faults"]}
    assert (ended["practice"], ended["chanter"]["state"]) == (None, "ended")


def test_a_take_can_be_heard_again(take: Path, tmp_path: Path) -> None:
    """Starting again plays it from its beginning, with the same verdict on the first rep."""
    with (
        Program(["--input", str(take), "--port", "0", "--data", str(tmp_path)]) as daemon,
        Viewing(daemon.page) as viewing,
    ):
        verdicts = []
        for _ in range(2):
            before = len(viewing.frames)
            ask(daemon.page, "POST", "api/practice", {"drill": DRILL, "click_bpm": BPM}).raise_for_status()
            rep = viewing.wait_for_kind("rep", before)
            verdicts.append((rep["rep"], rep["said"], rep["steps"], rep["played_count"]))
        assert verdicts[0] == verdicts[1]


@pytest.fixture(autouse=True)
def not_under_nohup() -> Iterator[None]:
    """A program inherits what its starter ignores: tests that were started with nohup would hang up in vain."""
    before = signal.signal(signal.SIGHUP, signal.SIG_DFL)
    yield
    signal.signal(signal.SIGHUP, before)


ENDS = {signal.SIGINT: 130, signal.SIGTERM: -signal.SIGTERM, signal.SIGHUP: -signal.SIGHUP}
"""The exit code by the first signal: Ctrl-C's as shells report it, 128 + its number (POSIX), else the signal's own."""


@pytest.mark.parametrize(
    "ways",
    [
        [signal.SIGINT],
        [signal.SIGTERM],
        [signal.SIGHUP],
        [signal.SIGINT, signal.SIGINT],
        [signal.SIGINT] * 200,  # until it has ended, whatever it is doing meanwhile
        [signal.SIGTERM, signal.SIGINT, signal.SIGINT],
        [signal.SIGHUP, signal.SIGTERM, signal.SIGHUP],
    ],
)
def test_it_ends_quietly_while_a_page_watches_a_run(ways: list[signal.Signals], tmp_path: Path) -> None:
    """The first signal counts, however many follow. No traceback, only the log; the run has its end in the history."""
    with (
        Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon,
        Viewing(daemon.page) as viewing,
    ):
        ask(daemon.page, "POST", "api/practice", {"drill": DRILL, "click_bpm": BPM}).raise_for_status()
        viewing.wait_for(lambda frame: frame["kind"] == "rep" and not frame["skipped"])
        for way in ways:
            daemon.process.send_signal(way)
            time.sleep(0.01)  # two signals of one kind at once would be one
        code = daemon.process.wait(30)
        said = daemon.stderr
    assert code == ENDS[ways[0]]
    assert [line for line in said.splitlines() if not LINE.match(line)] == []
    assert viewing.closed
    with sqlite3.connect(tmp_path / "history.db") as history:
        assert history.execute("SELECT why FROM runs").fetchall() == [("chanterd was stopped",)]
    history.close()


def test_a_terminal_that_goes_away_does_not_end_what_was_started_with_nohup(tmp_path: Path) -> None:
    """SIGHUP that was ignored from the start stays ignored (POSIX, nohup)."""
    before = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
            daemon.process.send_signal(signal.SIGHUP)
            assert ask(daemon.page, "GET", "api/state").status_code == 200
            assert daemon.interrupt() == 130
    finally:
        signal.signal(signal.SIGHUP, before)


@pytest.mark.parametrize("way", [signal.SIGINT, signal.SIGHUP])
def test_viewers_that_do_not_read_hold_up_no_end(way: signal.Signals, tmp_path: Path) -> None:
    """Three of them, whose buffers are full: the log has sentences only."""
    with (
        Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon,
        contextlib.ExitStack() as open_,
    ):
        for _ in range(3):
            slow = open_.enter_context(contextlib.closing(slow_socket(daemon.page)))
            host = daemon.page.removeprefix("http://").rstrip("/")
            slow.sendall(
                f"GET /live HTTP/1.1\r\nHost: {host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                "Sec-WebSocket-Key: MDAwMDAwMDAwMDAwMDAwMA==\r\nSec-WebSocket-Version: 13\r\n\r\n".encode()
            )
        for number in range(60):
            ask(daemon.page, "POST", "api/players/1", {"name": f"Ailsa {number}"}).raise_for_status()
        daemon.process.send_signal(way)
        assert daemon.process.wait(30) == ENDS[way]
        assert [line for line in daemon.stderr.splitlines() if not LINE.match(line)] == []


@pytest.mark.parametrize("path", ["api/sheet", "api/sheet/progress"])
def test_an_end_in_the_midst_of_a_sheet_is_quiet(path: str, tmp_path: Path) -> None:
    """The sheet is cancelled; no traceback, and no process stays."""
    with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
        asking = threading.Thread(target=hung_up, args=(daemon.page, path))
        asking.start()
        parent = psutil.Process(daemon.process.pid)
        wait_until(lambda: len(parent.children(recursive=True)) > 1)
        started = parent.children(recursive=True)
        assert daemon.interrupt() == 130
        asking.join()
        assert [line for line in daemon.stderr.splitlines() if not LINE.match(line)] == []
        assert psutil.wait_procs(started, timeout=20)[1] == []


def workers(daemon: Program) -> list[psutil.Process]:
    """The processes that engrave for it, once they have started."""
    parent = psutil.Process(daemon.process.pid)
    wait_until(lambda: any("spawn_main" in " ".join(one.cmdline()) for one in parent.children()))
    return parent.children(recursive=True)


@pytest.mark.parametrize("way", [signal.SIGKILL, signal.SIGABRT, signal.SIGHUP])
@pytest.mark.parametrize("busy", [False, True])
def test_no_process_stays_when_the_daemon_is_gone(way: signal.Signals, tmp_path: Path, *, busy: bool) -> None:
    """Whether it engraves at that moment or waits for work."""
    with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
        asking = threading.Thread(target=hung_up, args=(daemon.page, "api/sheet"))
        if busy:
            asking.start()
        else:
            ask(daemon.page, "GET", "api/staff", params={"drill": DRILL}).raise_for_status()
        started = workers(daemon)
        daemon.process.send_signal(way)
        daemon.process.wait(30)
        assert psutil.wait_procs(started, timeout=20)[1] == []
        if busy:
            asking.join()


@pytest.mark.parametrize("path", ["api/sheet", "api/sheet/progress"])
def test_hanging_up_on_a_sheet_stops_its_process(path: str, tmp_path: Path) -> None:
    """Nobody will fetch it; the next sheet is made."""
    with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
        body = json.dumps({"drills": ["grip", "doubling", "taorluath", "throw"], "stages": True}).encode()
        url = httpx.URL(daemon.page)
        with socket.create_connection((url.host, url.port or 80)) as bare:
            bare.sendall(
                f"POST /{path} HTTP/1.1\r\nHost: {url.netloc.decode()}\r\nContent-Type: application/json\r\n"
                f"Content-Length: {len(body)}\r\n\r\n".encode()
                + body
            )
            started = [one for one in workers(daemon) if "spawn_main" in " ".join(one.cmdline())]
        assert psutil.wait_procs(started, timeout=20)[1] == []
        assert ask(daemon.page, "POST", "api/sheet", {"drills": [DRILL]}).content.startswith(b"%PDF")


def hung_up(page: str, path: str) -> None:
    """Ask for a sheet of many pages, and be cut off."""
    with contextlib.suppress(httpx.TransportError):
        ask(page, "POST", path, {"drills": ["grip", "doubling", "taorluath", "throw"], "stages": True})


@pytest.mark.parametrize("before", ["nothing", "readable by all"])
def test_only_its_owner_can_read_what_the_daemon_writes(before: str, tmp_path: Path) -> None:
    """The folder and every file, made now or by a chanterd that did not see to it."""
    data = tmp_path / "data"
    if before != "nothing":
        data.mkdir(mode=0o755)
        for name in ("history.db", "inputs.json", "seats.json"):
            (data / name).write_text("{}" if name.endswith("json") else "")
            (data / name).chmod(0o644)
    with Program(["--input", "demo", "--port", "0", "--data", str(data)]) as daemon:
        ask(daemon.page, "POST", "api/players", {"name": "Ailsa"}).raise_for_status()
        ask(daemon.page, "POST", "api/seat", {"player": 2}).raise_for_status()
        ask(daemon.page, "POST", "api/chanter", {"profile": "written pitch"})
        found = [data, *data.rglob("*")]
    assert {path.name for path in found} >= {"history.db", "seats.json"}
    assert [path for path in found if path.exists() and path.stat().st_mode & 0o077] == []


def test_a_folder_that_holds_other_things_keeps_its_rights(tmp_path: Path) -> None:
    """Such as a home: only the daemon's own files in it are for their owner alone."""
    (tmp_path / "letters").mkdir()
    tmp_path.chmod(0o755)
    with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]):
        assert tmp_path.stat().st_mode & 0o777 == 0o755
        assert (tmp_path / "history.db").stat().st_mode & 0o077 == 0


def test_it_prints_where_its_page_is(tmp_path: Path) -> None:
    """Port 0 takes a free one; the address that is printed answers with the page, on this machine only."""
    with Program(["--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
        answer = ask(daemon.page, "GET", "")
        assert "<!doctype html>" in answer.text.lower()
        assert daemon.page.startswith(f"http://{ADDRESS}:")
        daemon.wait_for("space bar")
        # The usual cautions are where playing begins.
        daemon.wait_for("stop if it hurts")


COUNT = """
import gc, sys
from collections.abc import Iterator
from pathlib import Path
from chanterd.serving.server import serve
def begin(_, leave):
    print(gc.get_freeze_count(), len(gc.get_objects()))
    leave()
serve([], Path(sys.argv[1]), 0, lambda _: None, open_page=False, begin=begin)
"""


def test_objects_made_at_start_are_not_collected_while_notes_arrive(tmp_path: Path) -> None:
    """The garbage collector leaves out nearly all that there is when the page can be reached."""
    command = [sys.executable, "-c", COUNT, str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    spared, left = map(int, done.stdout.split())
    assert left < spared / 20


def test_a_taken_port_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """It names the port and the mend; exit code 2."""
    with bind(0) as taken:
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(ChanterdError, match=f"chanterd cannot use port {port}: it is taken"):
            bind(port)
        ended = chanterd("serve", "--input", "demo", "--no-open", "--port", str(port), "--data", str(tmp_path))
    assert ended.returncode == 2
    assert f"chanterd cannot use port {port}: it is taken. Is chanterd running already?" in ended.stderr
    assert "Traceback" not in ended.stderr
    assert not (tmp_path / "history.db").exists(), "the data of the daemon that runs already was touched"


def test_no_frame_is_held_back_by_the_system() -> None:
    """Small frames go out at once, also where Python's own event loop serves (uvloop is not on every system)."""

    async def held_back() -> bool:
        shown = asyncio.get_running_loop().create_future()
        server = await asyncio.start_server(lambda _, writer: shown.set_result(writer), sock=bind(0))
        async with server:
            _, client = await asyncio.open_connection(*server.sockets[0].getsockname())
            held = (await shown).get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY) == 0
            (await shown).close()
            client.close()
            await client.wait_closed()
        return bool(held)

    assert not asyncio.run(held_back())


def test_a_port_that_is_not_allowed_is_reported_in_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """The system's own reason is in it."""

    def refuse(*_: Any) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(socket.socket, "bind", refuse)
    with pytest.raises(ChanterdError, match=r"chanterd cannot use port 80: Permission denied"):
        bind(80)


def test_broken_tables_are_reported_at_the_start(tmp_path: Path) -> None:
    """All mistakes in the user's standards and chanters at once, a line each; exit code 2, and nothing is served."""
    for name, text in (
        ("standards", 'name = "mine"\nsaid = 5\n[beat]\nwithin_ms = "wide"\n'),
        ("chanters", "name = 5\n"),
    ):
        (tmp_path / name).mkdir()
        (tmp_path / name / "mine.toml").write_text(text)
    ended = chanterd("serve", "--input", "demo", "--no-open", "--port", "0", "--data", str(tmp_path))
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "Traceback" not in ended.stderr
    for part in ("'said' is 5", "'within_ms' is 'wide'", "'name' is 5", "a table [notes]"):
        assert part in ended.stderr


PLAYING = """
import http.client, json, os, sys, threading, time
opened, playing, port = [], threading.Event(), int(sys.argv[1])
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if playing.is_set() and event == "import" else None)
def ask(method, path, body=None):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    connection.request(method, path, body and json.dumps(body), {"Content-Type": "application/json"})
    return json.loads(connection.getresponse().read())
def drive():
    while True:
        try:
            ask("GET", "/api/state")
            break
        except OSError:
            time.sleep(0.1)
    time.sleep(3)
    playing.set()
    ask("POST", "/api/practice", {"drill": "grip from B to C", "click_bpm": 200})
    time.sleep(6)
    ask("DELETE", "/api/practice")
    playing.clear()
    print(json.dumps(sorted(set(opened))), flush=True)
    os._exit(0)
threading.Thread(target=drive, daemon=True).start()
from chanterd.commands.main import main
sys.argv = ["chanterd", "serve", "--input", "demo", "--no-open", "--port", str(port), "--data", sys.argv[2]]
main()
"""


def test_nothing_is_imported_while_somebody_plays(tmp_path: Path) -> None:
    """With few descriptors left a module could not be opened, and would end the run: all are loaded before."""
    with socket.create_server((ADDRESS, 0)) as free:
        port = free.getsockname()[1]
    command = [sys.executable, "-c", PLAYING, str(port), str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert done.stdout.splitlines()[-1:] == ["[]"], done.stdout + done.stderr
