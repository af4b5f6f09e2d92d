"""Attacks on the desk: other sites, other hosts, guessed addresses, endless uploads, paths, files that break readers.

Expected behaviour: RFC 9110 (Host, 421, 413), Fetch Metadata (Sec-Fetch-Site, W3C working draft), the Content Security
Policy level 3; DNS rebinding and cross-site request forgery as described by OWASP.
"""

from __future__ import annotations

import contextlib
import http.client
import os
import socket
import time

import httpx
import pytest

from tests.desk.serving import desk_in_process
from vectorize.desk.bundle import SERVED
from vectorize.desk.intake import shown_name
from vectorize.desk.serve import alone_in, bound_socket
from vectorize.desk.shelf import Shelf
from vectorize.errors import OutputError
from vectorize.trade.desk import UPLOAD_MB
from vectorize.write.folder import FILES as WRITTEN


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    with desk_in_process(tmp_path_factory.mktemp("class"), "typeset", seconds=4.0) as (desk, _):
        yield desk


def test_the_page_opens(desk):
    assert desk.ask("GET", "").status_code == 200
    assert desk.ask("GET", "static/js/main.js").headers["content-type"].startswith("text/javascript")


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "[::1]:{port}", "127.0.0.1.evil:{port}"]
)
def test_a_foreign_host_is_refused(desk, host):
    answer = desk.ask("GET", "api/class", headers={"host": host.format(port=desk.port)})
    assert answer.status_code == 421
    assert "drawings" not in answer.text


def test_two_hosts_are_refused(desk):
    with socket.create_connection(("127.0.0.1", desk.port), 5) as raw:
        own = f"127.0.0.1:{desk.port}"
        raw.sendall(f"GET /{desk.token}/ HTTP/1.1\r\nHost: {own}\r\nHost: evil.example\r\n\r\n".encode())
        assert raw.recv(100).split()[1] in {b"400", b"421"}


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "http://127.0.0.1:1", "https://127.0.0.1:{port}"])
@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "PATCH", "DELETE"])
def test_another_origin_is_refused(desk, origin, method):
    answer = desk.ask(method, "api/class", headers={"origin": origin.format(port=desk.port)})
    assert answer.status_code == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site", "none", "whatever"])
def test_another_site_may_change_nothing(desk, site):
    assert desk.ask("PATCH", "api/class", json={"word": "x"}, headers={"sec-fetch-site": site}).status_code == 403


def test_another_site_may_not_even_look(desk):
    assert desk.ask("GET", "api/class", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert desk.ask("GET", "", headers={"sec-fetch-site": "none", "origin": None}).status_code == 200


def test_changes_need_an_origin(desk):
    assert desk.ask("PATCH", "api/class", json={"word": "x"}, headers={"origin": None}).status_code == 403


def test_a_form_of_another_page_is_no_json(desk):
    answer = desk.ask("PATCH", "api/class", content=b'{"word":"x"}', headers={"content-type": "text/plain"})
    assert answer.status_code == 415


@pytest.mark.parametrize("token", ["", "x", "token-of-the-tes", "token-of-the-test2", "%00", "TOKEN-OF-THE-TEST"])
@pytest.mark.parametrize("path", ["api/class", "static/js/main.js", ""])
def test_nothing_is_seen_without_the_token(desk, token, path):
    connection = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=5)
    connection.request("GET", f"/{token}/{path}")
    assert connection.getresponse().status == 404
    connection.close()


def test_every_answer_carries_the_policy(desk):
    for path in ("", "api/class", "nothing-here", "static/css/base.css"):
        headers = desk.ask("GET", path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


def test_the_page_has_nothing_inline_and_nothing_from_elsewhere(desk):
    page = desk.ask("GET", "").text
    assert "<style" not in page
    assert " style=" not in page
    assert " onclick" not in page
    assert "<script>" not in page
    assert "//" not in page.replace("<!doctype", "")


def test_what_is_served_is_what_is_written():
    assert set(SERVED) == set(WRITTEN)


def test_an_opened_proof_is_kept_from_the_desk(desk):
    number = desk.hand_in(b"good")
    desk.settled(number)
    for name in ("proof.html", "comparison.svg"):
        policy = desk.ask("GET", f"api/drawings/{number}/results/{name}?open").headers["content-security-policy"]
        assert policy.startswith("sandbox")
        assert "allow-same-origin" not in policy
        assert "connect-src" not in policy  # default-src 'none' holds for it
        assert "default-src 'none'" in policy
    desk.ask("DELETE", f"api/drawings/{number}")


def test_an_upload_that_says_it_is_too_large_is_refused_before_it_comes(desk):
    connection = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=5)
    connection.putrequest("POST", f"/{desk.token}/api/drawings")
    connection.putheader("Origin", desk.origin)
    connection.putheader("Content-Length", str(10**12))
    connection.endheaders()
    assert connection.getresponse().status == 413
    connection.close()


def test_an_upload_without_length_is_counted_while_it_comes(desk):
    limit = int(UPLOAD_MB * 1_000_000)
    sent = 0

    def endless():
        nonlocal sent
        while sent < limit + 30_000_000:
            sent += 1_000_000
            yield bytes(1_000_000)

    # The desk may hang up while the sender still sends.
    with contextlib.suppress(httpx.TransportError):
        assert desk.ask("POST", "api/drawings", content=endless()).status_code == 413
    assert sent < limit + 30_000_000
    assert desk.ask("GET", "api/class").json()["drawings"] == []


def test_an_empty_upload_is_refused(desk):
    assert desk.ask("POST", "api/drawings", content=b"").status_code == 400


@pytest.mark.parametrize(
    "name",
    [
        "../../etc/passwd",
        "..\\..\\a.png",
        "/etc/passwd",
        "C:\\x\\y.png",
        "a\x00b.png",
        "..",
        ".",
        "",
        "x" * 5000,
        "\u202egnp.exe",
        "CON.png",
    ],
)
def test_names_never_become_paths(tmp_path, name):
    shelf = Shelf.open(tmp_path / "class")
    drawing = shelf.add(b"picture", shown_name(name), None)
    folder = (tmp_path / "class" / drawing.folder).resolve()
    assert folder.parent == (tmp_path / "class").resolve()
    assert folder.name not in {"", ".", "..", ".desk"}
    assert sorted(p.name for p in tmp_path.iterdir()) == ["class"]


@pytest.mark.parametrize(
    "path",
    [
        "static/../app.py",
        "static/%2e%2e/app.py",
        "static/..%2fapp.py",
        "static//etc/passwd",
        "api/drawings/1/..%2f..%2fclass.json",
        "api/drawings/1/record.json",
        "api/drawings/1/picture",
        "api/drawings/1/results/..%2f..%2fclass.json",
        "api/drawings/-1",
        "api/drawings/1e3",
    ],
)
def test_no_path_leads_out(desk, path):
    connection = http.client.HTTPConnection("127.0.0.1", desk.port, timeout=5)
    connection.request("GET", f"/{desk.token}/{path}")
    assert connection.getresponse().status == 404
    connection.close()


@pytest.mark.parametrize("data", [b"crash", b"hang", b"swell", b"refuse", b"bug"])
def test_a_bad_file_never_takes_the_desk_down(desk, data):
    number = desk.hand_in(data)
    seen = desk.settled(number)["drawing"]
    assert seen["state"] == "failed"
    assert len(seen["message"].split()) > 3
    assert "Traceback" not in seen["message"]
    good = desk.hand_in(b"good")
    assert desk.settled(good)["drawing"]["state"] == "done"
    for n in (number, good):
        assert desk.ask("DELETE", f"api/drawings/{n}").status_code == 204


@pytest.mark.parametrize(
    "wrong",
    [
        {"guides": [{"name": "roof line", "start": [0, 0], "end": [1, 0]}]},
        {"x_height_mm": 1e9},
        {"placed": [{"at": [0, 0], "move_u": None}]},
        {"divisions": [{"kind": "drop", "start": [0, 0], "end": [0, 0]}] * 5_000},
        {"unheard-of": 1},
        {"names": [{"at": [0, 0], "name": "x" * 99}]},
    ],
)
def test_corrections_that_make_no_sense_are_refused(desk, wrong):
    number = desk.hand_in(b"good")
    before = desk.settled(number)
    assert desk.ask("PUT", f"api/drawings/{number}/corrections", json=wrong).status_code == 422
    assert desk.ask("GET", f"api/drawings/{number}").json()["study"] == before["study"]
    desk.ask("DELETE", f"api/drawings/{number}")


def test_it_listens_on_this_computer_only(desk):
    with bound_socket(None) as listening:
        assert listening.getsockname()[0] == "127.0.0.1"
    others = {a[4][0] for a in socket.getaddrinfo(socket.gethostname(), None)} - {"127.0.0.1", "127.0.1.1", "::1"}
    for address in others:
        with pytest.raises(OSError):
            socket.create_connection((address, desk.port), 1).close()


def test_a_second_desk_finds_its_own_port():
    with bound_socket(None) as first, bound_socket(None) as second:
        assert first.getsockname()[1] != second.getsockname()[1]
        first.listen()
        with pytest.raises(OutputError, match="in use"):
            bound_socket(first.getsockname()[1])


def test_one_folder_lies_open_on_one_desk(tmp_path):
    shelf = Shelf.open(tmp_path)
    with alone_in(shelf.hidden), pytest.raises(OutputError, match="another desk"), alone_in(shelf.hidden):
        pass
    with alone_in(shelf.hidden):
        pass


def test_a_folder_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="Choose one"):
        Shelf.open(tmp_path / "file")


def test_killed_while_it_reads_it_reads_again(tmp_path):
    import signal

    with desk_in_process(tmp_path, "typeset") as (desk, pid):
        number = desk.hand_in(b"slow")
        time.sleep(0.3)
        os.kill(pid, signal.SIGKILL)
    with desk_in_process(tmp_path, "typeset") as (desk, _):
        assert desk.settled(number)["drawing"]["state"] == "done"
