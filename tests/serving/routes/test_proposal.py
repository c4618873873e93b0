"""The proposal for today through a real server: shown, refused, offered again."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from chanterd.hearing.simulated_tune import HUMAN
from chanterd.history.players import Player
from chanterd.history.tune_record import ways_played
from chanterd.practice.proposal.rule import standard_proposal_rule
from tests.history.played_tunes import play_tune, simulated
from tests.history.practised_runs import noon, practise
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

PATH = "api/proposal/refused"
FIRST = [drill.words for drill in standard_proposal_rule().order]


def drills(shown: Any) -> list[str]:
    """What is proposed, whatever the stage."""
    return [line["drill"].split(",")[0] for line in shown["lines"]]


def test_a_new_player_gets_a_start_refuses_one_and_has_it_back(tmp_path: Path) -> None:
    """Another takes its place; the refusal outlives the daemon, and can be taken back."""
    with served(tmp_path, [HandSource()]) as (page, _):
        shown = ask(page, "GET", "api/proposal").json()
        assert drills(shown) == FIRST[:3]
        assert shown["lines"][0]["reason"].startswith("The G gracenote from low A to B is new to you")
        after = ask(page, "POST", PATH, {"drill": FIRST[0]}).json()
        assert drills(after) == FIRST[1:4]
        assert after["refused"] == ["G gracenote from low A to B"]
    with served(tmp_path, [HandSource()]) as (page, _):
        assert ask(page, "GET", "api/proposal").json() == after
        assert ask(page, "DELETE", PATH).json() == shown


def test_it_comes_from_what_was_practised(tmp_path: Path) -> None:
    """A weak one first, with its figures; what is proposed can be started."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        practise(daemon.history.store, Player(1, "Player 1"), [90.0] * 10)
        shown = ask(page, "GET", "api/proposal").json()
        line = shown["lines"][0]
        assert (line["why"], line["drill"]) == ("weak", "grip from B to C, stage 1")
        assert "was clean not once in 10 on 31 March" in line["reason"]
        asked = {"drill": line["drill"], "click_bpm": line["click_bpm"]}
        assert ask(page, "POST", "api/practice", asked).status_code == 200
        week = ask(page, "POST", PATH, {"drill": line["drill"], "week": True}).json()
        assert "grip" not in [drill.split()[0] for drill in drills(week)]


def test_a_refusal_that_is_impossible_is_explained(tmp_path: Path) -> None:
    """A drill there is not, and a field there is not."""
    with served(tmp_path, [HandSource()]) as (page, _):
        for body, said in [
            ({"drill": "gripp from B to C"}, "Did you mean 'grip'"),
            ({"drill": "birl from E", "weak": True}, "'weak' is not known here. Did you mean 'week'?"),
        ]:
            answer = ask(page, "POST", PATH, body)
            assert answer.status_code == 422
            assert said in answer.json()["said"]


def test_all_of_it_is_gone_through_as_a_plan(tmp_path: Path) -> None:
    """One part for each line, in their order."""
    with served(tmp_path, [HandSource()]) as (page, _):
        shown = ask(page, "GET", "api/proposal").json()
        session = ask(page, "POST", "api/proposal/session", {}).json()
        assert session["plan"]["name"] == "Today"
        assert [part["drill"] for part in session["plan"]["parts"]] == [line["drill"] for line in shown["lines"]]


def test_it_comes_from_what_was_played_in_tunes(tmp_path: Path) -> None:
    """An ornament that is crushed in the tune each time is proposed as a drill, without ever having been one."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        one = simulated(habits=replace(HUMAN, crushed=1.0))
        play_tune(daemon.history.store, Player(1, "Player 1"), one, wall=noon(3))
        worst = [way.drill for way in ways_played(one.run().found()["notes"]) if not way.clean]
        reasons = {line["drill"].split(", stage")[0]: line for line in ask(page, "GET", "api/proposal").json()["lines"]}
        assert set(reasons) & set(worst)
        assert any("in tunes" in reasons[drill]["reason"] for drill in set(reasons) & set(worst))
