"""A stand-in for the daemon: it serves ``web/``, speaks the frames, and says what a test or a scripted run tells it to.

It shares nothing with the daemon but the shapes of the frames, each of which it checks against their JSON Schema before
it is sent. To look at the page by hand: ``python -m tests.browser.stand_in --port 8766``.
"""

import argparse
import asyncio
import json
import socket
import threading
import time
from collections.abc import Awaitable, Callable, Mapping
from typing import Any

import jsonschema
import uvicorn
from fastapi import FastAPI, Request, Response, WebSocket, WebSocketDisconnect
from fastapi.responses import JSONResponse
from starlette.types import ASGIApp

from chanterd.serving.status import Status
from chanterd.serving.wire.frames import frames_schema
from chanterd.serving.wire.shapes import PlanShown, SeatShown, StateShown
from tests.browser import planning, scene
from tests.browser.bookshelf import add_bookshelf
from tests.browser.files import WithHeaders, files
from tests.browser.past_runs import PastRuns, add_past_runs
from tests.browser.practised import Practised, add_practised
from tests.browser.proposing import Proposing, add_proposing
from tests.browser.tune_shelf import TuneShelf, add_tune_shelf
from tests.quick_server import QuickServer

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self' ws:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
WAIT_S = 10.0
PATIENCE_S = 30.0
"""How long to wait for what must come; only a failing test waits so long."""
VALIDATOR = jsonschema.Draft202012Validator(frames_schema())


class StandIn:
    """One stand-in on one port; it can be stopped and started again there, as a daemon that went away."""

    def __init__(self, port: int = 0) -> None:
        self.port = port
        self.state: StateShown = scene.state([scene.seat()])
        self.refusal: str | None = None
        self.messages = 0
        """What the status says; one more each time the page fetches it."""
        self.asked: list[tuple[str, str, Any]] = []
        self.viewers: set[WebSocket] = set()
        self.mute_clock = False
        self.practised_days = 365
        """How long the simulated practice goes back that the progress view tells of."""
        self._practised: Practised | None = None
        self.proposing = Proposing()
        self._past_runs: PastRuns | None = None
        self._tunes: TuneShelf | None = None
        self.on_practice: Callable[[Mapping[str, Any] | None], Awaitable[None]] | None = None
        self._server: QuickServer | None = None

    @property
    def address(self) -> str:
        """Where the page is."""
        return f"http://127.0.0.1:{self.port}/"

    @property
    def past_runs(self) -> PastRuns:
        """The history of runs, made when it is first asked for."""
        if self._past_runs is None:
            self._past_runs = PastRuns()
        return self._past_runs

    @property
    def tunes(self) -> TuneShelf:
        """The tunes, put on their shelf when it is first looked at."""
        if self._tunes is None:
            self._tunes = TuneShelf()
        return self._tunes

    @property
    def practised(self) -> Practised:
        """The simulated practice, made when it is first asked for."""
        if self._practised is None:
            self._practised = Practised(self.practised_days)
        return self._practised

    @property
    def running(self) -> bool:
        """Whether it can be reached."""
        return self._server is not None

    @property
    def one(self) -> SeatShown:
        """The first seat of the state, to be changed before the page is opened."""
        return self.state["seats"][0]

    def start(self) -> None:
        """Serve, from a thread of its own; returns when the page can be fetched."""
        # asyncio lets small answers go at once only on a socket that says it is TCP; otherwise a file takes 40 ms.
        listener = socket.socket(proto=socket.IPPROTO_TCP)
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        self.port = listener.getsockname()[1]
        config = uvicorn.Config(self._app(), log_level="error", ws="websockets-sansio", timeout_graceful_shutdown=1)
        self._server = QuickServer(config)
        self._server.begin(listener)

    def stop(self) -> None:
        """Go away, and cut every viewer off."""
        if self._server:
            self._server.end()
            self._server = None
        if self._practised is not None:
            self._practised.close()
            self._practised = None
        if self._past_runs is not None:
            self._past_runs.close()
            self._past_runs = None
        if self._tunes is not None:
            self._tunes.close()
            self._tunes = None

    def send(self, frame: Mapping[str, Any]) -> None:
        """Send a frame to every viewer; it must be one of the daemon's."""
        VALIDATOR.validate(json.loads(json.dumps(frame)))
        self.send_text(json.dumps(frame))

    def send_text(self, text: str) -> None:
        """Send any text, to see what the page makes of it."""
        assert self._server
        asyncio.run_coroutine_threadsafe(self.broadcast(text), self._server.loop).result(WAIT_S)

    async def broadcast(self, text: str) -> None:
        """Send a text to every viewer, from the stand-in's own loop."""
        for viewer in list(self.viewers):
            await viewer.send_text(text)

    def _app(self) -> ASGIApp:
        app = FastAPI()

        @app.get("/frames.schema.json")
        def schema() -> dict[str, Any]:
            return frames_schema()

        @app.get("/api/state")
        def state() -> StateShown:
            return self.state

        @app.get("/api/drills")
        def drills() -> list[dict[str, Any]]:
            return [self._row(one) for one in scene.DRILLS]

        @app.get("/api/inputs")
        def inputs() -> dict[str, Any]:
            choices = [
                {"name": "Kitchen chanter", "said": "MIDI port 1"},
                {"name": "demo", "said": "the simulated player"},
            ]
            return {"inputs": choices, "said": "Plug your chanter in and look again if it is not listed."}

        @app.get("/api/status")
        def status() -> Status:
            self.messages += 1
            return scene.status(self.messages)

        @app.get("/api/plans")
        def plans() -> list[PlanShown]:
            return [planning.PLAN]

        add_practised(app, lambda: self.practised)
        add_proposing(app, self.proposing, self.asked)
        add_past_runs(app, lambda: self.past_runs)
        add_bookshelf(app, self.asked, lambda: self.refusal)
        add_tune_shelf(app, lambda: self.tunes)

        @app.api_route("/api/{what:path}", methods=["POST", "DELETE"])
        async def ask(what: str, request: Request) -> Response:
            body = await request.json() if request.method == "POST" and await request.body() else None
            self.asked.append((request.method, what, body))
            if self.refusal:
                return JSONResponse({"said": self.refusal}, status_code=400)
            if what == "practice" and self.on_practice:
                await self.on_practice(body)
            return JSONResponse({})

        @app.websocket("/live")
        async def live(viewer: WebSocket) -> None:
            await viewer.accept()
            self.viewers.add(viewer)
            now_ns = time.perf_counter_ns()
            await viewer.send_text(json.dumps({"kind": "hello", "clock_ns": now_ns, "state": self.state}))
            try:
                while True:
                    await self._answer(viewer, json.loads(await viewer.receive_text()))
            except WebSocketDisconnect:
                pass
            finally:
                self.viewers.discard(viewer)

        app.mount("/", files)
        return WithHeaders(app, {"content-security-policy": POLICY, "cache-control": "no-store"})

    async def _answer(self, viewer: WebSocket, told: Mapping[str, Any]) -> None:
        received_ns = time.perf_counter_ns()
        if self.mute_clock:
            return
        frame = {"kind": "clock", "sent": told["sent"], "received_ns": received_ns}
        await viewer.send_text(json.dumps({**frame, "replied_ns": time.perf_counter_ns()}))

    @staticmethod
    def _row(drill: scene.Drill) -> dict[str, Any]:
        notes = [note for note, _ in drill.steps]
        stages = (
            [f"{drill.words}, stage 1", f"{drill.words}, stage 2", drill.words] if drill.ornament == "taorluath" else []
        )
        row = {"drill": drill.words, "ornament": drill.ornament, "lead": drill.lead, "theme": drill.theme}
        return {**row, "steps": [*notes, drill.theme], "stages": stages}


class Script:
    """A scripted simulated run: on request it plays the drill again and again, with a mishap now and then."""

    def __init__(self, stand_in: StandIn) -> None:
        self.stand_in = stand_in
        self.task: asyncio.Task[None] | None = None

    async def ask(self, body: Mapping[str, Any] | None) -> None:
        """Start a run (a body) or stop it (None)."""
        if self.task:
            self.task.cancel()
            self.task = None
        if body is None:
            self.stand_in.one["practice"] = None
            await self._tell({"kind": "grid", "practice": None})
            return
        drill = scene.drill_named(body["drill"].split(",")[0]) or scene.DRILLS[0]
        self.task = asyncio.create_task(self._run(drill, float(body["click_bpm"])))

    async def _tell(self, frame: Mapping[str, Any]) -> None:
        await self.stand_in.broadcast(json.dumps({**frame, "seat": "one"}))

    async def _run(self, drill: scene.Drill, click_bpm: float) -> None:
        wanted = scene.asked(drill, click_bpm)
        beat0_ns = time.perf_counter_ns() + int(4.5 * 60e9 / click_bpm)
        running = scene.practice(wanted, [], click_bpm, beat0_ns)
        self.stand_in.one["practice"] = running
        await self._tell({"kind": "grid", "practice": running})
        reps = scene.dozen(wanted, click_bpm)
        for index in range(1000):
            await self._rep(self._shifted(reps[index % 12], index, click_bpm), beat0_ns, running)

    @staticmethod
    def _shifted(one: Mapping[str, Any], index: int, click_bpm: float) -> dict[str, Any]:
        by_ms = (index - one["rep"]) * 120_000.0 / click_bpm
        moved = json.loads(json.dumps({**one, "rep": index}))
        for part in [moved["lead"], *moved["steps"], *moved["extras"]]:
            for field in ("expected_ms", "onset_ms"):
                if part.get(field) is not None:
                    part[field] += by_ms
        return dict(moved)

    async def _rep(self, one: dict[str, Any], beat0_ns: int, running: Any) -> None:
        lead = {"step": -1, "kind": "lead", **one["lead"]}
        for part in [lead, *one["steps"]]:
            if part["onset_ms"] is None:
                continue
            at_ns = beat0_ns + int(part["onset_ms"] * 1e6)
            await asyncio.sleep(max(0.0, (at_ns - time.perf_counter_ns()) / 1e9))
            note = part.get("played_note", part["note"])
            await self._tell({"kind": "note", "note": note, "at_ns": at_ns, "onset_ms": part["onset_ms"]})
            stamps = {"heard_ns": at_ns, "sent_ns": time.perf_counter_ns()}
            step = {**part, "step_kind": part["kind"], "length_ms": None, "kind": "step"}
            await self._tell({**step, "rep": one["rep"], "final": False, **stamps})
        end_ns = beat0_ns + int((one["steps"][-1]["expected_ms"] + 0.9 * one["steps"][-1]["length_ms"]) * 1e6)
        await asyncio.sleep(max(0.0, (end_ns - time.perf_counter_ns()) / 1e9))
        running["played"] += 1
        running["clean"] += one["clean"]
        running["in_a_row"] = running["in_a_row"] + 1 if one["clean"] else 0
        if one["clean"]:
            one["said"] = f"Clean. {running['in_a_row']} in a row."
        running["reps"] = [*running["reps"], one][-12:]
        counts = {
            "final": True,
            "in_a_row": running["in_a_row"],
            "clean_count": running["clean"],
            "played_count": running["played"],
        }
        stamps = {"heard_ns": end_ns, "sent_ns": time.perf_counter_ns()}
        await self._tell({**one, "kind": "rep", **counts, **stamps})


def main() -> None:
    """Serve the page with the scripted run until interrupted."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--port", type=int, default=8766)
    stand_in = StandIn(parser.parse_args().port)
    stand_in.on_practice = Script(stand_in).ask
    stand_in.start()
    print(stand_in.address)  # noqa: T201 - this is what a person who starts it wants to know
    try:
        threading.Event().wait()
    finally:
        stand_in.stop()


if __name__ == "__main__":
    main()


def eventually(stand_in: StandIn, asked: Callable[[list[tuple[str, str, Any]]], bool]) -> None:
    """Wait until the daemon was asked so: a key is pressed before its request has come."""
    until = time.monotonic() + PATIENCE_S
    while not asked(stand_in.asked) and time.monotonic() < until:
        time.sleep(0.02)
    assert asked(stand_in.asked), stand_in.asked
