"""The shapes of ladders, plans and sessions, as a program that reads the frames knows them."""

from dataclasses import fields

from chanterd.music.pace import Pace
from chanterd.practice.ladder.climb import Move, Outcome, Phase
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.plans.session import SessionState
from chanterd.serving.wire.frames import frames_schema

PARTS = frames_schema()["$defs"]


def fields_of(part: str, field: str) -> set[str]:
    """The words that a field may have."""
    described = PARTS[part]["properties"][field]
    return {*described.get("enum", described.get("anyOf", [{}])[0].get("enum", []))}


def test_every_word_of_a_ladder_and_of_a_session_is_described() -> None:
    """Phases, moves, outcomes and states: the same words here and there."""
    assert fields_of("LadderShown", "phase") == {*Phase}
    assert fields_of("LadderShown", "move") == {*Move}
    assert fields_of("LadderShown", "outcome") == {*Outcome}
    assert fields_of("SessionShown", "state") == {*SessionState}


def test_rules_and_paces_have_the_same_fields() -> None:
    """Whatever a rule or a pace is made of is sent, under the same name."""
    for part, of in (("LadderRuleShown", Rule), ("PaceShown", Pace)):
        assert {*PARTS[part]["required"]} == {field.name for field in fields(of)}
