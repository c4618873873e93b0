"""Words of a proposal's reasons: days, counts, stages. Pure."""

from datetime import date

from chanterd.music.drill import Drill

WEEK = 7
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def clicks(tempo: float) -> str:
    """A tempo with no more decimals than it has."""
    return f"{tempo:g}"


def times(clean: int, played: int) -> str:
    """How many were clean: ``4 times in 10``, ``once in 3``."""
    often = {0: "not once", 1: "once"}.get(clean, f"{clean} times")
    return f"{often} in {played}"


def day_said(day: date, today: date) -> str:
    """A day as it is said: ``today``, ``yesterday``, ``on Monday`` within a week, then ``on 3 March``."""
    ago = (today - day).days
    if ago <= 0:
        return "today"
    if ago == 1:
        return "yesterday"
    if ago < WEEK:
        return f"on {WEEKDAYS[day.weekday()]}"
    year = "" if day.year == today.year else f" {day.year}"
    return f"on {day.day} {MONTHS[day.month - 1]}{year}"


def coming_day(day: date, today: date) -> str:
    """A day that is not over: ``today``, ``tomorrow``, ``on Friday`` within a week, then ``on 3 March``."""
    ahead = (day - today).days
    if ahead <= 1:
        return "tomorrow" if ahead == 1 else "today"
    if ahead < WEEK:
        return f"on {WEEKDAYS[day.weekday()]}"
    year = "" if day.year == today.year else f" {day.year}"
    return f"on {day.day} {MONTHS[day.month - 1]}{year}"


def on_day(first: date, last: date, today: date) -> str:
    """One day as it is said, or ``since`` the first of several."""
    if first == last:
        return day_said(last, today)
    return f"since {day_said(first, today).removeprefix('on ')}"


def stage_of(drill: Drill, stage: int) -> str:
    """A stage of a drill's build-up: ``stage 2 of the grip from B to C``."""
    return f"stage {stage} of the {drill.words}"
