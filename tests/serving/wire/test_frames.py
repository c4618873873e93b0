"""The JSON Schema of the frames: what it accepts and what it refuses."""

import json
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest

from chanterd.config import bundled
from chanterd.hearing.ports import PortName
from chanterd.music.heard import Onset
from chanterd.music.note import Note
from chanterd.music.tunes.read import read_tunes
from chanterd.music.units import Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.rule import OFFERED, as_json
from chanterd.practice.passage.asked import TuneWords
from chanterd.serving.wire.connection import answer
from chanterd.serving.wire.frames import frames_schema
from tests.listening.played_notes import heard_notes
from tests.serving.played_seat import VALIDATOR, HandSource, Sitting, at_tempo, rep_line

KINDS = {"hello", "clock", "grid", "ladder", "session", "note", "step", "rep", "chanter", "learning", "calibration"}
KINDS |= {"class", "sound", "seats", "offer", "resync", "error", "feedback", "history", "doubt", "band", "wall"}
KINDS |= {"tune", "cursor", "tune ornament", "tune feedback", "tune round", "ornament", "free", "segment"}
ELSEWHERE = {"band", "wall", "class", "sound", "seats", "offer", "tune", "cursor", "tune ornament"}
ELSEWHERE |= {"tune feedback", "tune round"}
ELSEWHERE |= {"ornament", "free"}
"""What only a class, other chanters, a tune or playing with nothing chosen send."""


@pytest.fixture(scope="module")
def one_of_each(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    """A frame of every kind, as the daemon sends them."""
    with Sitting(tmp_path_factory.mktemp("data"), [HandSource()]) as sitting:
        sitting.daemon.unasked.prepare()
        grip = heard_notes("B700 G60 d30 G60 c700 B700 G60 d30 G8 c700 e900 f500", sitting.now_ns / 1e6)
        sitting.play((one.note, one.at_ns) for one in grip if isinstance(one, Onset))
        sitting.until(sitting.now_ns + 1_000_000_000)
        sitting.practise("grip from B to C", 60, ladder=as_json(OFFERED))
        # With a wrong note and an extra one, so that the parts that may be left out are there too.
        line = rep_line(sitting.cue())
        line[2] = (Note.E, line[2][1])
        line.append((Note.HIGH_A, line[-1][1] + 500_000_000))
        sitting.play(line)
        sitting.seat.end()
        tune = read_tunes(bundled("configs") / "tunes" / "seven-gulls.abc")[0]
        sitting.daemon.play_tune(None, "seven-gulls", tune, TuneWords(116, 4, 9, feedback="after five"))
        sitting.perform(6.0)
        sitting.practise("grip from B to C", 60, click_off=True)
        sitting.play(at_tempo(sitting.cue(), 12, 1.3))
        sitting.practise("grip from B to C", 60, feedback="say first")
        sitting.daemon.begin_plan(None, sitting.daemon.tables.plans["quarry-hollow"])
        room = sitting.daemon.classroom
        room.begin(resolve(ExerciseWords("grip from B to C", 60), sitting.daemon.tables))
        sitting.play(rep_line(sitting.cue()))
        sitting.until(Ns(sitting.cue().beat0_ns + 2 * sitting.cue().rep_ns))
        wall = room.wall()
        sitting.seat.learn()
        sitting.seat.calibrate()
        sitting.seat.choose_profile("white keys")
        sitting.daemon.hub.renew()
        sitting.daemon.offer([PortName("ALSA", "Kitchen chanter 20:0")])
        sitting.run(sitting.daemon.room.add(HandSource("another")))
        sitting.daemon._show_history_trouble("The disk is full.")
        hello = {"kind": "hello", "clock_ns": 1, "state": sitting.daemon.state()}
        clock = answer('{"kind": "clock", "sent": 1.5}', 2, lambda: 3)
        said = json.dumps([hello, wall, clock, answer("?", 2, lambda: 3)])
        frames: list[Any] = [*sitting.frames, *json.loads(said)]
    return {frame["kind"]: frame for frame in frames}


def objects(part: Any) -> Iterator[dict[str, Any]]:
    """Every object inside a frame, itself first."""
    if isinstance(part, dict):
        yield part
        for inner in part.values():
            yield from objects(inner)
    if isinstance(part, list):
        for inner in part:
            yield from objects(inner)


def test_the_schema_is_one() -> None:
    """It is a valid schema of JSON Schema draft 2020-12, by the metaschema that draft publishes."""
    schema = frames_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


def test_it_knows_every_kind(one_of_each: dict[str, dict[str, Any]]) -> None:
    """Each kind that the daemon sends is let through, and there are no others."""
    assert set(one_of_each) == KINDS
    for frame in one_of_each.values():
        VALIDATOR.validate(frame)
    described = {
        definition["properties"]["kind"]["const"]
        for definition in frames_schema()["$defs"].values()
        if "const" in definition["properties"].get("kind", {})
    }
    assert described == KINDS


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_it_refuses_a_field_nobody_described(kind: str, one_of_each: dict[str, dict[str, Any]]) -> None:
    """An unknown field is refused in the frame itself and in every object inside it."""
    frame = one_of_each[kind]
    for part in list(objects(frame)):
        part["surprise"] = 1
        assert not VALIDATOR.is_valid(frame), part
        del part["surprise"]
    VALIDATOR.validate(frame)


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_it_refuses_a_frame_that_lacks_a_field(kind: str, one_of_each: dict[str, dict[str, Any]]) -> None:
    """Every field must be there, in the frame and in every object inside it, but for those sent only if they apply."""
    frame = one_of_each[kind]
    for part in list(objects(frame)):
        for field in set(part) - {"midi", "played_note", "continuation", "remarks"}:
            value = part.pop(field)
            assert not VALIDATOR.is_valid(frame), f"without {field} in {part}"
            part[field] = value
    VALIDATOR.validate(frame)


@pytest.mark.parametrize("kind", ["surprise", "", "Hello", None, 1, ["hello"]])
def test_it_refuses_an_unknown_kind(kind: Any, one_of_each: dict[str, dict[str, Any]]) -> None:
    """Whatever else the frame holds."""
    for frame in one_of_each.values():
        assert not VALIDATOR.is_valid({**frame, "kind": kind})


@pytest.mark.parametrize("text", ["text", True, None, []])
def test_it_refuses_what_is_no_number(text: Any, one_of_each: dict[str, dict[str, Any]]) -> None:
    """A stamp, a rep, an expected time are numbers."""
    for field in ("rep", "step", "heard_ns", "expected_ms"):
        assert not VALIDATOR.is_valid({**one_of_each["step"], field: text})
