"""Bytes on the wire that no well-behaved client sends. The server's own unit tests go further."""

import socket

import pytest

ORDER = b'{"customer": "cafe"}'


def talk(server, *pieces):
    """Sends the pieces as they are; gives everything that comes back until the server closes."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=20) as wire:
        received = b""
        try:
            for piece in pieces:
                wire.sendall(piece)
            while chunk := wire.recv(65536):
                received += chunk
        except (ConnectionResetError, BrokenPipeError):
            pass
        return received


def request(databases, *headers, method=b"POST", path=b"/api/v1/orders", body=ORDER):
    lines = [method + b" " + path + b" HTTP/1.1", b"Authorization: Bearer " + databases.tokens["owner"].encode(),
             b"Content-Type: application/json", b"Idempotency-Key: k", *headers]
    return b"\r\n".join(lines) + b"\r\n\r\n" + body


def statuses(answer):
    return [int(part[:3]) for part in answer.split(b"HTTP/1.1 ")[1:]]


HOST = b"Host: localhost"
SMUGGLED = b"GET /api/v1/tokens HTTP/1.1\r\nHost: localhost\r\n\r\n"
LENGTH = b"Content-Length: %d" % len(ORDER)


@pytest.mark.parametrize("headers", [
    [HOST, LENGTH, b"Content-Length: 5"], [HOST, LENGTH, LENGTH], [HOST, b"Content-Length: 5, 20"],
    [HOST, LENGTH, b"Transfer-Encoding: chunked"], [HOST, b"Transfer-Encoding : chunked", LENGTH],
    [HOST, b"Transfer-Encoding: identity", LENGTH], [HOST, b"Transfer-Encoding: xchunked", LENGTH],
    [HOST, b"Host: elsewhere.example", LENGTH], [LENGTH], [HOST, b"X-Odd: a\x01b", LENGTH], [HOST, b"X Odd: a", LENGTH],
    [HOST, b"Content-Length: -1"], [HOST, b"Content-Length: +20"], [HOST, b"Content-Length: 0x14"],
    [HOST, b"Content-Length: 99999999999999999999"],
], ids=lambda headers: b" | ".join(headers).decode("latin-1"))
def test_an_ambiguous_request_is_refused_and_the_connection_closed(server, databases, headers):
    """Whatever follows on the connection is never taken for a request of its own: that would be told
    that it lacks a token. (libmicrohttpd writes the head of refusals of its own twice.)"""
    answer = talk(server, request(databases, *headers) + SMUGGLED)
    assert set(statuses(answer)) in ({400}, {411}, {413}), answer
    assert b"Connection: close" in answer


def test_a_body_of_unknown_length_is_411(server, databases):
    answer = talk(server, request(databases, HOST, b"Transfer-Encoding: chunked", body=b"5\r\nhello\r\n0\r\n\r\n"))
    assert statuses(answer) == [411]


def test_a_body_that_is_announced_too_large_is_refused_before_it_is_sent(server, databases):
    answer = talk(server, request(databases, HOST, b"Content-Length: 10000000000", b"Connection: close", body=b""))
    assert statuses(answer) == [413]


def test_a_request_in_single_bytes_is_understood(server, databases):
    pieces = request(databases, HOST, LENGTH, b"Connection: close")
    answer = talk(server, *[pieces[i:i + 1] for i in range(len(pieces))])
    assert statuses(answer) == [422], "the order lacks a date and lines"


def test_two_requests_in_one_packet_have_two_answers(server, databases):
    one = request(databases, HOST, b"Content-Length: 0", method=b"GET", path=b"/api/v1/customers", body=b"")
    last = request(databases, HOST, b"Connection: close", method=b"GET", path=b"/api/v1/customers", body=b"")
    assert statuses(talk(server, one + last)) == [200, 200]


@pytest.mark.parametrize("noise", [b"\x16\x03\x01\x02\x00\x01\x00", b"GET\r\n\r\n", b"\r\n\r\n\r\n", b"\0" * 100, b"GET / HTTP/9.9\r\n\r\n",
                                   b"GET " + b"/x" * 20000 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n",
                                   b"GET / HTTP/1.1\r\nHost: localhost\r\n" + b"X-Many: 1\r\n" * 5000 + b"\r\n"],
                         ids=["TLS", "no path", "empty lines", "NULs", "HTTP/9.9", "a path of 40 kB", "5000 headers"])
def test_noise_does_not_hurt_the_others(server, owner, noise):
    with socket.create_connection(("127.0.0.1", server.port), timeout=1) as wire:
        try:
            wire.sendall(noise)
            wire.shutdown(socket.SHUT_WR)
            while wire.recv(65536):
                pass
        except OSError:  # closed on us
            pass
    assert owner.get("/customers").status == 200


def test_a_client_that_goes_away_is_no_trouble(server, databases, owner):
    for _ in range(20):
        with socket.create_connection(("127.0.0.1", server.port)) as wire:
            wire.sendall(request(databases, HOST, LENGTH)[:-3])
    for _ in range(20):
        with socket.create_connection(("127.0.0.1", server.port)) as wire:
            wire.sendall(request(databases, HOST, method=b"GET", path=b"/api/v1/customers", body=b""))
    assert owner.get("/customers").status == 200
