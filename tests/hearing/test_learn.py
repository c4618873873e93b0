"""Learning an unknown chanter from its scale, and what is said when the scale goes wrong."""

from random import Random

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.hearing.learn import Learned, Learner
from chanterd.hearing.simulated import scale_messages
from chanterd.music.note import WRITTEN_MIDI, Note
from chanterd.music.units import Ns

SCALE = [50, 52, 54, 56, 57, 59, 61, 62, 64]
NOTE_MS = 500.0


class Chanter:
    """Plays into a learner; time in ms runs on with what is played."""

    def __init__(self) -> None:
        self.learner = Learner()
        self.at_ms = 0.0
        self.learned = self.learner.wait(Ns(0))

    def send(self, kind: str, midi: int, channel: int = 0) -> None:
        """One message now."""
        message = mido.Message(kind, note=midi, channel=channel)
        self.learned = self.learner.hear(message, Ns(round(self.at_ms * 1e6)))

    def play(self, *numbers: int, ms: float = NOTE_MS, channel: int = 0) -> Learned:
        """One note after the other, each held for ``ms``."""
        for midi in numbers:
            self.send("note_on", midi, channel)
            self.rest(ms)
            self.send("note_off", midi, channel)
        return self.learned

    def rest(self, ms: float) -> Learned:
        """Let time pass."""
        self.at_ms += ms
        self.learned = self.learner.wait(Ns(round(self.at_ms * 1e6)))
        return self.learned


def numbers(learned: Learned) -> list[int]:
    """The numbers learned for low G to high A."""
    assert learned.profile is not None, learned
    by_note = {note: midi for midi, note in learned.profile.notes.items()}
    return [by_note[note] for note in Note]


def test_the_scale_played_once_is_enough() -> None:
    """Nine different numbers, low G to high A, give a profile with a name; the player sees what to play next."""
    chanter = Chanter()
    assert chanter.learned == Learned("running", Note.LOW_G, 0, chanter.learned.said)
    assert "from low G up to high A" in chanter.learned.said
    for rank, midi in enumerate(SCALE[:-1]):
        learned = chanter.play(midi)
        assert (learned.heard, learned.next_note) == (rank + 1, Note(rank + 1))
        assert learned.said == f"Heard {Note(rank).words}. Now play {Note(rank + 1).words}."
    learned = chanter.play(SCALE[-1])
    assert (learned.state, learned.heard, learned.next_note) == ("done", 9, None)
    assert learned.said == "All nine notes are known."
    assert numbers(learned) == SCALE
    assert learned.profile is not None
    assert (learned.profile.name, learned.profile.channel, learned.profile.drones) == ("my chanter", None, frozenset())


def test_a_held_note_counts_while_it_still_sounds() -> None:
    """The player need not let go of a note for the page to go on."""
    chanter = Chanter()
    chanter.send("note_on", 50)
    assert chanter.rest(59).heard == 0
    assert chanter.rest(1).heard == 1


def test_a_fixed_table_that_does_not_rise_is_accepted_with_a_warning() -> None:
    """Any nine distinct numbers will do; that they do not rise is said, since it may be a mistake."""
    learned = Chanter().play(*reversed(SCALE))
    assert numbers(learned) == SCALE[::-1]
    assert "do not rise" in learned.said


@pytest.mark.parametrize("overlap_ms", [30, 300])
def test_overlapping_notes_are_learned(overlap_ms: float) -> None:
    """Each note is let go only after the next has begun, a little or much."""
    chanter = Chanter()
    for before, midi in zip([None, *SCALE], [*SCALE, None], strict=True):
        if midi is not None:
            chanter.send("note_on", midi)
        chanter.rest(overlap_ms)
        if before is not None:
            chanter.send("note_off", before)
        chanter.rest(NOTE_MS)
    assert numbers(chanter.learned) == SCALE


def test_crossing_noises_and_bounces_are_passed_over() -> None:
    """Short noises between the notes, of known, of coming and of unknown numbers, and every note sent twice."""
    chanter = Chanter()
    for midi, noise in zip(SCALE, [62, 50, 99, 64, 50, 52, 99, 64, 50], strict=True):
        chanter.play(noise, ms=40)
        chanter.play(midi, ms=2)
        chanter.play(midi)
    assert numbers(chanter.learned) == SCALE


@pytest.mark.parametrize("channel", [0, 1])
@pytest.mark.parametrize("head_start_ms", [0.0, 5000.0])
def test_drones_sounding_beneath_are_not_taken_for_notes(channel: int, head_start_ms: float) -> None:
    """A bass and a tenor drone, begun with low G or long before, on the chanter's channel or another."""
    chanter = Chanter()
    chanter.send("note_on", 33, channel)
    chanter.send("note_on", 45, channel)
    chanter.rest(head_start_ms)
    learned = chanter.play(*SCALE)
    assert numbers(learned) == SCALE
    assert learned.profile is not None
    assert learned.profile.drones == {33, 45}
    assert learned.profile.channel == (1 if channel else None)


def test_a_drone_with_the_number_of_a_note_is_kept_apart_by_its_channel() -> None:
    """The drone on channel 2 has low A's number: the profile listens to channel 1 only."""
    chanter = Chanter()
    chanter.send("note_on", 52, channel=1)
    learned = chanter.play(*SCALE)
    assert numbers(learned) == SCALE
    assert learned.profile is not None
    assert (learned.profile.channel, learned.profile.drones) == (1, frozenset())


def test_a_drone_is_taken_back_when_it_shows() -> None:
    """A drone that was counted as a note at first is not one of the nine in the end."""
    chanter = Chanter()
    chanter.send("note_on", 33)
    assert chanter.rest(1000).heard == 1
    assert chanter.play(50, 52).heard == 2


def test_a_note_that_repeats_an_earlier_one_asks_for_the_scale_again() -> None:
    """Going down again is a mistake; after a pause the scale begins again, whatever was heard before."""
    chanter = Chanter()
    learned = chanter.play(50, 52, 54, 52)
    assert (learned.state, learned.heard, learned.next_note) == ("running", 0, Note.LOW_G)
    assert learned.said == "That was the same as low A. Stop for a moment, then play the scale again from low G."
    assert chanter.play(54, 56).heard == 0, "going on regardless does not make B low G"
    chanter.rest(600)
    assert numbers(chanter.play(*SCALE)) == SCALE


def test_low_g_again_begins_again_without_a_pause() -> None:
    """Whoever goes straight back to low G need not stop."""
    chanter = Chanter()
    chanter.play(50, 52, 54, 52)
    assert numbers(chanter.play(*SCALE)) == SCALE
    chanter = Chanter()
    chanter.play(50, 52, 54)
    assert numbers(chanter.play(*SCALE)) == SCALE


def test_a_wrong_start_is_forgotten_after_the_pause() -> None:
    """The player began on low A, noticed at the end that one note was missing, went down, and began again."""
    chanter = Chanter()
    chanter.play(*SCALE[1:])
    assert chanter.learned.next_note is Note.HIGH_A
    chanter.play(62)
    chanter.rest(600)
    assert numbers(chanter.play(*SCALE)) == SCALE


def test_the_same_note_struck_again_is_one_note() -> None:
    """A note let go and played again at once, as when the player runs out of breath, counts once."""
    chanter = Chanter()
    chanter.play(50, 50, 52)
    chanter.rest(2000)
    assert chanter.play(52).heard == 2


@pytest.mark.parametrize("control", [120, 123, 124, 127])
def test_all_notes_off_releases_everything(control: int) -> None:
    """After all-notes-off, or a change of mode, which means it too, a note held before is no drone."""
    chanter = Chanter()
    chanter.send("note_on", 50)
    chanter.rest(NOTE_MS)
    chanter.learner.hear(mido.Message("control_change", control=control), Ns(round(chanter.at_ms * 1e6)))
    assert numbers(chanter.play(*SCALE[1:])) == SCALE


def test_what_comes_after_the_scale_changes_nothing() -> None:
    """Playing down again after high A is what players do."""
    chanter = Chanter()
    learned = chanter.play(*SCALE)
    assert chanter.play(*reversed(SCALE)) == learned


@pytest.mark.parametrize("seed", range(20))
def test_the_simulated_player_teaches_its_chanter(seed: int) -> None:
    """With human timing, crossing noises, bounces and overlaps (simulated), the written numbers are learned."""
    learner = Learner()
    for message, at_ns in scale_messages(seed):
        learned = learner.hear(message, at_ns)
    assert numbers(learned) == list(WRITTEN_MIDI)
    assert learned.said == "All nine notes are known."


@settings(deadline=None)
@given(st.lists(st.integers(0, 127), min_size=9, max_size=9, unique=True), st.integers(0, 15))
def test_any_nine_numbers_on_any_channel_are_learned(scale: list[int], channel: int) -> None:
    """The numbers and the channel are the chanter's own affair."""
    assert numbers(Chanter().play(*scale, channel=channel)) == scale


def test_an_endless_player_is_survived() -> None:
    """Hundreds of random notes neither crash nor clog it, and the scale after a pause is learned."""
    random = Random(1)  # noqa: S311 - noise, not secrets
    chanter = Chanter()
    for _ in range(500):
        chanter.play(random.choice(SCALE[:8]), ms=70)
    chanter.rest(600)
    chanter.play(50, 52, 50)
    chanter.rest(600)
    assert numbers(chanter.play(*SCALE)) == SCALE
