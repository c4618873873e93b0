"""Standards: what is asked of a player, one file each in ``configs/standards/``. Every limit names its source there."""

from dataclasses import dataclass
from pathlib import Path

from chanterd.config import ChanterdError, Complaints, bundled, did_you_mean, read_toml
from chanterd.judging.limit import HEARD, Limit
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ms

DEFAULT = "steady"
DEFAULT_FILE = bundled("configs") / "standards" / f"{DEFAULT}.toml"


KEYS = {
    "beat": ("within_ms", "within_of_click"),
    "crushed": ("quick_under_ms", "held_under_ms"),
    "uneven": ("differ_over_ms", "times_over"),
    "wound up": ("over_ms", "over_of_note"),
    "cut short": ("over_ms", "over_of_note"),
    "paused": ("over_ms", "over_of_note"),
    "extra note": ("over_ms",),
    "crossing": ("over_ms",),
}
"""Every table of a standard and what it holds."""

HEARD_BETWEEN_STEPS_MS = 2 * HEARD.within_ms
"""Two lengths side by side differ by twice what the note between them is out of place."""


@dataclass(frozen=True, slots=True)
class Standard:
    """The limits of one standard; a rep within all of them is clean."""

    name: str
    said: str
    beat: Limit
    """How far from the click the step on the beat may be, to either side; a share of the click."""
    quick_under_ms: Ms
    held_under_ms: Ms
    uneven_over_ms: Ms
    """Steps of one kind are uneven if the longest is longer than the shortest by more than this …"""
    uneven_times_over: float
    """… and also by more than so many times."""
    wound_up: Limit
    """How much too long the note before may be, a share of its own time up to the beat."""
    cut_short: Limit
    """How much too short the note on either side may be, a share of its own time."""
    paused: Limit
    """How much too long the note after may be, a share of its own time from the beat."""
    extra_over_ms: Ms
    """A note that nobody asked for may last so long."""
    crossing_over_ms: Ms

    def beat_within_ns(self, click_ns: float) -> float:
        """How far from the click the step on the beat may be, to either side."""
        return self.beat.of(click_ns)

    def crushed_under_ns(self, kind: Kind) -> float:
        """The length below which a step of that kind is crushed."""
        return (self.quick_under_ms if kind is Kind.QUICK else self.held_under_ms) * NS_PER_MS


def read_standard(path: Path) -> Standard:
    """Read one standard; a table that it leaves out is as in the default one.

    Raises ConfigError with everything that is wrong with it.
    """
    complaints, tables = Complaints(path), read_toml(path)
    complaints.unknown_keys("file", tables, ("name", "said", *KEYS))
    usual = {name: table for name, table in read_toml(DEFAULT_FILE).items() if name in KEYS}
    found = {name: complaints.take_table("file", {**usual, **tables}, name) for name in KEYS}
    for name, table in found.items():
        complaints.unknown_keys(name, table, KEYS[name])

    def number(name: str, key: str, low: float, high: float) -> float:
        return complaints.take_number(name, found[name], key, low, high)

    def length(name: str, key: str, low: float, high: float) -> Ms:
        return Ms(number(name, key, low, high))

    def note_limit(name: str) -> Limit:
        return Limit(length(name, "over_ms", HEARD.within_ms, 500), number(name, "over_of_note", HEARD.share, 0.9))

    # The lowest values allowed are what can be heard at all.
    standard = Standard(
        name=complaints.take_text("file", tables, "name"),
        said=complaints.take_text("file", tables, "said"),
        beat=Limit(
            length("beat", "within_ms", HEARD.within_ms, 300), number("beat", "within_of_click", HEARD.share, 0.5)
        ),
        quick_under_ms=length("crushed", "quick_under_ms", 3, 100),
        held_under_ms=length("crushed", "held_under_ms", 3, 100),
        uneven_over_ms=length("uneven", "differ_over_ms", HEARD_BETWEEN_STEPS_MS, 300),
        uneven_times_over=number("uneven", "times_over", 1.1, 10),
        wound_up=note_limit("wound up"),
        cut_short=note_limit("cut short"),
        paused=note_limit("paused"),
        extra_over_ms=length("extra note", "over_ms", 3, 200),
        crossing_over_ms=length("crossing", "over_ms", 3, 200),
    )
    complaints.raise_if_any()
    return standard


def read_standards(*folders: Path) -> dict[str, Standard]:
    """Every standard in the bundled folder and then in the folders given, by name; a later one replaces an earlier one.

    Raises ConfigError with everything that is wrong with any of them.
    """
    found: dict[str, Standard] = {}
    wrong: list[str] = []
    for folder in (bundled("configs") / "standards", *folders):
        for path in sorted(folder.glob("*.toml")):
            try:
                standard = read_standard(path)
            except ChanterdError as error:
                wrong.append(str(error))
            else:
                found[standard.name] = standard
    if wrong:
        raise ChanterdError("\n".join(wrong))
    return found


def find_standard(name: str, standards: dict[str, Standard]) -> Standard:
    """The standard of that name. Raises ChanterdError with a guess at the one that was meant."""
    if name in standards:
        return standards[name]
    guess = did_you_mean(name, standards)
    raise ChanterdError(f"The standard '{name}' is not known.{guess} Known are: {', '.join(standards)}.")
