"""What a reading costs: the price of each way to explain an asked step or a heard note.

A reading of a rep is a chain of right notes: this onset was that step. Between two links of the chain lie, perhaps,
onsets that nobody asked for, steps that were not played, and wrong notes, where an onset takes the place of a step.
The best reading is the one whose prices add up to the least. The unit is one missing step.

Where the ornament as a whole lies is a matter of the click, and coarse; how its steps follow each other is a matter of
the hand, and fine. So the first link is priced by its deviation from the click, each further one by how its deviation
differs from the link before it: a player who is late by the same amount all along pays once.

The prices are a choice of ours, tuned on simulated performances with known truth; only their order is argued for here.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Costs:
    """Prices, in missing steps, and the times they depend on."""

    missing: float = 1.0
    no_theme: float = 2.0
    """A missing theme note: hardly ever left out, since the melody rests on it."""
    melted: float = 0.05
    """A step equal to the right note before it was skipped: nearly free, since it could not have been heard."""
    skipped: float = 2.0
    """A whole rep was not played, whatever its number of steps."""

    extra: float = 1.0
    short_extra: float = 0.8
    """An unasked note too short to be meant."""
    crossing: float = 0.4
    """An unasked note, short and on the way of the fingers: the likeliest kind."""
    short_ms: float = 40.0
    """Below this an unasked note is short: skilled players' fingers differ by tens of ms (Almeida et al. 2009)."""
    little_finger_ms: float = 80.0
    """The same of a little finger that comes up where it should stay down: it does so by itself, and stays up."""
    blip_ms: float = 15.0
    """Below this it breaks nothing, whatever its fingering: the order of sounds so short is not heard (Hirsh 1959, from
    memory: about 20 ms), so nobody meant it."""
    broken_lead: float = 0.6
    """Added once where unasked notes, other than crossing noises, come between lead and ornament: who begins again
    rather begins with the lead, …"""
    broken: float = 2.0
    """… inside the ornament: who stumbles there rather begins it again than goes on, …"""
    broken_theme: float = 2.5
    """… and after the theme note: what is followed by more was not yet the theme. Before the lead nothing is added,
    unless …"""
    astray: float = 1.5
    """… something sounded and what comes after it begins with another note than the lead: who breaks off began with
    the lead, so this rather is the end of the rep before; …"""
    hasty: float = 1.0
    """… or its last note began less than ``stub_ms`` before the lead: who breaks off stops before beginning again."""
    added: float = 0.3
    """In place of ``broken_theme`` where the theme note was reached, left for a quick note and reached again: a closing
    movement was added, and faults are heard from the front. The note that comes back costs nothing."""
    added_again: float = 1.5
    """For the same once more: then it may as well be another attempt."""
    added_early: float = 1.5
    """How far off the theme note was when first reached counts as much as a difference to the link before, and this
    many times as much if it was early: of two attempts the one that is in time is the one."""
    added_ms: float = 200.0
    """So quick, and quicker than half of what is asked of the theme note, is an added movement."""
    stub: float = 0.8
    """Added to a lead or theme note that lasts less than ``stub_ms`` and half of what is asked: they are held."""
    stub_ms: float = 60.0

    wrong_note: float = 1.2
    """Less than a step missing and a note too many (2.0), more than either."""
    wrong_theme: float = 2.0
    """The same for the theme note: less than the theme missing and a note too many (3.0)."""

    late: float = 2.0
    """The most that a deviation from the click can cost; half of it at ``late_clicks``."""
    late_lead: float = 1.2
    """The same for a lead that is late: a lead may begin late without much meaning."""
    late_clicks: float = 2.2
    """Far: whoever stumbles comes late, by any part of a rep, so that being late says little by itself."""
    late_unhindered: float = 0.25
    """What coming half a click late costs besides if nothing unasked came before, which rises with the fourth power:
    whoever has not stumbled is no more likely to be late than early."""
    early: float = 0.5
    """What coming half a click early costs; it rises with the fourth power, without an end: nobody is a whole click
    early of a sudden, so that is another rep. To it is added …"""
    early_little: float = 0.5
    """… this, which rises with the square, so that of two places near the click the nearer counts."""
    farthest_of_rep: float = 0.75
    """A right note farther than that share of a rep from its time is none: it belongs to another rep."""
    uneven: float = 2.0
    """The most that a difference to the deviation of the link before can cost; half of it at ``uneven_ms``."""
    uneven_ms: float = 60.0
    """About the length of a step."""
    slower: float = 0.5
    """In place of all those differences where the whole ornament was played, note by note and nothing else, but slower
    than asked: its steps are then compared with steps that much longer, and the beat with the click."""


STANDARD_COSTS = Costs()
