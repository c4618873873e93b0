"""Chanter profiles: what ships, what a user adds, and how mistakes are reported."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.config import ChanterdError, ConfigError
from chanterd.hearing.chanter import Profile, load_profiles, save_profile
from chanterd.music.note import WORDS, WRITTEN_MIDI, Note

NOTES = "\n".join(f'"{words}" = {midi}' for words, midi in zip(WORDS, WRITTEN_MIDI, strict=True))


def write(data: Path, name: str, text: str) -> None:
    """Put a chanter's file into a data folder."""
    (data / "chanters").mkdir(exist_ok=True)
    (data / "chanters" / name).write_text(text, encoding="utf-8")


def test_the_written_profile_sends_written_pitch() -> None:
    """Written MIDI numbers are 67 69 71 73 74 76 78 79 81 (common practice, no source)."""
    notes = load_profiles(None)["written pitch"].notes
    assert [midi for midi, _ in sorted(notes.items())] == [67, 69, 71, 73, 74, 76, 78, 79, 81]
    assert [note for _, note in sorted(notes.items())] == list(Note)


def test_b_flat_is_a_semitone_above_the_written_pitch() -> None:
    """Low A as B flat: MIDI number 70, the B flat above middle C (equal temperament, A4 = 69), so all are one more."""
    profiles = load_profiles(None)
    assert profiles["low A as B flat"].notes == {
        midi + 1: note for midi, note in profiles["written pitch"].notes.items()
    }


def test_the_bundled_pitches_keep_the_intervals_of_the_scale() -> None:
    """Whole, whole, whole, half, whole, whole, half, whole: the nine notes with C and F sharp (common practice)."""
    for name in ("written pitch", "low A as B flat", "an octave lower"):
        numbers = sorted(load_profiles(None)[name].notes)
        steps = [after - before for before, after in pairwise(numbers)]
        assert steps == [2, 2, 2, 1, 2, 2, 1, 2], name


def test_every_bundled_profile_is_complete_and_says_what_it_is() -> None:
    """A bundled profile has nine notes, and drones that are none of them."""
    profiles = load_profiles(None)
    assert len(profiles) >= 4
    for profile in profiles.values():
        assert set(profile.notes.values()) == set(Note)
        assert not profile.drones & profile.notes.keys()
        assert profile.said.endswith(".")


def test_a_profile_of_ones_own_takes_the_place_of_the_bundled_one(tmp_path: Path) -> None:
    """The user's folder adds profiles and overrides those of the same name; the others stay."""
    write(tmp_path, "mine.toml", f'name = "written pitch"\nsaid = "Mine."\nchannel = 3\n[notes]\n{NOTES}')
    profiles = load_profiles(tmp_path)
    assert (profiles["written pitch"].said, profiles["written pitch"].channel) == ("Mine.", 3)
    assert "low A as B flat" in profiles


def test_a_folder_without_chanters_is_no_mistake(tmp_path: Path) -> None:
    """A fresh data folder gives the bundled profiles."""
    assert load_profiles(tmp_path / "new").keys() == load_profiles(None).keys()


def test_a_note_may_have_several_numbers(tmp_path: Path) -> None:
    """A list of numbers means one note."""
    write(tmp_path, "two.toml", 'name = "two"\n[notes]\n' + NOTES.replace("= 73", "= [72, 73]"))
    profile = load_profiles(tmp_path)["two"]
    assert profile.notes[72] is profile.notes[73] is Note.C


def test_all_mistakes_are_reported_at_once(tmp_path: Path) -> None:
    """Every mistake in every file has a line with the file, the field, the value and the mend."""
    write(
        tmp_path,
        "a.toml",
        'nane = "x"\nname = "a"\nchannel = 17\nbounce_ms = nan\ndrones = [69, 300]\n'
        '[notes]\n"low G" = 67\n"low A" = 69\nB = 67\nC = "73"\nD = 128\nH = 76\n',
    )
    write(tmp_path, "b.toml", 'name = "a"\nsaid = "no notes"')
    write(tmp_path, "c.toml", "name = ")
    with pytest.raises(ConfigError) as caught:
        load_profiles(tmp_path)
    said = str(caught.value)
    for part in (
        "chanters/a.toml: file: 'nane' is not known here. Did you mean 'name'?",
        "'channel' is 17; it must be \"any\" or a whole number from 1 to 16",
        "'bounce_ms' is nan; it must be a number from 0 to 50",
        "'drones' has 300; each must be a whole number from 0 to 127",
        "67 is both low G and B",
        "'C': '73' is no MIDI number; they are whole numbers from 0 to 127",
        "'D': 128 is no MIDI number",
        "'H' is not a note of the chanter",
        "'notes' has no E, F, high G, high A",
        "b.toml: file: 'notes' is missing; it must be a table [notes]",
        "c.toml: is not valid TOML",
    ):
        assert part in said


def test_two_files_with_one_name_are_a_mistake(tmp_path: Path) -> None:
    """Nobody could know which of the two is used."""
    for file in ("a.toml", "b.toml"):
        write(tmp_path, file, f'name = "same"\n[notes]\n{NOTES}')
    with pytest.raises(ConfigError, match=r"b\.toml: file: the name 'same' is taken already in chanters/a\.toml"):
        load_profiles(tmp_path)


WRITTEN = st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"])


@settings(deadline=None)
@given(
    name=st.text(WRITTEN, min_size=1, max_size=80).filter(lambda name: bool(name.strip())),
    said=st.text(WRITTEN, max_size=400).filter(lambda said: not said or bool(said.strip())),
    midi=st.lists(st.integers(0, 127), min_size=12, max_size=12, unique=True),
    channel=st.none() | st.integers(1, 16),
    bounce_ms=st.floats(0, 50),
)
def test_a_saved_profile_is_read_back_the_same(
    tmp_path_factory: pytest.TempPathFactory,
    name: str,
    said: str,
    midi: list[int],
    channel: int | None,
    bounce_ms: float,
) -> None:
    """Whatever is in a profile, quotes and letters of any script too, is there again."""
    data = tmp_path_factory.mktemp("data")
    notes = {number: Note(min(rank, 8)) for rank, number in enumerate(midi[:10])}
    profile = Profile(name, said, notes, channel, frozenset(midi[10:]), bounce_ms)
    path = save_profile(profile, data)
    assert load_profiles(data)[name] == profile
    assert [one.name for one in path.parent.iterdir()] == [path.name], "nothing half-written is left behind"


def test_saving_again_replaces_and_a_like_name_does_not(tmp_path: Path) -> None:
    """The same name goes to the same file; another name that would give the same file name gets one of its own."""
    notes = dict(load_profiles(None)["written pitch"].notes)
    save_profile(Profile("My chanter", "first", notes), tmp_path)
    save_profile(Profile("My chanter", "second", notes), tmp_path)
    save_profile(Profile("my-chanter", "other", notes), tmp_path)
    profiles = load_profiles(tmp_path)
    assert (profiles["My chanter"].said, profiles["my-chanter"].said) == ("second", "other")
    assert len(list((tmp_path / "chanters").iterdir())) == 2


def test_a_folder_that_cannot_be_written_is_reported(tmp_path: Path) -> None:
    """A file where the data folder should be gives one sentence, with the mend."""
    (tmp_path / "data").write_text("")
    profile = load_profiles(None)["written pitch"]
    with pytest.raises(ChanterdError, match=r"'written pitch' cannot be saved there .*--data"):
        save_profile(profile, tmp_path / "data")


def test_a_chanter_without_a_name_is_not_saved(tmp_path: Path) -> None:
    """It could not be read back."""
    with pytest.raises(ChanterdError, match="name is empty"):
        save_profile(Profile("  ", "", load_profiles(None)["written pitch"].notes), tmp_path)


def test_a_chanter_is_not_saved_under_a_name_that_no_table_may_have(tmp_path: Path) -> None:
    """A saved profile that cannot be read at the next start would end the start."""
    for name in ("a\0b", "a\nb", "a" * 100_000):
        with pytest.raises(ChanterdError, match=r"must be on one line, of at most 80 characters"):
            save_profile(Profile(name, "", load_profiles(None)["written pitch"].notes), tmp_path)
    assert load_profiles(tmp_path) == load_profiles(None)
