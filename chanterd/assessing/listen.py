"""Listening to a recording of which nothing is known: which ornaments are in it, and which passages."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import mido

from chanterd.assessing.alignment import MOST_SEMITONES, transposed, transposed_words
from chanterd.assessing.assess import hear_take
from chanterd.assessing.followed import FollowedPassage, followed
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import DEFAULT_PROFILE, Profile
from chanterd.hearing.take import Take
from chanterd.judging.standard import Standard, usual_standard
from chanterd.listening.around import Surroundings
from chanterd.listening.found import Found
from chanterd.listening.judged import judge_found
from chanterd.listening.listener import REST_NS, Listener
from chanterd.listening.meant import as_meant
from chanterd.listening.neighbours import Beside, reconsidered
from chanterd.listening.passages import Passage, Stretch, passages_of
from chanterd.listening.report import HeardOrnament, Listened, heard_ornament, passage_row
from chanterd.listening.tally import Tally
from chanterd.listening.tunes import KnownTune, known_tune, melody_of, tunes_in
from chanterd.listening.written import Written, written_in
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.ornament import Book
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import NS_PER_MS, Ns

AFTER_NS = 20 * NS_PER_MS
"""How long after a passage its last note may end: our own choice."""
ENOUGH = 400
"""How many messages at the start are tried on each chanter that may be the right one: our own choice."""


@dataclass(frozen=True, slots=True)
class HeardTake:
    """What was heard in a take."""

    profile: Profile
    said: str
    """That it is transposed; empty if it is not."""
    found: tuple[Found, ...]
    passages: tuple[Passage, ...]
    judged: tuple[FollowedPassage, ...]
    """The passages, by the usual standard."""
    heard: tuple[Heard, ...]
    book: Book
    tunes: tuple[KnownTune, ...] = ()
    """Those that were looked for."""

    def listed(self, standard: Standard) -> Listened:
        """As ``chanterd listen --json`` prints it, judged by that standard."""
        judged = self.judged
        if standard != usual_standard():
            judged = followed(self.passages, self.heard, self.tunes, self.book, standard)
        asked = {at: one for each in judged for one in each.ornaments if (at := one.theme_ns) is not None}
        ornaments: list[HeardOrnament] = []
        tally = Tally()
        for found in self.found:
            one = asked.get(found.sounds[-1].onset_ns)
            one = one if one is not None and one.words == found.words else None
            ornaments.append({"off_beat_ms": None, **heard_ornament(found, standard, followed=one)})
            shaped = judge_found(found, standard)
            if shaped is not None:
                tally.add(shaped, None if one is None else [fault["fault"] for fault in one.faults])
        return {
            "ornaments": ornaments,
            "passages": [
                passage_row(passage, one.placement) for passage, one in zip(self.passages, judged, strict=True)
            ],
            "summary": tally.rows(),
        }


def listen_to(
    take: Take,
    profiles: Mapping[str, Profile],
    book: Book,
    chanter: Profile | None = None,
    tunes: Sequence[KnownTune] = (),
) -> HeardTake:
    """Listen to a whole take, on that chanter or on the one that fits; the tunes in it are looked for among these.

    Raises ChanterdError if no chanter's profile knows its notes.
    """
    profile, semitones = (chanter, 0) if chanter is not None else _fitting(take, profiles, book)
    played = transposed(profile, semitones) if semitones else profile
    heard = list(hear_take(take, played))
    said = transposed_words(profile, semitones) if semitones else ""
    return HeardTake(played, said, *taken_apart(heard, book, tunes), tuple(heard), book, tuple(tunes))


def taken_apart(
    heard: Sequence[Heard], book: Book, tunes: Sequence[KnownTune] = ()
) -> tuple[tuple[Found, ...], tuple[Passage, ...], tuple[FollowedPassage, ...]]:
    """The ornaments in what was heard, each by all that is around it, the passages, and how these were judged.

    Where a drill or a tune was played, what was meant by each ornament is known once that was followed.
    """
    found, stretches, played = ornaments_among(heard, book), stretches_in(heard), list[Passage]()
    if tunes:
        melody = melody_of(heard, found)
        played = [one for stretch in stretches for one in tunes_in(melody, tunes, stretch)]
        found = read_again(heard, book, found, written_in(played, tunes, book)) if played else found
    passages = passages_of(found, stretches, played)
    judged = followed(passages, heard, tunes, book, usual_standard())
    meant = as_meant(found, [one for each in judged for one in each.ornaments], heard, book)
    return tuple(meant), tuple(passages), judged


def tunes_at_hand(shelf: Shelf) -> list[KnownTune]:
    """Every tune that can be read, by its title or the name of its file."""
    return [known_tune(one.tune.title or one.path.stem, one.tune) for one in shelf.tunes() if one.tune is not None]


def messages_in(take: Take, passage: Passage, zero_ns: Ns) -> tuple[tuple[mido.Message, Ns], ...]:
    """The messages of a passage, timed from ``zero_ns``, with what ends its last note."""
    return tuple(
        (message, Ns(at_ns - zero_ns))
        for message, at_ns in take.messages
        if passage.start_ns <= at_ns < passage.end_ns
        or (message.type == "note_off" and passage.start_ns < at_ns <= passage.end_ns + AFTER_NS)
    )


def ornaments_among(heard: Sequence[Heard], book: Book) -> list[Found]:
    """All ornaments in order of time, each by all that is around it."""
    return read_again(heard, book, ornaments_in(heard, book))


def read_again(
    heard: Sequence[Heard], book: Book, found: Sequence[Found], written: Sequence[Written] = ()
) -> list[Found]:
    """All ornaments once more, since it is known now what is around each place, and perhaps what is ``written``.

    Where a melody note was taken for a step, an ornament may also begin and end elsewhere than at first.
    """
    again = ornaments_in(heard, book, Beside(found, written=written))
    return reconsidered(again, written=written)


def ornaments_in(heard: Iterable[Heard], book: Book, around: Surroundings | None = None) -> list[Found]:
    """All ornaments, in order of time, by what was heard before them or by what is known to be ``around``."""
    listener = Listener(book, around=around)
    found: list[Found] = []
    last = Ns(0)
    for one in heard:
        found += listener.hear(one)
        last = one.at_ns
    return found + listener.finish(last)


def stretches_in(heard: Iterable[Heard]) -> list[Stretch]:
    """Where something sounded, without a rest."""
    stretches: list[Stretch] = []
    since: Ns | None = None
    silent: Ns | None = None
    last = Ns(0)
    for one in heard:
        last = one.at_ns
        if isinstance(one, Silence):
            silent = one.at_ns
        elif isinstance(one, Onset):
            if since is not None and silent is not None and one.at_ns - silent > REST_NS:
                stretches.append(Stretch(since, silent))
                since = None
            since, silent = one.at_ns if since is None else since, None
    if since is not None:
        stretches.append(Stretch(since, last if silent is None else silent))
    return stretches


def _fitting(take: Take, profiles: Mapping[str, Profile], book: Book) -> tuple[Profile, int]:
    """The chanter, and how much higher than it the take is.

    Of those that know all its notes it is the one with which most ornaments are recognised; of equals the usual one.
    """
    used = {message.note for message, _ in take.messages if message.type == "note_on" and message.velocity}
    ordered = sorted(profiles.values(), key=lambda profile: profile.name != DEFAULT_PROFILE)
    fitting = [(profile, 0) for profile in ordered if used <= {*profile.notes, *profile.drones}]
    if not fitting:
        fitting = [
            (profile, semitones)
            for profile in ordered
            for semitones in sorted(range(-MOST_SEMITONES, MOST_SEMITONES + 1), key=abs)
            if {midi - semitones for midi in used} <= {*profile.notes, *profile.drones}
        ]
    if not fitting:
        numbers = ", ".join(map(str, sorted(used)[:12]))
        raise ChanterdError(
            f"{take.name}: no chanter profile knows all its notes (MIDI {numbers}). Name one with --chanter, or teach "
            "the daemon your chanter with 'chanterd learn'."
        )
    if len(fitting) == 1:
        return fitting[0]
    start = Take(take.name, take.messages[:ENOUGH], take.click_bpm, take.tempi)

    def recognised(one: tuple[Profile, int]) -> int:
        profile, semitones = one
        found = ornaments_in(hear_take(start, transposed(profile, semitones) if semitones else profile), book)
        return sum(ornament.way is not None for ornament in found)

    return max(fitting, key=recognised)
