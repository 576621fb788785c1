"""The client alone: who it says it is, redirects, limits, and what it makes of errors."""

from __future__ import annotations

import threading

import httpx
import pytest

from advisor.fetch import client as client_module
from advisor.fetch.addresses import next_address
from advisor.fetch.body import read_json
from advisor.fetch.client import Client
from advisor.fetch.deadline import within
from advisor.fetch.failure import FetchFailed, reason_in
from advisor.fetch.settings import contact_for

from .conftest import Server


def test_redirects_are_followed(server, reply, quick):
    server.on("/old", reply(status=301, headers={"Location": "/new"}))
    server.on("/new", reply("here"))
    with Client("me@example.org", quick) as client:
        assert client.get(f"{server.url}/old").text == "here"


def test_a_circle_of_redirects_ends(server, reply, quick):
    server.on("/round", reply(status=302, headers={"Location": "/round"}))
    with Client("me@example.org", quick) as client, pytest.raises(FetchFailed, match="redirects"):
        client.get(f"{server.url}/round")


#: RFC 1035, 2.3.4: a label of a name has at most 63 octets.
LONG_LABEL = f"http://{'a' * 64}.example/x"


@pytest.mark.parametrize(
    ("location", "said"),
    [
        ("http://localhost:{port}/new", "only 127.0.0.1:{port} itself is asked"),
        ("http://127.0.0.1:1/new", "only 127.0.0.1:{port} itself is asked"),
        ("https://127.0.0.1:{port}/new", "only 127.0.0.1:{port} itself is asked"),
        ("//other.example/new", "sends on to '//other.example/new'"),
        ("ftp://127.0.0.1:{port}/new", "sends on to"),
        (LONG_LABEL, "sends on to"),
        ("http://xn--/x", "cannot be asked: Malformed A-label"),
        ("http://[::1/x", "sends on to what is no address"),
        ("", "did not say where to go"),
        (None, "did not say where to go"),
    ],
)
def test_a_redirect_stays_with_the_service(server, reply, quick, location, said):
    """So nobody else hears the contact, and nothing asked for over TLS goes in the clear."""
    port = server.host.partition(":")[2]
    headers = {} if location is None else {"Location": location.format(port=port)}
    server.on("/old", reply(status=302, headers=headers))
    server.on("/new", reply("not for us"))
    with Client("me@example.org", quick) as client, pytest.raises(FetchFailed) as failed:
        client.get(f"{server.url}/old")
    assert said.format(port=port) in str(failed.value)
    assert str(failed.value).isprintable()
    assert server.paths() == ["/old"]


def test_another_server_is_not_told_who_calls(server, reply, quick):
    other = Server()
    try:
        server.on("/old", reply(status=301, headers={"Location": f"{other.url}/new"}))
        other.on("/new", reply("here"))
        with Client("me@example.org", quick) as client, pytest.raises(FetchFailed):
            client.get(f"{server.url}/old")
        assert other.asked == []
    finally:
        other.close()


def test_from_https_to_http_is_another_service():
    asked = httpx.Request("GET", "https://weather.example/old")
    down = httpx.Response(302, headers={"Location": "http://weather.example/new"}, request=asked)
    with pytest.raises(FetchFailed, match="only weather"):
        next_address(down, "weather.example")
    headers = {"Location": "//weather.example:443/new"}
    same = httpx.Response(302, headers=headers, request=asked)
    assert next_address(same, "weather.example") == "https://weather.example/new"


@pytest.mark.parametrize(
    ("url", "said"),
    [
        ("http://weather.example/x", "not asked without encryption"),
        ("http://127.0.0.1.example/x", "not asked without encryption"),
        (LONG_LABEL.replace("http:", "https:"), "cannot be asked"),
        ("https://", "wanted an address with https://"),
    ],
)
def test_an_address_that_is_not_asked(url, said, quick):
    with Client("me@example.org", quick) as client, pytest.raises(FetchFailed, match=said):
        client.get(url)


@pytest.mark.parametrize("body", ["[" * 1_000_000, '{"a":' * 200_000, "\x1b" * 1000])
@pytest.mark.parametrize("status", [200, 404])
def test_an_answer_nested_without_end_is_refused(server, reply, quick, body, status):
    server.on("/deep", reply(body, status=status))
    with Client("me@example.org", quick) as client, pytest.raises(FetchFailed) as failed:
        read_json(client.get(f"{server.url}/deep"))
    assert ("answered 404" if status == 404 else "no whole JSON") in str(failed.value)


def test_an_answer_without_end(server, reply, quick, monkeypatch):
    monkeypatch.setattr(client_module, "LARGEST_ANSWER_BYTES", 1000)
    server.on("/long", reply("x" * 1001))
    server.on("/fits", reply("x" * 1000))
    with Client("me@example.org", quick) as client:
        assert len(client.get(f"{server.url}/fits").text) == 1000
        with pytest.raises(FetchFailed, match="longer than 1,000 B"):
            client.get(f"{server.url}/long")


def test_parameters_and_a_byte_order_mark(server, reply, quick):
    server.on("/q", reply("\ufeffa,b\n"))
    with Client("me@example.org", quick) as client:
        assert client.get(f"{server.url}/q", {"a": "1 & 2"}).text == "a,b\n"
    assert server.asked[0].query == {"a": "1 & 2"}


def test_no_more_is_asked_when_the_time_is_up(server, reply, quick):
    server.on("/x", reply("x"))
    with Client("me@example.org", quick) as client:
        client._end = float("-inf")
        with pytest.raises(FetchFailed, match="no time left"):
            client.get(f"{server.url}/x")
    assert server.asked == []


@pytest.mark.parametrize("url", ["ftp://example.org/x", "nonsense", "http://[::1/x"])
def test_an_address_that_cannot_be_asked(url, quick):
    with Client("me@example.org", quick) as client, pytest.raises(FetchFailed):
        client.get(url)


def test_a_refused_certificate_hints_at_the_clock():
    error = httpx.ConnectError("[SSL: CERTIFICATE_VERIFY_FAILED] certificate is not yet valid")
    failure = client_module._as_failure("host", error, 15)
    assert "is the clock right?" in str(failure)
    assert type(failure) is FetchFailed  # trying again would not help


def test_a_reason_in_an_error_answer():
    assert reason_in('{"detail": "no\\n such  point"}') == "no such point"
    assert reason_in('{"error": true, "reason": "latitude"}') == "latitude"
    assert reason_in("<html>") == reason_in("[1]") == reason_in('{"detail": 5}') == ""


def test_work_that_hangs_is_left_behind():
    ended = threading.Event()
    with pytest.raises(FetchFailed, match=r"nothing came within 0.1 s"):
        within(0.1, ended.wait)
    ended.set()
    assert within(5, lambda: 7) == 7
    with pytest.raises(ZeroDivisionError):
        within(5, lambda: 1 // 0)


def test_the_contact_of_the_site_goes_before_that_of_the_environment(monkeypatch):
    monkeypatch.setenv("ADVISOR_CONTACT", "env@example.org")
    assert contact_for(None) == "env@example.org"
    assert contact_for("site@example.org") == "site@example.org"
