"""Made-up requests as bytes: what no browser sends, and what somebody sends who tries to be read in two ways.

Run it alone for a long look: ``.venv/bin/python -m tests.webui.made_up_http 5000``, the number being connections that
are opened to this machine's socket, to the one at home by a stranger, and there by a paired device, and its own seed as
a second number. No answer may be a fault of the program, lack a header of the guard, take 2 s of processor or log a
traceback; nothing that stands in the body of a request is answered as a request of its own; and an innocent request is
answered all the while.
"""

from __future__ import annotations

import logging
import random
import re
import socket
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from tests.webui.demo_app import demo_app
from tests.webui.home_served import Served, served
from webui.config import LARGEST_BODY
from webui.guard import HEADERS

SECONDS = 2.0
"""No answer takes longer [s of processor]."""
PATIENCE = 20.0
"""How long an answer that has to come is waited for [s], on a machine that others use too."""
SILENCE = 0.1
"""How long a server is listened to that may rightly wait for more [s]."""
EVERY = 20
"""After so many connections an innocent request is asked."""
CRLF = b"\r\n"
PATHS = (
    b"/", b"/api/v1/makes", b"/api/v1/makes/grey_pullover", b"/makes/grey_pullover/walk", b"/static/fitcheck.css",
    b"/nowhere",
)  # fmt: skip
ODD_PATHS = (
    b"/\xc3\xbc", b"/%ff%fe", b"/%00", b"/\x00", b"/..%2f..%2fetc/passwd", b"/static/../guard.py",
    b"/static/%2e%2e/guard.py", b"//", b"//elsewhere.example/", b"http://elsewhere.example/", b"http://[/", b"*",
    b"?", b"/?" + b"a=b&" * 20_000, b"/#x", b"/\\..\\", b"/" + b"a" * 60_000, b"/%", b"/%zz", b"/makes/%0d%0aX: y/",
    b"/" + b"../" * 5_000, b"elsewhere.example:443", b"", b"/api/v1/makes/" + b"%F0%9F%A7%B6" * 500, b"/; x",
    b"/\x7f\x01", b"/a b", b"/\t", b"/api/v1/makes/\xed\xa0\x80",
)  # fmt: skip
METHODS = (
    b"get", b"G@T", b"A" * 5_000, b"TRACE", b"CONNECT", b"OPTIONS", b"PRI", b"", b"GET\x00", b"\xff", b"HEAD",
    b"DELETE", b"LOCK", b" GET", b"PATCH", b"GET\t",
)  # fmt: skip
VERSIONS = (
    b"HTTP/0.9",
    b"HTTP/1.0",
    b"HTTP/2.0",
    b"HTTP/1.999",
    b"HTTP/1.1 x",
    b"http/1.1",
    b"HTTP/",
    b"",
    b"HTTQ/1.1",
    b"1",
)
LENGTHS = (
    b"+5",
    b"-1",
    b"0x5",
    b"5 5",
    b"5,5",
    b"",
    b"\xd9\xa3",
    b"1" * 400,
    b"1" * 5_000,
    b"5\x00",
    b"5.0",
    b"1e3",
    b"9" * 20,
)
CODINGS = (
    b"chunked, identity", b"identity, chunked", b"xchunked", b"chunked\x0b", b"\tchunked", b"gzip, chunked",
    b"chunked, chunked", b"CHUNKED", b"", b"identity", b"chunked;q=1",
)  # fmt: skip
CHUNKS = (
    b"zz\r\nabc\r\n0\r\n\r\n", b"-1\r\nabc\r\n0\r\n\r\n", b"FFFFFFFFFFFFFFFF\r\nabc\r\n0\r\n\r\n", b"3\nabc\n0\n\n",
    b"3\r\nabcde\r\n0\r\n\r\n", b"3;" + b"x" * 50_000 + b"\r\nabc\r\n0\r\n\r\n", b"0x3\r\nabc\r\n0\r\n\r\n",
    b" 3\r\nabc\r\n0\r\n\r\n", b"3\r\nabc\r\n0\r\nX: y\r\n\r\n", b"1\r\na\r\n" * 5_000 + b"0\r\n\r\n", b"3\r\nab",
    b"\r\n\r\n", b"3\r\nabc\r\n" + b"0" * 5_000 + b"\r\n\r\n", b"3_0\r\n" + b"a" * 48 + b"\r\n0\r\n\r\n",
)  # fmt: skip
COOKIES = (
    b"said=\xff\xfe", b"unit=" + b"x" * 60_000, b"said=" + b"../" * 50, b"seen=:.::.:", b"mark=comma; mark=", b"=",
    b";;;;", b"taken=a.b.c", b"unit=in; unit=cm; unit=\x01", b'said="', b"session=" + b"A" * 43,
    b"; ".join(b"c%d=1" % number for number in range(2_000)), b"thumb=left\xe2\x80\xa8", b"said=\\073; zone=",
    b"a" * 200, b"seen=grey_pullover:", b"unit=<xq>",
)  # fmt: skip
LINES = (
    b"Expect: 100-continue", b"Expect: nonsense", b"Range: bytes=0-1,5-2,-", b"Range: bytes=" + b"0-1," * 5_000,
    b"If-None-Match: " + b'"x",' * 9_000, b"If-Match: *", b"Upgrade: h2c", b"Upgrade: websocket",
    b"Connection: close, keep-alive", b"Content-Encoding: gzip", b"Accept: */*;q=x", b"X-Forwarded-For: 10.0.0.1",
    b"X-Forwarded-Host: elsewhere.example", b"Forwarded: for=x", b"Content-Type: \xff", b"X:", b": x", b"X",
    b" folded", b"X : y", b"X\x00: y", b"X: \x00", b"X-A_B: c", b"Accept-Language: " + b"x" * 100_000,
    b"Origin: null", b"Content-Type: multipart/form-data",
    b"Content-Type: multipart/form-data; boundary=" + b"b" * 5_000, b"If-Modified-Since: Mon, 99 Foo 9999",
    b"Host: elsewhere.example", b"Accept-Encoding: gzip;q=-1", b"Sec-Fetch-Site: cross-site", b"Transfer-Encoding:",
    b"Date: x\ry", b"X-One: 1\nX-Two: 2",
)  # fmt: skip
PARTS = (
    b"makes",
    b"grey_pullover",
    b"sheets",
    b"front",
    b"machine",
    b"walk",
    b"rest",
    b"seams",
    b"yarn",
    b"wardrobe",
    b"api",
    b"v1",
    b"garments",
    b"brown_pullover",
    b"readings",
    b"static",
    b"walk.js",
    b"settings",
    b"plan",
    b"pair",
    b"devices",
    b"history",
    b"drawing.svg",
    b"..",
    b".",
    b"%2e%2e",
    b"%2f",
    b"%00",
    b"%ff",
    b"%F0%9F%A7%B6",
    b"0",
    b"-1",
    b"9" * 30,
    b"3/4",
    b"5,2",
    b"cm",
    b"in",
    b"nan",
    b"'",
    b'"',
    b"<xq>",
    b"[key]",
    b"\xc3\xbc",
    b"e" * 300,
    b"",
    b"next",
    b"chest",
)
QUERIES = (
    b"piece",
    b"point",
    b"how",
    b"round",
    b"at",
    b"page",
    b"shows",
    b"unit",
    b"begin",
    b"given",
    b"text",
    b"after",
    b"x",
)
NAMES = (b"unit", b"mark", b"said", b"seen", b"taken", b"thumb", b"device", b"session", b"", b"__proto__")
VALUES = (
    b"cm",
    b"in",
    b"comma",
    b"left",
    b"grey_pullover:0123abcd",
    b"a.b.c",
    b"x" * 3_000,
    b'"',
    b'"a\\073b"',
    b"%00",
    b"\xff",
    b"\xe2\x80\xa8",
    b"../..",
    b"A" * 43,
    b"=",
    b"{}",
    b"<xq>",
    b"1e999",
    b":.:",
    b"",
    b"'or 1=1--",
)
SEVERAL = 15
"""Requests of one connection whose paths or cookies are made up."""
HOSTS = (b"X: y", b"Host:", b"Host: a\r\nHost: b", b"Host: localhost", b"Host: [::1", b"Host: \xff")
NOISE = (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc", b"\n" * 1000, b"\r\n" * 1000, b"\x00" * 1000, b"SSH-2.0-x\r\n")
INNER = b"GET /api/v1/smuggled HTTP/1.1\r\nHost: %s\r\n\r\n"
"""What stands in the body of a request and must never be answered."""


@dataclass(frozen=True, slots=True)
class At:
    """Where requests are sent.

    address   of the socket, with its port
    host      what the Host line has for it
    cookie    what every request has in its Cookie line
    innocent  how an innocent request is answered
    """

    address: tuple[str, int]
    host: bytes
    cookie: bytes = b""
    innocent: int = 200


@dataclass(frozen=True, slots=True)
class Sent:
    """What one connection sends.

    kind    how it was made
    raw     the bytes
    waits   whether the server may rightly wait for more, or say nothing
    answers most answers that it may get
    """

    kind: str
    raw: bytes
    waits: bool = False
    answers: int = 1


@dataclass
class Found:
    """What a run found: connections, answers by status, kinds that were sent, the slowest, and what was wrong."""

    sent: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    kinds: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    wrong: list[str] = field(default_factory=list)


def request(
    at: At, *lines: bytes, first: bytes = b"GET / HTTP/1.1", body: bytes = b"", host: bytes = b"", cookie: bytes = b""
) -> bytes:
    """A request with a Host line of ours unless another is given, and what is given behind our own cookie."""
    cookies = b"; ".join(filter(None, (at.cookie, cookie)))
    head = (host or b"Host: " + at.host, cookies and b"Cookie: " + cookies, *lines)
    return CRLF.join((first, *filter(None, head), b"", body))


# How a request is made up: each maker is handed a chance and the port


def _path(chance: random.Random, at: At) -> Sent:
    path = chance.choice(ODD_PATHS)
    return Sent("odd path", request(at, first=b"GET " + path + b" HTTP/1.1"), waits=False, answers=1)


def _paths(chance: random.Random, at: At) -> Sent:
    """Several addresses made up of parts that are there, parts that are not, and letters of all kinds."""
    raw = b"".join(request(at, first=b"GET " + _made_up_path(chance) + b" HTTP/1.1") for _ in range(SEVERAL))
    return Sent("made-up paths", raw, answers=SEVERAL)


def _made_up_path(chance: random.Random) -> bytes:
    path = b"".join(b"/" + _word(chance, PARTS) for _ in range(chance.randrange(1, 6)))
    query = b"&".join(_word(chance, QUERIES) + b"=" + _word(chance, PARTS) for _ in range(chance.randrange(4)))
    whole = path + (b"?" + query if query else b"")
    # As browsers write it: letters as they are end a connection, and stand among the odd paths.
    return b"".join(bytes([letter]) if 32 < letter < 127 else b"%%%02X" % letter for letter in whole)


def _cookies(chance: random.Random, at: At) -> Sent:
    """Several pages with cookies of ours that hold what nobody put there."""
    raw = b"".join(
        request(at, cookie=_made_up_cookies(chance), first=b"GET " + chance.choice(PATHS) + b" HTTP/1.1")
        for _ in range(SEVERAL)
    )
    return Sent("made-up cookies", raw, answers=SEVERAL)


def _made_up_cookies(chance: random.Random) -> bytes:
    return b"; ".join(_word(chance, NAMES) + b"=" + _word(chance, VALUES) for _ in range(chance.randrange(1, 6)))


def _word(chance: random.Random, known: Sequence[bytes]) -> bytes:
    """One that is known, one that is spoilt, or letters by chance; nothing that ends a line or a word."""
    word = bytearray(chance.choice(known) if chance.random() < 0.7 else chance.randbytes(chance.randrange(12)))
    if word and chance.random() < 0.2:
        word[chance.randrange(len(word))] = chance.randrange(256)
    return bytes(letter for letter in word if letter > 32 and letter != 127)


def _method(chance: random.Random, at: At) -> Sent:
    first = chance.choice(METHODS) + b" " + chance.choice((*PATHS, b"*")) + b" HTTP/1.1"
    return Sent("odd method", request(at, first=first))


def _version(chance: random.Random, at: At) -> Sent:
    first = b"GET " + chance.choice(PATHS) + b" " + chance.choice(VERSIONS)
    return Sent("odd version", request(at, first=first))


def _oldest(chance: random.Random, at: At) -> Sent:
    return Sent("HTTP/0.9", b"GET " + chance.choice(PATHS) + CRLF, waits=True)


def _half(chance: random.Random, at: At) -> Sent:
    whole = request(at, b"Content-Length: 40", first=b"PUT /api/v1/yarns/half HTTP/1.1", body=b"x" * 40)
    return Sent("half a request", whole[: chance.randrange(1, len(whole))], waits=True)


def _many_lines(chance: random.Random, at: At) -> Sent:
    lines = [b"X-%d: y" % number for number in range(chance.choice((200, 3_000, 30_000)))]
    return Sent("very many lines", request(at, *lines))


def _long_line(chance: random.Random, at: At) -> Sent:
    length = chance.choice((60_000, 200_000, 300_000))
    line = chance.choice((b"X: " + b"y" * length, b"y" * length + b": x", b"X: " + b"y\r\n " * (length // 4)))
    return Sent("a very long line", request(at, line))


def _length(chance: random.Random, at: At) -> Sent:
    said = chance.choice(LENGTHS)
    raw = request(at, b"Content-Length: " + said, first=b"POST /unit HTTP/1.1", body=b"unit=" + INNER % at.host)
    return Sent("an odd length", raw, waits=True)


def _two_lengths(chance: random.Random, at: At) -> Sent:
    inner = INNER % at.host
    lengths = [b"0", b"%d" % len(inner)]
    chance.shuffle(lengths)
    names = (b"Content-Length: ", chance.choice((b"Content-Length: ", b"content-length:", b"Content-Length\t: ")))
    lines = [name + length for name, length in zip(names, lengths, strict=True)]
    return Sent("two lengths", request(at, *lines, first=b"POST /unit HTTP/1.1", body=inner), waits=True)


def _length_and_chunks(chance: random.Random, at: At) -> Sent:
    inner = INNER % at.host
    coding = chance.choice((b"chunked", *CODINGS))
    lines = [b"Content-Length: %d" % (len(inner) + 5), b"Transfer-Encoding: " + coding]
    chance.shuffle(lines)
    return Sent(
        "length and chunks", request(at, *lines, first=b"POST /unit HTTP/1.1", body=b"0\r\n\r\n" + inner), waits=True
    )


def _old_and_chunks(chance: random.Random, at: At) -> Sent:
    inner = INNER % at.host
    lines = (b"Connection: keep-alive", b"Transfer-Encoding: " + chance.choice((b"chunked", *CODINGS)))
    first = b"POST /unit " + chance.choice((b"HTTP/1.0", b"HTTP/1.2"))
    return Sent("old and chunks", request(at, *lines, first=first, body=inner), waits=True)


def _chunks(chance: random.Random, at: At) -> Sent:
    raw = request(at, b"Transfer-Encoding: chunked", first=b"POST /unit HTTP/1.1", body=chance.choice(CHUNKS))
    return Sent("bad chunks", raw, waits=True)


def _line(chance: random.Random, at: At) -> Sent:
    lines = chance.sample(LINES, chance.randrange(1, 4))
    first = chance.choice((b"GET ", b"GET ", b"POST ")) + chance.choice(PATHS) + b" HTTP/1.1"
    return Sent("odd lines", request(at, *lines, first=first), waits=b"Transfer-Encoding:" in lines)


def _cookie(chance: random.Random, at: At) -> Sent:
    cookie = b"; ".join(chance.sample(COOKIES, chance.randrange(1, 3)))
    return Sent("odd cookies", request(at, cookie=cookie, first=b"GET " + chance.choice(PATHS) + b" HTTP/1.1"))


def _host(chance: random.Random, at: At) -> Sent:
    return Sent("odd host", request(at, host=chance.choice((*HOSTS, b"Host: " + at.host + b"@x"))))


def _pipelined(chance: random.Random, at: At) -> Sent:
    count = chance.randrange(2, 12)
    raw = b"".join(request(at, first=b"GET " + chance.choice(PATHS) + b" HTTP/1.1") for _ in range(count))
    return Sent("pipelined", raw, answers=count)


def _expect(chance: random.Random, at: At) -> Sent:
    body = b"unit=cm"
    lines = (b"Expect: 100-continue", b"Content-Length: %d" % len(body), b"Origin: http://" + at.host)
    kind = b"Content-Type: application/x-www-form-urlencoded"
    sent = body if chance.random() < 0.5 else b""
    return Sent("expect", request(at, *lines, kind, first=b"POST /unit HTTP/1.1", body=sent), waits=not sent, answers=2)


def _too_large(chance: random.Random, at: At) -> Sent:
    said = b"Content-Length: %d" % chance.choice((LARGEST_BODY + 1, 9 * LARGEST_BODY, 2**40))
    return Sent("too large", request(at, said, first=b"POST /api/v1/bundle HTTP/1.1", body=b"x" * 1000), waits=True)


def _noise(chance: random.Random, at: At) -> Sent:
    raw = chance.choice(NOISE) + chance.randbytes(chance.randrange(300))
    return Sent("noise", raw + chance.choice((b"", CRLF * 2)), waits=True)


def _spoilt(chance: random.Random, at: At) -> Sent:
    raw = bytearray(request(at, b"Cookie: unit=cm", b"Content-Length: 4", first=b"POST /unit HTTP/1.1", body=b"unit"))
    for _ in range(chance.randrange(1, 6)):
        raw[chance.randrange(len(raw))] = chance.randrange(256)
    return Sent("spoilt bytes", bytes(raw), waits=True, answers=2)


MAKERS: tuple[Callable[[random.Random, At], Sent], ...] = (
    _path, _paths, _cookies, _method, _version, _oldest, _half, _many_lines, _long_line, _length, _two_lengths,
    _length_and_chunks, _old_and_chunks, _chunks, _line, _cookie, _host, _pipelined, _expect, _too_large, _noise,
    _spoilt,
)  # fmt: skip


# What comes back


def answers(raw: bytes) -> list[tuple[int, bytes, bytes]]:
    """The answers in what came back: status, head and body of each. Raises ValueError where it is none."""
    found = []
    while raw:
        head, _, rest = raw.partition(CRLF * 2)
        status = re.fullmatch(rb"HTTP/1\.[01] (\d{3}) [ -~]*", head.partition(CRLF)[0])
        if status is None:
            raise ValueError(f"no answer: {raw[:80]!r}")
        length = re.search(rb"(?im)^content-length: (\d+)\r?$", head)
        size = int(length[1]) if length and int(status[1]) not in (100, 304) else 0
        found.append((int(status[1]), head, rest[:size]))
        raw = rest[size:]
    return found


def asked(at: At, sent: Sent) -> bytes:
    """Send it, and return what came back until the other side closed or is silent."""
    with closing(socket.create_connection(at.address, PATIENCE)) as connection:
        raw = b""
        try:
            connection.sendall(sent.raw)
            connection.settimeout(SILENCE if sent.waits else PATIENCE)
            while part := connection.recv(1 << 20):
                raw += part
                more = not sent.waits and raw.count(b"HTTP/1.1 ") < sent.answers
                connection.settimeout(PATIENCE / 10 if more else SILENCE)
        except OSError:
            pass  # it is silent, or stopped reading what it had refused
        return raw


def wrong(sent: Sent, raw: bytes, *, head: bool) -> Iterator[str]:
    """What is wrong with what came back; head: bodies are not sent."""
    if not raw:
        if not sent.waits:
            yield "no answer"
        return
    try:
        told = [(status, top, body) for status, top, body in answers(raw) if status != 100]
    except ValueError as error:
        if not head:
            yield str(error)
        return
    if len(told) > sent.answers:
        yield f"{len(told)} answers"
    for status, top, body in told:
        if status >= 500:
            yield f"status {status}"
        if b"Traceback" in body or b"smuggled" in body:
            yield "a body that tells too much"
        lines = dict(line.split(": ", 1) for line in top.decode("latin-1").split("\r\n")[1:])
        missing = [name for name, value in HEADERS.items() if lines.get(name) != value]
        if missing:
            yield f"{status} without {', '.join(missing)}"


class _Told(logging.Handler):
    """Keeps what the server logs with a traceback."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(self.format(record))


@contextmanager
def listened_to() -> Iterator[list[str]]:
    """What the server or a thread of it fails over meanwhile."""
    told, loggers = _Told(), [logging.getLogger(name) for name in ("waitress", "webui.requests")]
    before, threading.excepthook = threading.excepthook, lambda args: told.lines.append(repr(args.exc_value))
    for logger in loggers:
        logger.addHandler(told)
    try:
        yield told.lines
    finally:
        threading.excepthook = before
        for logger in loggers:
            logger.removeHandler(told)


def try_out(at: At, count: int, chance: random.Random, found: Found) -> None:
    """Open so many connections, and ask an innocent thing now and then."""
    innocent = Sent("innocent", request(at, b"Connection: close", first=b"GET /api/v1/makes HTTP/1.1"))
    with listened_to() as told:
        for number in range(count):
            sent = MAKERS[number % len(MAKERS)](chance, at)
            found.kinds[sent.kind] += 1
            found.sent += 1
            _look_at(at, sent, found)
            if told:
                found.wrong += [f"logged {line:.300}: {sent.raw[:200]!r}" for line in told]
                told.clear()
            if number % EVERY == 0:
                _look_at(at, innocent, found, must_be=at.innocent)


def _look_at(at: At, sent: Sent, found: Found, must_be: int = 0) -> None:
    begun = time.process_time()
    raw = asked(at, sent)
    took = (time.process_time() - begun) / sent.answers
    said = f"{sent.kind}: {sent.raw[:200]!r}"
    found.slowest = max(found.slowest, (took, said))
    if took > SECONDS:
        found.wrong.append(f"{took:.1f} s: {said}")
    found.wrong += [f"{what}: {said}" for what in wrong(sent, raw, head=sent.raw.startswith(b"HEAD "))]
    try:
        statuses = [status for status, _, _ in answers(raw)] or [0]
    except ValueError:
        statuses = [0]
    found.statuses.update(statuses)
    if must_be and statuses != [must_be]:
        found.wrong.append(f"{statuses} instead of {must_be}: {said}")


def sockets(home: Served) -> dict[str, At]:
    """Where one can ask: this machine's own socket, and the one at home without a session and with one."""
    at_home, host = (home.home.address, home.home.port), home.home.hosts[0].encode()
    return {
        "this machine": At(("127.0.0.1", home.here), b"localhost:%d" % home.here),
        "at home, a stranger": At(at_home, host, innocent=401),
        "at home, paired": At(at_home, host, home.pair("everything").encode()),
    }


def main() -> int:
    """Run it long and print what was found."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    every: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        store, _ = demo_app(Path(folder))
        with store, served(store) as home:
            for name, at in sockets(home).items():
                found, begun = Found(), time.perf_counter()
                try_out(at, count, random.Random(seed), found)
                took = time.perf_counter() - begun
                print(f"{name}: {found.sent} connections of {len(found.kinds)} kinds in {took:.0f} s")
                print(f"  answers by status (0 is none): {dict(sorted(found.statuses.items()))}")
                print(f"  slowest {found.slowest[0]:.2f} s of processor: {found.slowest[1]:.200}")
                every += [f"{name}: {line}" for line in found.wrong]
    print(f"{len(every)} wrong")
    for line in every[:50]:
        print(line)
    return 1 if every else 0


if __name__ == "__main__":
    sys.exit(main())
