"""What a reading of what was heard costs: the cheapest way to explain all sounds as melody notes and ornaments wins.

Prices are rough logarithms of how unlikely a thing is. That an ornament costs once what a melody costs for every note
is what makes a run of three or four known notes an ornament at any speed, and a dotted melody's short note none.

Lengths are compared by their logarithm with what is usual: of steps, with the player's own hand as it has been heard
so far; of melody notes, with those heard before. Logarithms are natural, spreads are those of a length's logarithm, and
times are in ms. All of it is a choice of ours, tuned on simulated playing with known
truth (``tests/bench/bench_listen.py``); only the order of the figures is argued for here.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Prices:
    """Prices, and the times they depend on."""

    note: float = 1.45
    """A melody note: which of a handful it is."""
    melody_ms: float = 300.0
    melody_spread: float = 0.7
    """How melody notes differ in length, as a share of the logarithm: from a cut note to a long one."""
    melody_long: float = 0.5
    """The most that a long note costs for being long: a player may rest on it."""

    usual: float = 0.95
    """An ornament that tunes are full of, whatever its number of steps; …"""
    seldom: float = 2.75
    rare: float = 3.7
    """… and others (see ``configs/listening.toml``)."""
    elsewhere: float = 1.9
    """Besides, for one that the book has no drill for from that note."""
    quick_ms: float = 45.0
    held_ms: float = 65.0
    hand_spread: float = 0.8
    """How open hands differ, before anything is known of this one …"""
    hand_known: float = 0.35
    """… and how much one hand's ornaments differ."""
    step_spread: float = 0.28
    """How steps within an ornament differ …"""
    finger_ms: float = 8.0
    """… besides what fingers are early or late by, whatever its length …"""
    step_most: float = 2.4
    """… and the most that a short one can cost: a crushed step is still one."""
    step_straight: float = 1.5
    """Beyond this many spreads the price of a long step rises in a straight line: gracenotes that are too long are the
    commonest fault of all."""
    as_long: float = 0.55
    """A step that takes more than this share of the longer melody note beside the ornament is rather melody …"""
    as_long_price: float = 9.0
    """… and cost so much for each whole share more."""

    slow_ms: float = 65.0
    """A single gracenote up to this may be beside a note of any length (common practice, no source) …"""
    dotted_from: float = 0.2
    """… and a longer one takes no more than this share of the longer note beside it: a dotted pair's short note takes a
    third …"""
    dotted: float = 16.0
    """… and costs so much for each whole share more."""
    cadence_share: float = 0.75
    """A step that is written long takes no more than this share of the longer note beside it, at the same price."""

    missing: float = 3.0
    """A step left out."""
    wrong: float = 4.0
    """Another note in place of a step."""
    noise: float = 2.0
    """A crossing noise: short, and on the way of the fingers."""
    noise_ms: float = 45.0
    little_finger_ms: float = 80.0
    """The same of a little finger that comes up where it should stay down."""
    noise_usual_ms: float = 22.0
    noise_long: float = 4.0
    """A noise between two plain notes that is longer than usual costs so much more for each e-fold."""
    as_noise: float = 1.0
    """Besides, for a single gracenote or tap that the fingers pass through anyway from the note before."""
    blip: float = 3.0
    """A sound too short to be meant, whatever it is …"""
    blip_ms: float = 15.0
    """… that is one shorter than this (Hirsh 1959, from memory: the order of sounds is heard from about 20 ms)."""
    again: float = 3.0
    """A movement once more, such as a third tap."""
    extra: float = 6.25
    """Any other note too many."""
    unknown: float = 5.0
    """Short notes that are no ornament of the book, and for each of them as much as a melody note."""
    unknown_ms: float = 120.0
    """A longer note is no gracenote or tap: twice what is right at any tempo (common practice, no source)."""

    which: float = 1.5
    """Where it is asked whether a drill goes on: any ornament, for there are many that it might be."""
    begins: float = 1.0
    """A drill begins with this ornament …"""
    goes_on: float = 0.1
    """… each further rep of it …"""
    odd_one: float = 2.5
    """… something else in place of a rep …"""
    ends: float = 2.7
    """… and its end."""
    same_way: float = 0.5
    """How likely an ornament is one that was played between the same two notes before, where many were …"""
    same_way_from: float = 3.0
    """… and half of it where this many were."""
    written: float = 0.95
    """The same of one that is written between these two notes, where a tune is played of which the notes are known; one
    that is not written there is as unlikely as that leaves it."""
    alike: tuple[float, ...] = (0.0, 0.0, 0.2, 0.4, 0.6, 0.7)
    """How likely the next ornament is the same as before between any notes, by how many of the last few were."""
    equal: float = 0.7
    """Two that differ by no more are equally likely."""


STANDARD_PRICES = Prices()
