"""The sentences for what was asked wrongly: field, value, range, mend."""

import json
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, TypeAdapter, ValidationError

from chanterd.serving.api import FIELDS
from chanterd.serving.errors import sentence
from chanterd.serving.routes.practice import PlacementRequest, PracticeRequest
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

GOOD = {"drill": "grip from B to C", "click_bpm": 60}


def said_of(body: Any, model: type[BaseModel] = PracticeRequest) -> list[str]:
    """The sentences about a body, of POST /api/practice if no other is named."""
    try:
        TypeAdapter(model).validate_python(body)
    except ValidationError as error:
        return [sentence({**one, "loc": ("body", *one["loc"])}, list(FIELDS)) for one in error.errors()]
    return []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"drill": 5}, "The field 'drill' is 5; it must be a text in quotes."),
        ({"standard": 5}, "The field 'standard' is 5; it must be a text in quotes."),
        ({"drill": "x" * 201}, "must be 200 characters long at most."),
        ({"click_bpm": "fast"}, "The field 'click_bpm' is 'fast'; it must be a number without quotes, such as 60."),
        ({"click_off": None}, "The field 'click_off' is None; it must be true or false."),
        ({"titel": "x"}, "The field 'titel' is not known here. Did you mean 'title'?"),
        ({"seat": 1}, "The field 'seat' is 1; it must be a text in quotes."),
        ({"clik_bmp": 60}, "The field 'clik_bmp' is not known here. Did you mean 'click_bpm'?"),
        ({"click_off": 2}, "The field 'click_off' is 2; it must be true or false."),
        ({"ladder": 5}, "The field 'ladder' is 5; it must be an object, in braces."),
        ({"zzz": 60}, "The field 'zzz' is not known here. Leave it out"),
    ],
)
def test_each_mistake_has_a_sentence(change: dict[str, Any], said: str) -> None:
    """It names the field and the value, what is allowed, and the likely mend."""
    [shown] = said_of({**GOOD, **change})
    assert said in shown


def test_a_missing_field_is_named() -> None:
    """Where the beat is to be, but not of which drill."""
    assert said_of({"seat": "1"}, PlacementRequest) == ["The field 'drill' is missing; add it."]


def test_all_mistakes_are_reported_at_once() -> None:
    """Three mistakes, three sentences."""
    assert len(said_of({"drill": 5, "click_bpm": "x", "surprise": 1})) == 3


def test_a_long_value_is_cut_short() -> None:
    """A megabyte of nonsense is not sent back."""
    [shown] = said_of({**GOOD, "click_bpm": "9x" * 500_000})
    assert len(shown) < 200


def test_half_a_letter_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """What JSON can spell and nobody can send back is no fault of ours."""
    body = json.dumps({**GOOD, "standard": "\ud800"})
    with served(tmp_path, [HandSource()]) as (page, _):
        answer = ask(page, "POST", "api/practice", content=body, headers={"content-type": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["said"].startswith("The standard '\\ud800' is not known.")
