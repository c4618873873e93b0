"""Chanter profiles: which MIDI numbers are the nine notes, on which channel, what to ignore; read from TOML and saved.

Conventions: MIDI numbers are 0 to 127, channels are 1 to 16 as printed on devices. Bundled profiles lie in
``configs/chanters``; a profile of the same name in ``DATA/chanters`` takes its place, a new name stands beside it.
"""

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chanterd.config import ChanterdError, Complaints, ConfigError, bundled, did_you_mean, read_toml
from chanterd.music.note import WORDS, Note, note_from_words

FOLDER = "chanters"
BOUNCE_MS = 8.0
"""Default bounce time: "within a few ms" is common practice, no source; no finger repeats a note this fast."""
DEFAULT_PROFILE = "written pitch"
"""How a chanter is read of which nothing is known."""

HIGHEST_BOUNCE_MS = 50.0
_KEYS = ("name", "said", "channel", "drones", "bounce_ms", "notes")


@dataclass(frozen=True, slots=True)
class Profile:
    """How one kind of chanter speaks MIDI."""

    name: str
    said: str
    """One sentence about it for a list to choose from."""
    notes: Mapping[int, Note]
    """MIDI number (0 to 127) to note; every one of the nine notes is there, some perhaps under several numbers."""
    channel: int | None = None
    """1 to 16; None: any."""
    drones: frozenset[int] = frozenset()
    """MIDI numbers that sound on beneath and are not played."""
    bounce_ms: float = BOUNCE_MS
    """The same note again within this time was not played."""


def load_profiles(data_dir: Path | None) -> dict[str, Profile]:
    """Every profile by name, ``DEFAULT_PROFILE`` first: the bundled ones, then those in ``data_dir / "chanters"``.

    Raises ConfigError with every mistake in every file, a line each.
    """
    mistakes: list[str] = []
    profiles = _read_folder(bundled("configs") / FOLDER, mistakes)
    if data_dir is not None:
        profiles |= _read_folder(data_dir / FOLDER, mistakes)
    if mistakes:
        raise ConfigError("\n".join(mistakes))
    return {DEFAULT_PROFILE: profiles[DEFAULT_PROFILE], **profiles}


def find_profile(name: str, profiles: Mapping[str, Profile]) -> Profile:
    """The profile of that name. Raises ChanterdError with a guess at the one that was meant."""
    if name in profiles:
        return profiles[name]
    known = ", ".join(profiles)
    raise ChanterdError(f"The profile '{name}' is not known.{did_you_mean(name, profiles)} Known are: {known}.")


def save_profile(profile: Profile, data_dir: Path) -> Path:
    """Write the profile as commented TOML below ``data_dir``, whole or not at all, and say where.

    Raises ChanterdError if the name is empty or the folder cannot be written.
    """
    if not profile.name.strip():
        raise ChanterdError("The chanter's name is empty; give it a name of one letter or more.")
    folder = data_dir / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path = _free_path(folder, profile.name)
        half = path.with_suffix(".toml.new")
        with half.open("w", encoding="utf-8") as file:
            file.write(_as_toml(profile))
            file.flush()
            os.fsync(file.fileno())
        half.replace(path)
    except OSError as error:
        raise ChanterdError(
            f"{folder}: the chanter '{profile.name}' cannot be saved there ({error.strerror}). "
            "Choose another folder with --data, or make room and allow writing there."
        ) from error
    return path


def _read_folder(folder: Path, mistakes: list[str]) -> dict[str, Profile]:
    profiles: dict[str, Profile] = {}
    for path in sorted(folder.glob("*.toml")):
        complaints = Complaints(path)
        try:
            profile = _read_profile(read_toml(path), complaints)
        except ConfigError as error:
            mistakes.append(str(error))
            continue
        if profile.name in profiles:
            complaints.add("name", f"'{profile.name}' is the name of another file in {folder} too; change one of them.")
        profiles[profile.name] = profile
        mistakes += complaints.lines
    return profiles


def _read_profile(table: Mapping[str, Any], complaints: Complaints) -> Profile:
    complaints.unknown_keys("top", table, _KEYS)
    notes = _take_notes(table.get("notes"), complaints)
    drones = frozenset(_take_midi("top", "drones", table.get("drones", []), complaints))
    for midi in sorted(drones & notes.keys()):
        complaints.add("drones", f"{midi} is the note {notes[midi].words} as well; take it out of one of the two.")
    return Profile(
        name=complaints.take_text("top", table, "name"),
        said=complaints.take_text("top", table, "said", ""),
        notes=notes,
        channel=_take_channel(table.get("channel", "any"), complaints),
        drones=drones,
        bounce_ms=complaints.take_number("top", table, "bounce_ms", 0, HIGHEST_BOUNCE_MS, BOUNCE_MS),
    )


def _take_channel(value: object, complaints: Complaints) -> int | None:
    if value == "any":
        return None
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 16:  # noqa: PLR2004 - MIDI channels
        return value
    complaints.add("top", f"'channel' is {value!r}; it must be \"any\" or a whole number from 1 to 16.")
    return None


def _take_notes(value: object, complaints: Complaints) -> dict[int, Note]:
    if not isinstance(value, Mapping):
        complaints.add("notes", "the table [notes] is missing; it gives the MIDI number of each of the nine notes.")
        return {}
    notes: dict[int, Note] = {}
    named: set[Note] = set()
    for words, numbers in value.items():
        try:
            note = note_from_words(words)
        except ChanterdError as error:
            complaints.add("notes", str(error))
            continue
        named.add(note)
        for midi in _take_midi("notes", words, numbers if isinstance(numbers, list) else [numbers], complaints):
            if midi in notes:
                complaints.add("notes", f"{midi} stands for both {notes[midi].words} and {note.words}; change one.")
            notes[midi] = note
    missing = [note.words for note in Note if note not in named]
    if missing:
        complaints.add("notes", f"{', '.join(missing)} missing; all nine must be there: {', '.join(WORDS)}.")
    return notes


def _take_midi(where: str, key: str, value: object, complaints: Complaints) -> list[int]:
    numbers = value if isinstance(value, list) else [value]
    good = [one for one in numbers if isinstance(one, int) and not isinstance(one, bool) and 0 <= one <= 127]  # noqa: PLR2004
    if len(good) < len(numbers) or (where == "notes" and not numbers):
        complaints.add(where, f"'{key}' is {value!r}; MIDI numbers are whole numbers from 0 to 127, without quotes.")
    return good


def _free_path(folder: Path, name: str) -> Path:
    """Where that name is kept: its own file if there is one, else a new one that takes nobody's place."""
    stem = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in name.lower()).split()) or "chanter"
    for path in (folder / f"{stem[:60]}{tail}.toml" for tail in ("", *(f"-{n}" for n in range(2, 1000)))):
        if not path.exists() or _name_in(path) == name:
            return path
    raise ChanterdError(f"{folder}: there are too many chanters named like '{name}'; choose another name.")


def _name_in(path: Path) -> object:
    try:
        return read_toml(path).get("name")
    except ConfigError:
        return None


def _as_toml(profile: Profile) -> str:
    by_note = {note: [midi for midi, one in profile.notes.items() if one is note] for note in Note}
    lines = [
        "# A chanter's profile, written by chanterd. Edit it as you like; all of it is read anew at the next start.",
        f"name = {_quoted(profile.name)}",
        f"said = {_quoted(profile.said)}",
        "",
        '# The MIDI channel, 1 to 16, or "any".',
        f"channel = {_quoted('any') if profile.channel is None else profile.channel}",
        "# MIDI numbers that sound on beneath and are not played.",
        f"drones = {sorted(profile.drones)}",
        "# The same note again within this many milliseconds was not played (0 to 50).",
        f"bounce_ms = {float(profile.bounce_ms)}",
        "",
        "# The MIDI number of each of the nine notes, 0 to 127, or a list of numbers.",
        "[notes]",
        *(f"{_quoted(note.words)} = {by_note[note][0] if len(by_note[note]) == 1 else by_note[note]}" for note in Note),
    ]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    """A TOML basic string: JSON's escapes are among TOML's, but TOML wants DEL escaped as well."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
