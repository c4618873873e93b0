"""What a code opens, and for how long."""

from chanterd.serving.access.grants import AT_THIS_MACHINE, MOST_SESSIONS, WALL, Grant, Grants, Role


def entered(grants: Grants, grant: Grant) -> str:
    """The token of whoever enters with the code of that grant."""
    token = grants.enter(grants.code_of(grant))
    assert token is not None
    return token


def test_each_code_opens_its_own_part_only() -> None:
    """A seat's code opens that seat; the wall's opens the wall; the desk's everything."""
    grants, seats = Grants(["1", "2"]), [Grant(Role.SEAT, seat) for seat in ("1", "2")]
    for grant in (AT_THIS_MACHINE, WALL, *seats):
        assert grants.of(entered(grants, grant)) == grant
    assert [seats[0].may_watch(seat) for seat in ("1", "2")] == [True, False]
    assert [WALL.may_watch("1"), AT_THIS_MACHINE.may_watch("2")] == [False, True]


def test_a_wrong_code_and_a_made_up_token_open_nothing() -> None:
    """Nor does a code as a token, or a token as a code."""
    grants = Grants()
    for code in ("", "0000-0000-00000", "desk", "é" * 13, grants.code_of(WALL)[:-1]):
        assert grants.enter(code) is None
    token = entered(grants, WALL)
    assert grants.enter(token) is None
    assert (grants.of(None), grants.of(""), grants.of(grants.code_of(WALL)), grants.of(token + "x")) == (None,) * 4


def test_a_new_code_shuts_out_who_entered_with_the_old_one() -> None:
    """And nobody else."""
    grants = Grants(["1"])
    seat = Grant(Role.SEAT, "1")
    old, in_seat, in_wall = grants.code_of(seat), entered(grants, seat), entered(grants, WALL)
    assert grants.renew(seat) != old
    assert (grants.enter(old), grants.of(in_seat), grants.of(in_wall)) == (None, None, WALL)


def test_sessions_do_not_pile_up() -> None:
    """The oldest ends when there are too many."""
    grants = Grants()
    tokens = [entered(grants, WALL) for _ in range(MOST_SESSIONS + 1)]
    assert grants.of(tokens[0]) is None
    assert grants.of(tokens[1]) == grants.of(tokens[-1]) == WALL
