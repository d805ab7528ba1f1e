"""Who may ask: only this machine and devices that it paired, only our own pages; and the headers of every answer.

A page of another site can make a browser on this machine ask us. It always arrives under its own name (a
rebinding page too), so Host is compared by hand with loopback addresses; and it cannot leave out Origin where
something would change.
"""

from __future__ import annotations

import re
from ipaddress import ip_address

from flask import Flask, Response, g, request

from webui.api.problems import problem
from webui.at_home.guard import SAFE, asked_at_home, stay_paired
from webui.pairing.home import AT_HOME
from webui.rights import HERE
from webui.service import service

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)

HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    # no-referrer would make the browser send "Origin: null" on our own forms
    "Referrer-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
"""On every answer, errors too."""

_HOST = re.compile(r"(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9.-]+)(?::([0-9]{1,5}))?")


def is_loopback(name: str) -> bool:
    """Whether a name or address means this machine: localhost, or a loopback address written out."""
    if name.lower() == "localhost":
        return True
    try:
        return ip_address(name.removeprefix("[").removesuffix("]")).is_loopback
    except ValueError:
        return False


def host_allowed(host: str, port: int) -> bool:
    """Whether a Host line names this machine with our port; exactly one port, and only 80 may be left out."""
    parts = _HOST.fullmatch(host)
    return bool(parts and is_loopback(parts[1]) and int(parts[2] or 80) == port)


def origin_allowed(origin: str | None, site: str | None, host: str) -> bool:
    """Whether something may be changed on behalf of where the request comes from.

    origin  header Origin: only our own, exactly; browsers send it on every request that changes something
    site    header Sec-Fetch-Site: counts where Origin is missing; a program sends neither
    """
    if origin is not None:
        return origin.lower() == f"http://{host.lower()}"
    return site in (None, "same-origin", "none")


def register(app: Flask) -> None:
    """Guard an application."""

    @app.before_request
    def guarded() -> Response | None:
        home = request.environ.get(AT_HOME)
        if home is not None:
            return asked_at_home(home)
        g.right = HERE
        # Answered here, not raised: whoever it was gets no page of ours.
        host, port = request.headers.get("Host", ""), service().config.port
        if not host_allowed(host, port):
            return problem("refused", f"Fitcheck answers on this machine only: http://localhost:{port}/")
        if request.method not in SAFE and not origin_allowed(
            request.headers.get("Origin"), request.headers.get("Sec-Fetch-Site"), host
        ):
            return problem("refused", "Only Fitcheck’s own pages may change something. Do it there.")
        return None

    @app.after_request
    def dressed(response: Response) -> Response:
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if "Cache-Control" not in response.headers:
            # A page is asked for anew every time, but the browser's Back may show it with what was typed in it.
            page = response.mimetype == "text/html"
            response.headers["Cache-Control"] = "private, no-cache" if page else "no-store"
        return stay_paired(response)
