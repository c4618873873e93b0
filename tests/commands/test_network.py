"""``--lan`` and TLS on the command line."""

import re
import ssl
from pathlib import Path

import httpx
import pytest
import typer

from chanterd.commands.network import NO_ADDRESS, Lan, NetworkCommand, network_from
from chanterd.config import ChanterdError
from chanterd.serving.access.listeners import addresses_of_this_machine
from tests.serving.running_daemon import Program, ask, wait_until


@pytest.mark.parametrize(
    ("words", "read"),
    [
        ([], (None, None)),
        (["--lan"], ("all", None)),
        (["--lan", "192.0.2.7"], ("192.0.2.7", None)),
        (["--lan=192.0.2.7"], ("192.0.2.7", None)),
        (["--lan", "--port", "0"], ("all", "0")),
        (["--port", "0", "--lan"], ("all", "0")),
        (["--lan", "::1", "--port", "0"], ("::1", "0")),
    ],
)
def test_lan_takes_an_address_or_nothing(words: list[str], read: tuple[str | None, str | None]) -> None:
    """Wherever it is on the line."""
    app, seen = typer.Typer(add_completion=False), []

    @app.command(cls=NetworkCommand)
    def _(lan: Lan = None, port: str | None = None) -> None:
        seen.append((lan, port))

    typer.main.get_command(app).main(words, standalone_mode=False)
    assert seen == [read]


def test_options_that_do_not_go_together_are_named(tmp_path: Path) -> None:
    """Each with what to do."""
    file = tmp_path / "a.pem"
    for lan, cert, key, made_here, said in (
        (None, None, None, True, "TLS is for the network: add --lan"),
        (None, file, file, False, "TLS is for the network: add --lan"),
        ("127.0.0.2", file, file, True, "--tls-self-signed makes a certificate; leave it out, or"),
        ("127.0.0.2", file, None, False, "belong together; add --tls-key"),
        ("127.0.0.2", None, file, False, "belong together; add --tls-cert"),
        ("127.0.0.2", file, file, False, "there is no such file; --tls-cert names"),
        ("0.0.0.0", None, None, False, "The address --lan is '0.0.0.0'"),  # noqa: S104 - it is refused
    ):
        with pytest.raises(ChanterdError, match=re.escape(said)):
            network_from(lan, tmp_path, cert, key, made_here=made_here)


def ways_in(daemon: Program) -> list[tuple[str, str]]:
    """Each whole line so far that says where somebody comes in."""
    return re.findall(r"^(desk|wall|seat \d+): (http://\S+)$", daemon.stdout, re.MULTILINE)


def test_each_part_of_the_class_gets_a_line_with_its_way_in(tmp_path: Path) -> None:
    """desk, wall, and seats in the order of --input; the codes are new at every start."""
    words = ["--input", "demo", "--input", "Ailsa=demo", "--port", "0", "--data", str(tmp_path), "--lan", "127.0.0.2"]
    codes = []
    for _ in range(2):
        with Program(words) as daemon:
            wait_until(lambda: len(ways_in(daemon)) == 4)
            lines = dict(ways_in(daemon))
        assert list(lines) == ["desk", "wall", "seat 1", "seat 2"]
        port = httpx.URL(daemon.page).port
        assert all(way.startswith(f"http://127.0.0.2:{port}/enter?code=") for way in lines.values())
        codes += [way.split("=")[1] for way in lines.values()]
    assert len(set(codes)) == 8


def test_all_addresses_of_this_machine_are_open_each_by_itself(tmp_path: Path) -> None:
    """At each of them one needs a code, and at this machine's own none."""
    addresses = [one for one in addresses_of_this_machine() if ":" not in one]
    with Program(["--lan", "--input", "demo", "--port", "0", "--data", str(tmp_path)]) as daemon:
        if not addresses:  # as on a machine that is not connected: then that is said
            daemon.wait_for(NO_ADDRESS)
            return
        port = httpx.URL(daemon.page).port
        for address in addresses:
            assert ask(f"http://{address}:{port}/", "GET", "api/state").status_code == 403
            assert ask(f"http://{address}:{port}/", "GET", "enter").status_code == 200
        assert ask(daemon.page, "GET", "api/state").status_code == 200
        daemon.wait_for(f"desk: http://{addresses[0]}:{port}/enter?code=")


def test_a_certificate_made_here_comes_with_words_on_what_the_browser_will_say(tmp_path: Path) -> None:
    """And its fingerprint, to compare; this machine itself needs no TLS."""
    words = ["--lan", "127.0.0.2", "--tls-self-signed", "--input", "demo", "--port", "0", "--data", str(tmp_path)]
    with Program(words) as daemon:
        trusted = ssl.create_default_context(cafile=tmp_path / "tls-certificate.pem")
        port = httpx.URL(daemon.page).port
        assert httpx.get(f"https://127.0.0.2:{port}/enter", verify=trusted, timeout=30).status_code == 200
        assert ask(daemon.page, "GET", "api/state").status_code == 200
        daemon.wait_for(f"desk: https://127.0.0.2:{port}/enter?code=")
        daemon.wait_for("Your browser will say that the connection is not private")
        wait_until(lambda: re.search(r"^  ([0-9A-F]{2}:){31}[0-9A-F]{2}$", daemon.stdout, re.MULTILINE) is not None)
