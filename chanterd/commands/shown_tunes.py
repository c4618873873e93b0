"""A player's tunes over weeks, for the terminal."""

from collections.abc import Iterator, Sequence

from chanterd.progress.tune_section import tempo_words
from chanterd.progress.tunes import TuneOverTime
from chanterd.progress.words import clean_words, count, day_words


def tunes_lines(name: str, tunes: Sequence[TuneOverTime]) -> Iterator[str]:
    """Each tune with a line a week, then a line for each ornament of it: what went worst last is first."""
    if not tunes:
        yield f"{name} played no tune in these days."
    for number, tune in enumerate(tunes):
        if number:
            yield ""
        yield f"{tune.title}: {count(tune.runs, 'run')} on {count(tune.days, 'day')}."
        for week in tune.weeks:
            how = f"{clean_words(week.clean, week.ornaments)}, {tempo_words(week)}, {count(week.runs, 'run')}"
            yield f"  week of {day_words(week.day)}: {how}"
        width = max((len(one.drill) for one in tune.ornaments), default=0)
        for one in tune.ornaments:
            now = clean_words(one.last_clean, one.last_played)
            then = f"{clean_words(one.first_clean, one.first_played)}, now {now}" if one.weeks > 1 else now
            yield f"    {one.drill:{width}}  {then}"
