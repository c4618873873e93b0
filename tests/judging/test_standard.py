"""Standards: the files a teacher may change, their limits and where each comes from, and what is said of mistakes."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError, bundled
from chanterd.judging.standard import DEFAULT, DEFAULT_FILE, Standard, find_standard, read_standards
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ms
from chanterd.table_file import read_toml

FILES = sorted((bundled("configs") / "standards").glob("*.toml"))
STANDARDS = list(read_standards().values())
NAMED = [standard.name for standard in STANDARDS]

SOURCES = r"\b(19|20)\d\d\b|common practice, no source"
"""A published source is named with its year; everything else must say that it has none."""


def audible_ms(interval_ms: float) -> float:
    """The least displacement heard in a row of notes: 6 ms, above 240 ms apart 2.5 % (Friberg and Sundberg 1995)."""
    return max(6.0, 0.025 * interval_ms)


@pytest.mark.parametrize("click_bpm", [SLOWEST_BPM, 60, 80, 120, 200, FASTEST_BPM])
@pytest.mark.parametrize("standard", STANDARDS, ids=NAMED)
def test_the_beat_limit_is_never_finer_than_can_be_heard(standard: Standard, click_bpm: float) -> None:
    """Friberg and Sundberg 1995, JASA 98:2524: whatever the tempo, the beat limit is not below what can be heard."""
    click_ms = 60_000 / click_bpm
    for limit in (standard.beat, standard.wound_up, standard.cut_short, standard.paused):
        assert limit.of(click_ms * NS_PER_MS) >= audible_ms(click_ms) * NS_PER_MS
    assert standard.uneven_over_ms >= 2 * audible_ms(
        60
    )  # a step out of place makes its neighbours differ by twice that


@pytest.mark.parametrize("standard", STANDARDS, ids=NAMED)
def test_a_step_is_crushed_only_where_it_may_be_unheard(standard: Standard) -> None:
    """Between temporal acuity (2-3 ms) and a bit over the order threshold (20 ms, Hirsh 1959, cited in Watson 2004).

    A held step carries the rhythm, so it must be no shorter than a quick one (common practice, no source).
    """
    assert 3 * NS_PER_MS < standard.crushed_under_ns(Kind.QUICK) <= 20 * NS_PER_MS
    assert standard.crushed_under_ns(Kind.QUICK) <= standard.crushed_under_ns(Kind.HELD) <= 30 * NS_PER_MS


@pytest.mark.parametrize("standard", STANDARDS, ids=NAMED)
def test_a_crossing_noise_is_a_fault_only_when_it_has_a_pitch(standard: Standard) -> None:
    """About four periods are needed to know a pitch (Hsieh and Saberi 2007): 8.3 ms at 480 Hz."""
    assert standard.crossing_over_ms >= 4 / 480 * 1000


def test_the_standards_go_from_mild_to_strict() -> None:
    """Whoever is clean by a stricter one is clean by a milder one: at each tempo, every limit is in that order."""
    milder, steady, stricter = (find_standard(name, read_standards()) for name in ("learner", "steady", "competition"))
    for one, next_one in ((milder, steady), (steady, stricter)):
        assert one.crossing_over_ms >= next_one.crossing_over_ms
        assert one.extra_over_ms >= next_one.extra_over_ms
        assert one.uneven_over_ms >= next_one.uneven_over_ms
        assert one.uneven_times_over >= next_one.uneven_times_over
        for kind in (Kind.QUICK, Kind.HELD):
            assert one.crushed_under_ns(kind) <= next_one.crushed_under_ns(kind)
        for click_bpm in (SLOWEST_BPM, 60, 120, FASTEST_BPM):
            for limit in ("beat", "wound_up", "cut_short", "paused"):
                mild, strict = getattr(one, limit), getattr(next_one, limit)
                assert mild.of(60e9 / click_bpm) >= strict.of(60e9 / click_bpm)


def test_the_beat_limit_is_the_larger_of_the_two() -> None:
    """At a slow click the share counts, at a fast one the milliseconds."""
    standard = find_standard(DEFAULT, read_standards())
    slow_ns, fast_ns = 60e9 / SLOWEST_BPM, 60e9 / FASTEST_BPM
    assert standard.beat_within_ns(slow_ns) == standard.beat.share * slow_ns
    assert standard.beat_within_ns(fast_ns) == standard.beat.within_ms * NS_PER_MS


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_every_limit_names_its_source(path: Path) -> None:
    """Each number's line has a comment with a publication's year, or with 'common practice, no source'."""
    numbers = [line for line in path.read_text().splitlines() if re.match(r"\s*\w+\s*=\s*[\d.]+", line)]
    assert len(numbers) == 18
    for line in numbers:
        assert re.search(SOURCES, line.partition("#")[2]), line


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_file_is_called_like_its_standard(path: Path) -> None:
    """So that a teacher finds it, and each says in a sentence what it asks."""
    standard = read_standards()[read_toml(path)["name"]]
    assert standard.name == path.stem
    assert standard.said.endswith(".")


MISSPELT = (
    "standards/mine.toml: beat: 'within_of_clik' is not known here. Did you mean 'within_of_click'? "
    "Known are: within_ms, within_of_click."
)


WRONG = [
    "standards/mine.toml: file: 'crossing' is 3; it must be a table, begun by a line [crossing].",
    MISSPELT,
    "standards/mine.toml: file: 'said' is ''; it must be a text in quotes.",
    "standards/mine.toml: beat: 'within_ms' is 5.9; it must be a number from 6 to 300.",
    "standards/mine.toml: beat: 'within_of_click' is missing; it must be a number from 0.025 to 0.5.",
    "standards/mine.toml: crushed: 'quick_under_ms' is nan; it must be a number from 3 to 100.",
    "standards/mine.toml: wound up: 'over_ms' is 5; it must be a number from 6 to 500.",
    "standards/mine.toml: wound up: 'over_of_note' is missing; it must be a number from 0.025 to 0.9.",
    "standards/mine.toml: cut short: 'over_ms' is missing; it must be a number from 6 to 500.",
    "standards/mine.toml: cut short: 'over_of_note' is 0.02; it must be a number from 0.025 to 0.9.",
]


def own(folder: Path, name: str) -> Path:
    """The path of a teacher's own standard in a data folder."""
    (folder / "standards").mkdir(exist_ok=True)
    return folder / "standards" / name


def test_an_error_in_a_standard_lists_all_its_mistakes(tmp_path: Path) -> None:
    """Below what can be heard, misspelt, no number, no table: a line each, with file and place."""
    path = own(tmp_path, "mine.toml")
    path.write_text(
        'name = "mine"\nsaid = ""\ncrossing = 3\n[beat]\nwithin_ms = 5.9\nwithin_of_clik = 0.1\n'
        "[crushed]\nquick_under_ms = nan\nheld_under_ms = 25\n"
        '["wound up"]\nover_ms = 5\n["cut short"]\nover_of_note = 0.02\n'
    )
    with pytest.raises(ConfigError) as caught:
        read_standards(tmp_path)
    assert sorted(str(caught.value).splitlines()) == sorted(WRONG)


def copy(folder: Path, name: str, old: str, new: str) -> None:
    """A teacher's copy of the default standard with one thing changed."""
    text = (bundled("configs") / "standards" / f"{DEFAULT}.toml").read_text()
    assert old in text
    own(folder, name).write_text(text.replace(old, new))


def test_a_teachers_own_standard_adds_to_ours_or_replaces_it(tmp_path: Path) -> None:
    """By its name in the file: a new one is added, an equal one replaces."""
    copy(tmp_path, "club.toml", 'name = "steady"', 'name = "club"')
    copy(tmp_path, "other.toml", "within_ms = 40.0", "within_ms = 33.0")
    found = read_standards(tmp_path)
    assert set(found) == {*NAMED, "club"}
    assert found["club"].beat.within_ms == Ms(40)
    assert found[DEFAULT].beat.within_ms == Ms(33)


def test_what_a_standard_leaves_out_is_as_in_the_default_one(tmp_path: Path) -> None:
    """A teacher's file that says only how near the beat must be; the rest is not asked to be written again."""
    path = own(tmp_path, "beat.toml")
    path.write_text('name = "beat"\nsaid = "On the beat."\n[beat]\nwithin_ms = 9\nwithin_of_click = 0.03\n')
    mine, usual = read_standards(tmp_path)["beat"], find_standard(DEFAULT, read_standards())
    assert mine.beat != usual.beat
    assert replace(mine, name=usual.name, said=usual.said, beat=usual.beat) == usual


def test_all_wrong_files_of_a_folder_are_reported_at_once(tmp_path: Path) -> None:
    """Two broken copies: both are named, and no half of them is used."""
    copy(tmp_path, "a.toml", "within_ms = 40.0", "within_ms = 4")
    copy(tmp_path, "b.toml", "[crushed]", "[crushed")
    with pytest.raises(ChanterdError) as caught:
        read_standards(tmp_path)
    first, second = str(caught.value).splitlines()
    assert first == "standards/a.toml: beat: 'within_ms' is 4; it must be a number from 6 to 300."
    assert second.startswith(f"{tmp_path / 'standards' / 'b.toml'}: is not valid TOML")


def test_an_unknown_standard_is_guessed_and_the_known_ones_are_named() -> None:
    """The sentence has the name asked for, a guess, and the choice."""
    with pytest.raises(ChanterdError) as caught:
        find_standard("compettion", read_standards())
    assert str(caught.value) == (
        "The standard 'compettion' is not known. Did you mean 'competition'? Known are: competition, learner, steady."
    )


@pytest.mark.parametrize(
    ("table", "key", "least"),
    [
        ("beat", "within_ms", 6),
        ("beat", "within_of_click", 0.025),
        ("crushed", "quick_under_ms", 3),
        ("crushed", "held_under_ms", 3),
        ("uneven", "differ_over_ms", 12),
        ("uneven", "times_over", 1.1),
        ("wound up", "over_ms", 6),
        ("wound up", "over_of_note", 0.025),
        ("cut short", "over_ms", 6),
        ("paused", "over_of_note", 0.025),
        ("extra note", "over_ms", 3),
        ("crossing", "over_ms", 3),
    ],
)
def test_no_limit_may_be_below_what_can_be_heard(tmp_path: Path, table: str, key: str, least: float) -> None:
    """6 ms or 2.5 % (Friberg and Sundberg 1995), 2-3 ms for a sound at all (Plomp 1964, from memory); 1.1 is ours."""
    usual = {name: dict(values) for name, values in read_toml(DEFAULT_FILE).items() if isinstance(values, dict)}

    def written(value: float) -> dict[str, Standard]:
        path, tables = own(tmp_path, "mine.toml"), {**usual, table: {**usual[table], key: value}}
        lines = ['name = "mine"', 'said = "Mine."']
        for name, values in tables.items():
            lines += [f'["{name}"]', *(f"{one} = {number}" for one, number in values.items())]
        path.write_text("\n".join(lines), encoding="utf-8")
        return read_standards(tmp_path)

    assert "mine" in written(least)
    with pytest.raises(ConfigError, match=f"'{key}' is"):
        written(least * 0.99)


@pytest.mark.parametrize(("bpm", "limit_ms"), [(40.0, 60.0), (60.0, 40.0), (120.0, 40.0)])
def test_the_limit_about_the_beat_goes_by_the_tempo(bpm: float, limit_ms: float) -> None:
    """Steady: 40 ms, or 4 % of a click where that is more."""
    assert read_standards()["steady"].on_beat_ms(bpm) == limit_ms
