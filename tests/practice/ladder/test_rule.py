"""The rule of a ladder: what is taken, and that every mistake is reported at once."""

import math
from dataclasses import fields

import pytest

from chanterd.config import ChanterdError
from chanterd.practice.ladder.rule import (
    LONGEST_ROW,
    MOST_TRIES,
    OFFERED,
    Rule,
    as_json,
    rule_from_json,
    rule_mistakes,
    with_usual,
)

AT_MOST = "it must be at most that. Is one of them a number of beats, not of clicks?"
GOOD = {"first_bpm": 60, "raise_bpm": 4, "in_a_row": 3, "top_bpm": 80, "tries": 5, "performing_bpm": 66.5}


def test_a_rule_is_read_by_its_fields_names() -> None:
    """What a request says in JSON comes back from the rule, and the rule offered is one that is taken."""
    assert as_json(rule_from_json(GOOD)) == GOOD
    assert rule_from_json(as_json(OFFERED)) == OFFERED
    assert [field.name for field in fields(Rule)] == list(GOOD)


@pytest.mark.parametrize(
    ("field", "ends"),
    [("raise_bpm", (1, 20)), ("in_a_row", (1, LONGEST_ROW)), ("tries", (1, MOST_TRIES)), ("top_bpm", (80, 300))],
)
def test_both_ends_of_a_range_are_taken(field: str, ends: tuple[float, float]) -> None:
    """A raise from 1 to 20, any number in a row from 1 on, any number of tries from 1 on."""
    for end in ends:
        assert getattr(rule_from_json({**GOOD, field: end}), field) == end


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("raise_bpm", 0.5, "must be a number of clicks a minute from 1 to 20, 3 to 5 is usual."),
        ("raise_bpm", 21, "must be a number of clicks a minute from 1 to 20, 3 to 5 is usual."),
        ("in_a_row", 0, "must be a whole number of clean reps from 1 to 100, 3, 5 or 10 is usual."),
        ("in_a_row", 2.5, "must be a whole number of clean reps from 1 to 100, 3, 5 or 10 is usual."),
        ("tries", True, "must be a whole number of tries from 1 to 100, 5 is usual."),
        ("first_bpm", "60", "must be a number of clicks a minute from 20 to 300, such as 60."),
        ("performing_bpm", math.nan, "must be a number of clicks a minute from 20 to 300, such as 66, or left out."),
        ("top_bpm", math.inf, "must be a number of clicks a minute from 20 to 300, such as 80."),
    ],
)
def test_what_is_out_of_range_is_refused_in_one_sentence(field: str, value: object, said: str) -> None:
    """The sentence names the field, the value, the range and what is usual."""
    (wrong,) = rule_mistakes({**GOOD, field: value})
    assert (wrong.field, wrong.said) == (field, f"The ladder's '{field}' is {value!r}; it {said}")


def test_nothing_may_be_above_the_top() -> None:
    """A first tempo or a performing tempo above the top is refused, with the likely mistake."""
    wrong = rule_mistakes({**GOOD, "first_bpm": 90, "performing_bpm": 81})
    assert [one.said.split(",")[0] for one in wrong] == [
        "The ladder's 'first_bpm' is 90",
        "The ladder's 'performing_bpm' is 81",
    ]
    assert all("beats, not of clicks" in one.said for one in wrong)


def test_a_form_is_spoken_to_by_the_names_of_its_fields() -> None:
    """A player who sees no key reads none, nor of quotes that nobody types."""
    names = {"first_bpm": "First tempo", "top_bpm": "Top", "tries": "Tries"}
    wrong = rule_mistakes({**GOOD, "first_bpm": 90, "tries": "five"}, names)
    assert [one.said for one in wrong] == [
        "The ladder's 'Tries' is 'five'; it must be a whole number of tries from 1 to 100, 5 is usual.",
        f"The ladder's 'First tempo' is 90, above its 'Top', which is 80; {AT_MOST}",
    ]


def test_a_performing_tempo_is_there_only_if_somebody_named_one() -> None:
    """Left out or null it is none, and what is offered at first has none."""
    without = {key: value for key, value in GOOD.items() if key != "performing_bpm"}
    assert rule_from_json(without) == rule_from_json({**GOOD, "performing_bpm": None})
    assert rule_from_json(without).performing_bpm is OFFERED.performing_bpm is None


def test_every_mistake_is_reported_at_once() -> None:
    """A field that is not known, one that is missing and one out of range make three lines."""
    asked = {**GOOD, "row": 3, "tries": 0}
    del asked["in_a_row"]
    with pytest.raises(ChanterdError) as caught:
        rule_from_json(asked)
    said = [line.split(";")[0] for line in str(caught.value).splitlines()]
    assert said == [
        f"The ladder's 'row' is not known here. Known are: {', '.join(GOOD)}.",
        "The ladder's 'in_a_row' is missing",
        "The ladder's 'tries' is 0",
    ]


def test_a_number_of_any_length_is_refused_in_one_short_sentence() -> None:
    """One of thousands of digits cannot even be written out."""
    for number in (10**400, 16**5000):
        (wrong,) = rule_mistakes({**GOOD, "tries": number})
        assert wrong.said.endswith("it must be a whole number of tries from 1 to 100, 5 is usual.")
        assert len(wrong.said) < 200


def test_what_is_left_out_is_as_usual() -> None:
    """Up by 4, three in a row, five tries, twenty clicks up, never beyond the fastest tempo, and nothing to prove."""
    assert with_usual({"first_bpm": 70}) == {
        "first_bpm": 70,
        "raise_bpm": 4,
        "in_a_row": 3,
        "tries": 5,
        "top_bpm": 90,
    }
    assert with_usual({"first_bpm": 290})["top_bpm"] == 300
    assert with_usual(GOOD) == GOOD
