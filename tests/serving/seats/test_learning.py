"""Teaching the daemon a chanter: played by hand and by the simulated player, kept, broken off."""

from pathlib import Path

from chanterd.hearing.chanter import load_profiles
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS
from tests.serving.played_seat import HandSource, Sitting

ODD_MIDI = {note: 20 + 3 * note for note in Note}
"""A chanter of which no profile knows anything."""


def scale(sitting: Sitting, notes: int = 9) -> None:
    """Play that many notes of the scale from low G, half a second each."""
    begin_ns = sitting.now_ns
    sitting.play((note, begin_ns + note * 500 * NS_PER_MS) for note in list(Note)[:notes])
    sitting.until(sitting.now_ns + 500 * NS_PER_MS)


def odd_chanter(folder: Path) -> Sitting:
    """A daemon with an unknown chanter."""
    return Sitting(folder, [HandSource("odd", ODD_MIDI)])


def test_an_unknown_chanter_is_read_once_it_was_taught(tmp_path: Path) -> None:
    """Before, its notes are strays; after the scale was played once, each is the note it is called."""
    with odd_chanter(tmp_path) as sitting:
        sitting.play([(Note.D, sitting.now_ns)])
        assert (sitting.of("note")[-1]["note"], sitting.of("note")[-1]["midi"]) == (None, ODD_MIDI[Note.D])
        sitting.source.release(sitting.now_ns)
        sitting.seat.learn()
        scale(sitting)
        reported = [(frame["learning"]["state"], frame["learning"]["heard"]) for frame in sitting.of("learning")]
        assert reported == [*(("running", heard) for heard in range(9)), ("done", 9)]
        assert sitting.of("learning")[3]["learning"]["next_note"] == "C"
        sitting.play([(Note.D, sitting.now_ns)])
        assert sitting.of("note")[-1]["note"] == "D"


def test_what_was_learned_is_kept_and_used_by_the_next_daemon(tmp_path: Path) -> None:
    """The profile is in the data folder, and a restarted daemon reads the same chanter by it."""
    with odd_chanter(tmp_path) as sitting:
        sitting.seat.learn()
        scale(sitting)
    learned = load_profiles(tmp_path)["odd (learned)"]
    assert dict(learned.notes) == {midi: note for note, midi in ODD_MIDI.items()}
    with odd_chanter(tmp_path) as sitting:
        assert sitting.daemon.state()["seats"][0]["chanter"]["profile"] == "odd (learned)"
        sitting.play([(Note.F, sitting.now_ns)])
        assert sitting.of("note")[-1]["note"] == "F"


def test_pages_get_the_new_profile_to_choose_from(tmp_path: Path) -> None:
    """Every page gets the state again, with the learned profile in the list; no frame was lost."""
    with odd_chanter(tmp_path) as sitting:
        sitting.seat.learn()
        scale(sitting)
        resync = sitting.of("resync")[-1]
        assert "odd (learned)" in [one["name"] for one in resync["state"]["profiles"]]
        assert resync["lost"] == 0
        # Before any frame names it.
        kinds = sitting.kinds()
        assert kinds[kinds.index("resync") :] == ["resync", "chanter", "learning", "chanter"]
        # A page that is loaded now still sees how the lesson ended, until something else begins.
        assert sitting.seat.shown()["learning"] == sitting.of("learning")[-1]["learning"]
        sitting.practise("birl from E", 60)
        assert sitting.seat.shown()["learning"] is None


def test_breaking_off_changes_nothing(tmp_path: Path) -> None:
    """After five of the nine notes nothing is kept, the old profile stays, and the pages show the end."""
    with odd_chanter(tmp_path) as sitting:
        sitting.seat.learn()
        scale(sitting, notes=5)
        sitting.seat.end()
        assert sitting.of("learning")[-1]["learning"] is None
        assert sitting.seat.shown()["learning"] is None
        assert sitting.seat.shown()["chanter"]["profile"] == "written pitch"
        scale(sitting)
    assert not (tmp_path / "chanters").exists()
    assert not (tmp_path / "inputs.json").exists()


def test_an_input_that_ends_too_soon_says_so(tmp_path: Path) -> None:
    """A take with half a scale leaves the lesson failed, with a sentence, and nothing kept."""
    with odd_chanter(tmp_path) as sitting:
        sitting.seat.learn()
        scale(sitting, notes=4)
        sitting.source.status("ended")
        sitting.settle()
        reported = sitting.of("learning")[-1]["learning"]
        assert (reported["state"], reported["heard"]) == ("failed", 4)
        assert "before all nine notes" in reported["said"]
    assert not (tmp_path / "chanters").exists()
    assert not (tmp_path / "inputs.json").exists()


def test_a_chanter_that_cannot_be_saved_is_not_said_to_be_learned(tmp_path: Path) -> None:
    """With a file where the folder of chanters should be, the lesson fails with a sentence, and the daemon lives on."""
    (tmp_path / "chanters").write_text("in the way")
    with odd_chanter(tmp_path) as sitting:
        sitting.seat.learn()
        scale(sitting)
        reported = sitting.of("learning")[-1]["learning"]
        assert reported["state"] == "failed"
        assert "cannot be saved" in reported["said"]
        assert sitting.seat.shown()["chanter"]["profile"] == "written pitch"
        assert not sitting.of("error")
