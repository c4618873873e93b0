"""The page checks what the daemon sends by the daemon's own JSON Schema, and says in a sentence what is wrong."""

import copy
import json
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from chanterd.serving.wire.frames import frames_schema
from tests.browser import scene
from tests.browser.conftest import Inside

SCHEMA = frames_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)
CHECK = """(m, schema, frame) => {
  try { m.frameChecks(schema).frame(frame); return ''; }
  catch (error) { if (error instanceof m.FrameError) return error.message; throw error; }
}"""

ASKED = scene.asked(scene.DRILLS[0])
RUNNING = scene.practice(ASKED, scene.dozen(ASKED, 60))
HELLO = json.loads(json.dumps({"kind": "hello", "clock_ns": 0, "state": scene.state([scene.seat(RUNNING)])}))


def complaint(inside: Inside, frame: object, schema: Any = SCHEMA) -> str:
    """What the page says of a frame; empty if nothing is wrong with it."""
    return str(inside("core/frames.js", CHECK, schema, frame))


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to every value within a frame."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for key, one in inner for place in places(one, (*path, key)))]


def changed(frame: Any, path: tuple[Any, ...], value: Any) -> Any:
    """The frame with another value in one place."""
    frame = copy.deepcopy(frame)
    *before, last = path
    inner = frame
    for key in before:
        inner = inner[key]
    inner[last] = value
    return frame


def test_a_good_frame_passes(inside: Inside) -> None:
    """A whole state with a run of twelve reps."""
    assert complaint(inside, HELLO) == ""


@pytest.mark.parametrize(
    ("frame", "said"),
    [
        ([], "A frame is not an object."),
        ({"kind": "confetti"}, "A frame of kind 'confetti' is not known to this page."),
        ({"kind": "error"}, "The frame 'error' has no 'said'."),
        ({"kind": "error", "said": 5}, "The frame 'error'.said is 5; it must be a text."),
        ({"kind": "error", "said": "x", "loud": True}, "The frame 'error' has 'loud', which it must not."),
        (
            {"kind": "note", "seat": "1", "note": 3, "at_ns": 1, "onset_ms": None},
            "The frame 'note'.note is 3; it must be a text or null.",
        ),
        (
            {**HELLO, "state": {**scene.state([]), "tempo_range": [20.0]}},
            "The frame 'hello'.state.tempo_range has fewer than 2 entries.",
        ),
        (
            changed(HELLO, ("state", "seats", 0, "chanter", "state"), "asleep"),
            (
                "The frame 'hello'.state.seats[0].chanter.state is \"asleep\"; it must be one of "
                '"ready", "waiting", "gone", "no driver", "ended".'
            ),
        ),
    ],
)
def test_what_is_wrong_is_named(inside: Inside, frame: object, said: str) -> None:
    """The sentence names the field, what was found there, and what must be."""
    assert complaint(inside, frame) == said


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_the_page_refuses_what_the_schema_refuses(inside: Inside, data: st.DataObject) -> None:
    """A frame with one value put in place of another is refused just when the jsonschema library refuses it."""
    path = data.draw(st.sampled_from([place for place in places(HELLO) if len(place) > 1]))
    value: Any = data.draw(st.sampled_from([None, True, 1, 1.5, "low G", [], {}, [1.0, 2.0]]))
    frame = changed(HELLO, path, value)
    assert (complaint(inside, frame) == "") == VALIDATOR.is_valid(frame), (path, value)


def test_a_rule_that_is_not_understood_is_not_passed_over(inside: Inside) -> None:
    """A keyword of JSON Schema that the page does not know is an error of its own, not a check left out."""
    schema = copy.deepcopy(SCHEMA)
    schema["$defs"]["ErrorFrame"]["properties"]["said"]["pattern"] = "^A"
    body = CHECK.replace("throw error", "return `an error: ${error.message}`")
    said = inside("core/frames.js", body, schema, {"kind": "error", "said": "A"})
    assert said == "an error: The schema's 'pattern' is not known to this page."
