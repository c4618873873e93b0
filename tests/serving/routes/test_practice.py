"""Starting and stopping practice over the network."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

GRIP = {"drill": "grip from B to C", "click_bpm": 60}


@pytest.fixture
def page(tmp_path: Path) -> Iterator[str]:
    """The address of a daemon with one chanter played by hand."""
    with served(tmp_path, [HandSource()]) as (page, _):
        yield page


def test_every_field_of_the_request_is_heeded(page: str) -> None:
    """The run that begins has them all, and is over once it is stopped."""
    more = {"standard": "learner", "spread": 0.1, "layout": "every click", "feedback": "say first", "click_off": True}
    practice = ask(page, "POST", "api/practice", {**GRIP, **more}).json()
    assert (practice["standard"], practice["spread"], practice["layout"]) == ("learner", 0.1, "every click")
    assert (practice["feedback"]["schedule"], practice["grid"]["click_off"]) == ("say first", True)
    assert ask(page, "DELETE", "api/practice").json()["practice"] is None


def test_a_ladder_begins_at_the_tempo_of_the_request(page: str) -> None:
    """Unless its rule has a first tempo; stopping it ends it as it ends a run."""
    rule = {"raise_bpm": 4, "in_a_row": 3, "top_bpm": 80, "tries": 5, "performing_bpm": 66}
    practice = ask(page, "POST", "api/practice", {**GRIP, "ladder": rule}).json()
    assert (practice["ladder"]["rule"]["first_bpm"], practice["grid"]["click_bpm"]) == (60, 60)
    assert ask(page, "DELETE", "api/practice").json()["practice"] is None


def test_all_mistakes_in_a_request_are_named_a_line_each(page: str) -> None:
    """Nothing is begun."""
    wrong = {"drill": "gripp from B to C", "click_bpm": 600, "standard": "hard"}
    answer = ask(page, "POST", "api/practice", wrong)
    assert answer.status_code == 422
    assert len(answer.json()["said"].splitlines()) == 3
    assert ask(page, "GET", "api/state").json()["seats"][0]["practice"] is None


def test_a_player_plays_with_the_beat_where_they_chose_to_put_it(page: str) -> None:
    """From then on, whatever starts the drill; unless its words name the place, or it cannot be there."""

    def drill_of(words: str) -> str:
        asked = ask(page, "POST", "api/practice", {"drill": words, "click_bpm": 60}).json()["asked"]
        return f"{asked['drill']}: {asked['spelled']}"

    usual = "birl from E: low A, low G tap on the beat, low A, low G tap, then low A"
    assert drill_of("birl from E") == usual
    seat = ask(page, "POST", "api/placement", {"drill": "birl from E, beat on low A"}).json()
    assert seat["placements"] == [{"ornament": "birl", "at": "step 1"}]
    assert ask(page, "GET", "api/state").json()["seats"][0]["placements"] == seat["placements"]
    assert drill_of("birl from E").startswith("birl from E, beat on low A: low A on the beat")
    assert drill_of("birl from E, stage 1").startswith("birl from E, beat on low A, stage 1: ")
    assert drill_of("birl from low A").startswith("birl from low A: ")
    assert drill_of("birl from E, beat on low G tap") == usual
    assert ask(page, "GET", "api/drill?words=birl from B&seat=1").json()["drill"] == "birl from B, beat on low A"
    assert ask(page, "GET", "api/drill?words=birl from B").json()["drill"] == "birl from B"
    assert ask(page, "POST", "api/placement", {"drill": "birl from E, beat on C"}).status_code == 422
    assert ask(page, "POST", "api/placement", {"drill": "birl from E"}).json()["placements"] == []
    assert drill_of("birl from E") == usual


def test_a_passage_of_a_tune_is_started_and_stopped(page: str) -> None:
    """Its notes by their numbers as written; the answer is the run as a page draws it."""
    body = {"tune": "seven-gulls", "from": 4, "to": 9, "click_bpm": 116}
    begun = ask(page, "POST", "api/practice", body).json()
    assert (begun["tune"], begun["first"], begun["last"], begun["going"]) == ("seven-gulls", 4, 9, True)
    stopped = ask(page, "DELETE", "api/practice").json()
    assert stopped["tune_run"]["going"] is False


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ({"click_bpm": 60}, "The field 'drill' is missing"),
        ({"tune": "seven-gullz", "click_bpm": 60}, "Did you mean 'seven-gulls'?"),
        ({"tune": "seven-gulls", "from": 60, "to": 64, "click_bpm": 60}, "must be within 0 and 63"),
        ({"tune": "seven-gulls", "drill": "birl from E", "click_bpm": 60}, "leave out drill"),
        ({"tune": "seven-gulls", "layout": "every click", "click_bpm": 60}, "leave out layout"),
        ({"drill": "birl from E", "from": 3, "click_bpm": 60}, "'from' and 'to' are notes of a tune"),
    ],
)
def test_a_passage_that_cannot_be_is_refused(page: str, body: dict[str, object], said: str) -> None:
    """In one sentence that says why."""
    answer = ask(page, "POST", "api/practice", body)
    assert answer.status_code == 422
    assert said in answer.json()["said"]
