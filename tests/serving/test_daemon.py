"""The daemon: its seats are kept apart, its tables are checked at the start, its state shows everything."""

import asyncio
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError
from chanterd.hearing.ports import PortName
from chanterd.music.drill import all_drills
from chanterd.music.note import Note
from chanterd.serving import daemon as daemon_module
from chanterd.serving.daemon import Daemon
from chanterd.serving.seats.seat import Seat
from tests.serving.played_seat import HandSource, Sitting, rep_line


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Sitting]:
    """A daemon with two chanters."""
    with Sitting(tmp_path, [HandSource("first"), HandSource("second")]) as sitting:
        yield sitting


def test_two_players_are_kept_apart(two: Sitting) -> None:
    """Each has a drill, a tempo, a chanter and verdicts of its own; a frame says whose it is."""
    one, other = two.daemon.seats["1"], two.daemon.seats["2"]
    two.practise("grip from B to C", 60, seat="1", standard="learner")
    other.choose_profile("low A as B flat")
    two.practise("birl from E", 90, seat="2", standard="competition")
    two.play(rep_line(two.cue()))
    one.end()
    heard = [frame for frame in two.of("step") if frame["onset_ms"] is not None]
    assert {frame["seat"] for frame in heard} == {"1"}
    assert [frame["clean"] for frame in two.of("rep") if frame["seat"] == "1"] == [True]
    assert all(frame["skipped"] for frame in two.of("rep") if frame["seat"] == "2")
    first, second = two.daemon.state()["seats"]
    assert (first["practice"], first["chanter"]["profile"]) == (None, "written pitch")
    assert second["practice"] is not None
    reported = (second["practice"]["asked"]["drill"], second["practice"]["standard"], second["practice"]["played"])
    assert reported == ("birl from E", "competition", 0)
    assert second["chanter"]["profile"] == "low A as B flat"


def test_what_one_player_taught_every_player_may_use(two: Sitting) -> None:
    """A learned chanter is in the list for both seats, and only the seat that learned it reads by it."""
    two.daemon.seats["1"].learn()
    begin_ns = two.now_ns
    two.play((note, begin_ns + note * 500_000_000) for note in Note)
    two.until(two.now_ns + 500_000_000)
    assert "first (learned)" in [one["name"] for one in two.daemon.state()["profiles"]]
    assert two.daemon.seats["2"].shown()["chanter"]["profile"] == "written pitch"
    two.daemon.seats["2"].choose_profile("first (learned)")


def test_with_several_players_one_must_be_named(two: Sitting) -> None:
    """The sentence names the players there are."""
    with pytest.raises(ChanterdError, match=r"'seat' is missing; say which one you mean: '1' or '2'\."):
        two.daemon.seat(None)
    with pytest.raises(ChanterdError, match=r"'seat' is '3'; it must be '1' or '2'\."):
        two.daemon.seat("3")


def test_the_only_player_need_not_be_named(sitting: Sitting) -> None:
    """One chanter is meant when there is only one, but a wrong name is still refused."""
    assert sitting.daemon.seat(None) is sitting.seat
    with pytest.raises(ChanterdError, match="it must be '1'"):
        sitting.daemon.seat("2")


def test_every_mistake_in_the_users_tables_is_reported_at_once(tmp_path: Path) -> None:
    """One line for each mistake, over standards and chanters, with file, field, value and range; nothing is served."""
    for name in ("standards", "chanters"):
        (tmp_path / name).mkdir()
    (tmp_path / "standards" / "mine.toml").write_text('name = "mine"\nsaid = 5\n[beat]\nwithin_ms = 1\n')
    (tmp_path / "chanters" / "mine.toml").write_text('name = "mine"\nbounce_ms = 900\nnots = {}\n')
    (tmp_path / "chanters" / "torn.toml").write_text('name = "torn\n')
    with pytest.raises(ConfigError) as caught:
        Daemon([HandSource()], tmp_path)
    said = str(caught.value)
    for part in (
        "mine.toml: beat: 'within_ms' is 1; it must be a number from 6 to 300.",
        "'said' is 5",
        "'bounce_ms' is 900",
        "Did you mean 'notes'?",
        "torn.toml: is not valid TOML",
    ):
        assert part in said


def test_a_standard_of_ones_own_is_offered_and_used(tmp_path: Path) -> None:
    """A file in the data folder is added to ours, and judges when it is chosen."""
    (tmp_path / "standards").mkdir()
    table = "[beat]\nwithin_ms = 300\nwithin_of_click = 0.5\n[crushed]\nquick_under_ms = 3\nheld_under_ms = 3\n"
    mine = f'name = "mild"\nsaid = "All is well."\n{table}[crossing]\nover_ms = 200\n'
    (tmp_path / "standards" / "mild.toml").write_text(mine)
    with Sitting(tmp_path) as sitting:
        assert {"name": "mild", "said": "All is well."} in sitting.daemon.state()["standards"]
        for standard, clean in (("competition", False), ("mild", True)):
            sitting.practise("grip from B to C", 60, standard=standard)
            sitting.play(rep_line(sitting.cue(), off_ms=120.0))
            sitting.seat.end()
            assert sitting.of("rep")[-1]["clean"] is clean


@pytest.mark.parametrize(
    ("words", "bpm", "standard", "said"),
    [
        ("grip from B", 60, None, "grip from B"),
        ("gripp from B to C", 60, None, "Did you mean 'grip'?"),
        ("grip from B to C", 0, None, "from 20 to 300"),
        ("grip from B to C", float("nan"), None, "from 20 to 300"),
        ("grip from B to C", 60, "stedy", "Did you mean 'steady'?"),
    ],
)
def test_what_is_not_understood_starts_nothing(
    sitting: Sitting, words: str, bpm: float, standard: str | None, said: str
) -> None:
    """One clear sentence; a run that goes on is not ended by it."""
    sitting.practise("birl from E", 80)
    with pytest.raises(ChanterdError) as caught:
        sitting.practise(words, bpm, standard=standard)
    assert said in str(caught.value)
    practice = sitting.seat.practice()
    assert practice is not None
    assert practice["asked"]["drill"] == "birl from E"


def test_a_page_may_choose_listed_ports_only(sitting: Sitting, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file, a device or an unknown port is refused, and what is listened to goes on; the same input is left alone."""
    monkeypatch.setattr(daemon_module, "list_ports", lambda: [PortName("ALSA", "kitchen chanter")])
    for name in ("raw:/dev/midi1", "take.mid", "kitchen", ""):
        with pytest.raises(ChanterdError, match="is not there now"):
            sitting.run(sitting.daemon.choose_input(None, name))
    sitting.run(sitting.daemon.choose_input(None, "hand"))
    assert (sitting.source.started, sitting.source.stopped) == (1, 0)
    sitting.run(sitting.daemon.choose_input(None, "demo"))
    assert sitting.seat.source.name == "demo"
    assert sitting.source.stopped == 1


def test_inputs_are_listed_with_the_simulated_player(sitting: Sitting, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each port with its driver, and 'demo'; without any port the sentence says what to do."""
    monkeypatch.setattr(daemon_module, "list_ports", lambda: [PortName("ALSA", "kitchen chanter")])
    reported = sitting.daemon.inputs()
    assert [(one["name"], "ALSA" in one["said"]) for one in reported["inputs"]] == [
        ("kitchen chanter", True),
        ("demo", False),
    ]
    monkeypatch.setattr(daemon_module, "list_ports", list)
    reported = sitting.daemon.inputs()
    assert [one["name"] for one in reported["inputs"]] == ["demo"]
    assert reported["said"]


def test_the_state_lists_every_drill_of_the_book(sitting: Sitting) -> None:
    """The drill that is offered first is among them, and can be started at the tempo that is offered."""
    state = sitting.daemon.state()
    assert state["drill"] in [drill.words for drill in all_drills(sitting.daemon.tables.book)]
    sitting.practise(state["drill"], state["click_bpm"])


def test_notes_pass_while_a_whole_class_is_judged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight seats close a rep at once, each taking a while: what is due in the loop does not wait for the last one."""
    with Sitting(tmp_path, [HandSource(f"hand {number}") for number in range(8)]) as sitting:
        ticked: list[str] = []

        def slow(seat: Seat) -> None:
            ticked.append(seat.id)
            sitting.now_ns += 2_000_000

        monkeypatch.setattr(Seat, "tick", slow)
        seen: list[int] = []

        async def round_of_ticks() -> None:
            asyncio.get_running_loop().call_soon(lambda: seen.append(len(ticked)))
            await sitting.daemon.tick_in_turn()

        sitting.run(round_of_ticks())
        assert seen == [1]
        assert ticked == [str(number) for number in range(1, 9)]
