"""Chanter profiles: which MIDI numbers are the nine notes, on which channel, what to ignore; read from TOML and saved.

Conventions: MIDI numbers are 0 to 127, channels are 1 to 16 as printed on devices. Profiles are in
``configs/chanters``; one of the same name in ``DATA/chanters`` takes its place, one of another name is added.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval, Len
from typing_extensions import Doc, TypedDict

from chanterd.config import ChanterdError, ConfigError, find, quoted
from chanterd.files import file_stem, write_whole
from chanterd.music.note import Note, NoteName, missing_notes
from chanterd.table_file import TableFile, load, read_toml
from chanterd.values import OptionalSentence, Read, Text, Title, table

FOLDER = "chanters"
BOUNCE_MS = 8.0
"""Default bounce time: "within a few ms" is common practice, no source; no finger repeats a note this fast."""
DEFAULT_PROFILE = "written pitch"
"""How a chanter is read of which nothing is known."""

HIGHEST_BOUNCE_MS = 50.0
HIGHEST_MIDI = 127
NAME = Text(80)
"""What a profile may be called; see ``Title``."""


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
    """MIDI numbers of drones, which sound all the time and are not played."""
    bounce_ms: float = BOUNCE_MS
    """The same note again within this time was not played."""


def _channel(value: object) -> int | None:
    if value == "any":
        return None
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 16:  # noqa: PLR2004 - MIDI channels
        return value
    raise ChanterdError(f"'channel' is {quoted(value)}; it must be \"any\" or a whole number from 1 to 16.")


def _numbers(value: object) -> tuple[int, ...]:
    numbers = value if isinstance(value, list) else [value]
    good = [one for one in numbers if isinstance(one, int) and not isinstance(one, bool) and 0 <= one <= HIGHEST_MIDI]
    if not numbers or len(good) < len(numbers):
        raise ChanterdError(f"{quoted(value)} is no MIDI number; they are whole numbers from 0 to 127, without quotes.")
    return tuple(good)


@table
class ProfileTable(TypedDict):
    """A file."""

    name: Title
    said: NotRequired[OptionalSentence]
    channel: NotRequired[Annotated[int | None, Read(_channel, of_text=False)]]
    drones: NotRequired[Annotated[list[Annotated[int, Interval(ge=0, le=HIGHEST_MIDI)]], Len(0, HIGHEST_MIDI + 1)]]
    bounce_ms: NotRequired[Annotated[float, Interval(ge=0, le=HIGHEST_BOUNCE_MS)]]
    notes: Annotated[
        dict[NoteName, Annotated[tuple[int, ...], Read(_numbers, of_text=False)]],
        Doc("a table [notes] with the MIDI number of each of the nine notes"),
    ]


def load_profiles(data_dir: Path | None) -> dict[str, Profile]:
    """Every profile by name, ``DEFAULT_PROFILE`` first: those that ship, then those in ``data_dir / "chanters"``.

    Raises ConfigError with every mistake in every file, a line each.
    """
    profiles = load(FOLDER, data_dir, _read_profile)
    return {DEFAULT_PROFILE: profiles[DEFAULT_PROFILE], **profiles}


def _read_profile(file: TableFile) -> Iterator[tuple[str, Profile]]:
    found = file.checked(ProfileTable, rules=(_missing_mistake, _twice_mistake, _drone_mistake))
    if found is not None:
        yield (
            found["name"],
            Profile(
                name=found["name"],
                said=found.get("said", ""),
                notes={midi: note for note, numbers in found["notes"].items() for midi in numbers},
                channel=found.get("channel"),
                drones=frozenset(found.get("drones", ())),
                bounce_ms=found.get("bounce_ms", BOUNCE_MS),
            ),
        )


def _missing_mistake(_: ProfileTable, written: Mapping[str, Any]) -> str | None:
    return missing_notes("notes", written.get("notes"))


def _twice_mistake(row: ProfileTable, _: Mapping[str, Any]) -> str | None:
    numbers = Counter(midi for given in row["notes"].values() for midi in set(given))
    twice = [
        f"{midi} is both {' and '.join(note.words for note, given in row['notes'].items() if midi in given)}"
        for midi, times in numbers.items()
        if times > 1
    ]
    return f"{'; '.join(twice)}; change one." if twice else None


def _drone_mistake(row: ProfileTable, _: Mapping[str, Any]) -> str | None:
    both = sorted({midi for given in row["notes"].values() for midi in given} & set(row["drones"]))
    numbers = ", ".join(map(str, both))
    return f"'drones' has {numbers}, a note as well; take it out of one of the two." if both else None


def find_profile(name: str, profiles: Mapping[str, Profile]) -> Profile:
    """The profile of that name. Raises ChanterdError with a guess at the one you mean."""
    return find("profile", name, profiles)


def save_profile(profile: Profile, data_dir: Path) -> Path:
    """Write the profile as commented TOML below ``data_dir``, whole or not at all, and say where.

    Raises ChanterdError if the name is none that a table may have, or the folder cannot be written.
    """
    if not profile.name.strip():
        raise ChanterdError("The chanter's name is empty; give it a name of one letter or more.")
    if not NAME.allows(profile.name):
        raise ChanterdError(
            f"The chanter's name is {quoted(profile.name)}; it must be on one line, of at most {NAME.longest} "
            "characters, without control characters."
        )
    folder = data_dir / FOLDER
    mend = "choose another folder with --data, or make room and allow writing there"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path = _free_path(folder, profile.name)
    except OSError as error:
        said = f"{folder}: the chanter {quoted(profile.name)} cannot be saved there ({error.strerror}); {mend}."
        raise ChanterdError(said) from error
    write_whole(path, [_as_toml(profile).encode()], mend)
    return path


def _free_path(folder: Path, name: str) -> Path:
    """Where that name is kept: its own file if there is one, else a new one that takes nobody's place."""
    stem = file_stem(name, "chanter")
    for path in (folder / f"{stem}{tail}.toml" for tail in ("", *(f"-{n}" for n in range(2, 1000)))):
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
        "# A chanter's profile, written by chanterd. Edit it as you like; it is read at the next start.",
        f"name = {_quoted(profile.name)}",
        f"said = {_quoted(profile.said)}",
        "",
        '# The MIDI channel, 1 to 16, or "any".',
        f"channel = {_quoted('any') if profile.channel is None else profile.channel}",
        "# MIDI numbers of drones, which sound all the time and are not played.",
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
