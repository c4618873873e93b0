"""Decoding the bytes of a MIDI wire, whole, cut and mixed up."""

from random import Random

import mido
from hypothesis import given, settings
from hypothesis import strategies as st

from chanterd.hearing.wire import Wire

BAUD = 31_250
BITS_A_BYTE = 10


def decode(*chunks: bytes) -> list[str]:
    """The messages in reads of those bytes, in hexadecimal."""
    wire = Wire()
    return [message.hex() for chunk in chunks for message in wire.feed(chunk)]


def test_what_a_din_cable_can_bring() -> None:
    """MIDI 1.0: 31,250 baud, 10 bits a byte: 320 us a byte, 960 us a note-on, 1.28 ms a running change of note."""
    byte_us = BITS_A_BYTE * 1_000_000 / BAUD
    note_on = bytes([0x90, 67, 64])
    change = bytes([67, 0, 69, 64])
    assert byte_us == 320
    assert len(note_on) * byte_us == 960
    assert len(change) * byte_us == 1280
    assert decode(note_on + change) == ["90 43 40", "90 43 00", "90 45 40"]


def test_running_status_is_expanded() -> None:
    """MIDI 1.0: a status byte that repeats may be left out, across reads too."""
    assert decode(b"\x90\x43\x40\x43", b"\x00\x45\x40") == ["90 43 40", "90 43 00", "90 45 40"]


def test_mido_alone_forgets_running_status() -> None:
    """Why there is a wire of our own: mido 1.3's parser gives one message of these two."""
    assert [message.hex() for message in mido.parse_all(b"\x90\x43\x40\x43\x00")] == ["90 43 40"]


def test_real_time_bytes_fall_inside_a_message() -> None:
    """MIDI 1.0: a real-time byte comes out at once, and the message around it stays whole and keeps running."""
    assert decode(b"\x90\x43\xf8\x40\xfa\x45\xfe\x40") == ["F8", "90 43 40", "FA", "90 45 40"]


def test_active_sensing_is_left_out() -> None:
    """Active sensing (FE, up to three times a second) says only that the cable is there."""
    assert decode(b"\xfe" * 10) == []


def test_stray_data_bytes_are_dropped() -> None:
    """Data bytes before any status belong to nothing known; what follows is read."""
    assert decode(b"\x43\x40\x01\x90\x43\x40") == ["90 43 40"]


def test_a_cut_message_does_not_harm_the_next() -> None:
    """A new status byte begins a new message, whatever was missing before it."""
    assert decode(b"\x90\x43\x80\x43\x00") == ["80 43 00"]


def test_system_messages_end_running_status() -> None:
    """MIDI 1.0: data after a system-common message (here a song position) has no status to run on."""
    assert decode(b"\x90\x43\x40\xf2\x01\x02\x45\x40") == ["90 43 40", "F2 01 02"]


def test_system_exclusive_is_skipped_to_its_end() -> None:
    """Nothing in a system-exclusive message is taken for a note, and a note after it is heard."""
    assert decode(b"\xf0\x7d\x43\x40\xf8\x41\xf7\x45\x90\x43\x40") == ["F8", "90 43 40"]


def test_an_endless_system_exclusive_takes_no_room() -> None:
    """A cable that never ends its system-exclusive message does not fill the memory."""
    wire = Wire()
    wire.feed(b"\xf0" + bytes(100_000))
    assert wire._data == []


def test_undefined_bytes_are_dropped() -> None:
    """F4, F5, F9 and FD mean nothing; the first two end running status too."""
    assert decode(b"\x90\x43\x40\xf9\x45\x40\xfd\xf4\x43\x00\x90\x47\x40") == ["90 43 40", "90 45 40", "90 47 40"]


def test_two_byte_messages_run_on_too() -> None:
    """A program change has one data byte, a running one too."""
    assert decode(b"\xc0\x01\x02") == ["C0 01", "C0 02"]


MESSAGES = st.one_of(
    st.builds(
        lambda kind, channel, note, velocity: mido.Message(kind, channel=channel, note=note, velocity=velocity),
        st.sampled_from(["note_on", "note_off"]),
        st.integers(0, 1),
        st.integers(0, 127),
        st.integers(0, 127),
    ),
    st.builds(lambda program: mido.Message("program_change", program=program), st.integers(0, 127)),
    st.builds(lambda pos: mido.Message("songpos", pos=pos), st.integers(0, 16383)),
)


@settings(deadline=None)
@given(st.lists(MESSAGES), st.randoms(use_true_random=False))
def test_what_is_packed_for_the_wire_comes_out_the_same(messages: list[mido.Message], random: Random) -> None:
    """Running status wherever allowed, clocks strewn in anywhere, reads of any size: the messages are the same."""
    packed = bytearray()
    status = 0
    for message in messages:
        whole = message.bytes()
        packed += bytes(whole[1:] if whole[0] == status else whole)
        status = whole[0] if whole[0] < 0xF0 else 0  # only channel messages run on
    for _ in range(5):
        packed.insert(random.randint(0, len(packed)), 0xF8)
    wire = Wire()
    out = []
    while packed:
        size = random.randint(1, len(packed))
        out += wire.feed(bytes(packed[:size]))
        del packed[:size]
    assert [message for message in out if message.type != "clock"] == messages
    assert len(out) == len(messages) + 5


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_do_no_harm(data: bytes) -> None:
    """Random bytes never crash it, and a whole message after them is heard."""
    wire = Wire()
    wire.feed(data)
    assert wire.feed(b"\x90\x43\x40")[-1].hex() == "90 43 40"
