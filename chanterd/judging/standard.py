"""Standards: what is asked of a player, one file each in ``configs/standards/``. Every limit names its source there."""

from dataclasses import dataclass
from pathlib import Path

from chanterd.config import ChanterdError, Complaints, bundled, did_you_mean, read_toml
from chanterd.trade.ornament import Kind
from chanterd.trade.units import NS_PER_MS, Ms

DEFAULT = "steady"


@dataclass(frozen=True, slots=True)
class Standard:
    """The limits of one standard; a rep within all of them is clean."""

    name: str
    said: str
    beat_within_ms: Ms
    beat_within_of_click: float
    quick_under_ms: Ms
    held_under_ms: Ms
    crossing_over_ms: Ms

    def beat_within_ns(self, click_ns: float) -> float:
        """How far from the click the step on the beat may be, to either side."""
        return max(self.beat_within_ms * NS_PER_MS, self.beat_within_of_click * click_ns)

    def crushed_under_ns(self, kind: Kind) -> float:
        """The length below which a step of that kind is crushed."""
        return (self.quick_under_ms if kind is Kind.QUICK else self.held_under_ms) * NS_PER_MS


def read_standard(path: Path) -> Standard:
    """Read one standard. Raises ConfigError with everything that is wrong with it."""
    complaints, tables = Complaints(path), read_toml(path)
    complaints.unknown_keys("file", tables, ("name", "said", "beat", "crushed", "crossing"))
    beat, crushed, crossing = (complaints.take_table("file", tables, key) for key in ("beat", "crushed", "crossing"))
    complaints.unknown_keys("beat", beat, ("within_ms", "within_of_click"))
    complaints.unknown_keys("crushed", crushed, ("quick_under_ms", "held_under_ms"))
    complaints.unknown_keys("crossing", crossing, ("over_ms",))
    standard = Standard(
        name=complaints.take_text("file", tables, "name"),
        said=complaints.take_text("file", tables, "said"),
        # The lowest values allowed are what can be heard at all (Friberg and Sundberg 1995: 6 ms, 2.5 %).
        beat_within_ms=Ms(complaints.take_number("beat", beat, "within_ms", 6, 300)),
        beat_within_of_click=complaints.take_number("beat", beat, "within_of_click", 0.025, 0.5),
        quick_under_ms=Ms(complaints.take_number("crushed", crushed, "quick_under_ms", 3, 100)),
        held_under_ms=Ms(complaints.take_number("crushed", crushed, "held_under_ms", 3, 100)),
        crossing_over_ms=Ms(complaints.take_number("crossing", crossing, "over_ms", 3, 200)),
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
