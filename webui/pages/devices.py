"""The devices of the household, in its settings: which are paired, and a code for another one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from flask import Blueprint, Response, request, url_for
from markupsafe import Markup

from fitcheck.records.frozen import frozen
from fitcheck.store.devices import Right
from fitcheck.words import home as say
from webui.pages import ground, views
from webui.pairing.codes import Code
from webui.pairing.home import Home
from webui.pairing.qr import qr_svg
from webui.rights import HERE
from webui.service import service

pages = Blueprint("devices", __name__, url_prefix="/settings/devices")


@frozen
class Invitation:
    """A code that can be used now: its square, the address and the code to be typed, and what is said of it."""

    square: Markup
    url: str
    code: str
    lasts: str


@frozen
class Devices:
    """What the settings show of devices.

    told        where they find the service, or how they would
    invites     whether a code can be made here
    invitation  the one that can be used now; None without one
    paired      each device: its name, and what is said of it
    """

    told: str
    invites: bool
    invitation: Invitation | None
    paired: Sequence[tuple[str, str]]


def devices() -> Devices:
    """What the settings show of devices; codes are for this machine's own screen alone."""
    home, here = service().config.home, views.right() == HERE
    code = home.pairing.code if home is not None and here else None
    told = say.NOT_AT_HOME
    if home is not None:
        told = say.answers_at_home(home.url, home.name_url) if here else say.CODES_ON_THE_MACHINE
    return Devices(
        told=told,
        invites=home is not None and here,
        invitation=_invitation(home, code) if home is not None and code is not None else None,
        paired=[
            (device.name, say.what_it_may(device.right, device.first_seen, device.last_seen))
            for device in views.store().devices(date.today())
        ],
    )


def _invitation(home: Home, code: Code) -> Invitation:
    lasts = say.code_lasts(code.right, home.pairing.minutes_left(code))
    return Invitation(views.svg_markup(qr_svg(home.invitation(code))), f"{home.url}pair", str(code), lasts)


@pages.post("/invite")
def invite() -> Response:
    """Make a code for one more device."""
    home = service().config.home
    if home is None:
        return ground.go(url_for("settings.settings"), say.NOT_AT_HOME)
    right: Right = "everything" if request.form.get("right") == "everything" else "measure"
    home.pairing.invite(right)
    return ground.go(url_for("settings.settings", _anchor="devices"))


@pages.post("/remove")
def remove() -> Response:
    """Remove a device: it has to be paired again."""
    name = request.form.get("name", "")
    gone = views.store().remove_device(name)
    said = say.removed(name) if gone else say.no_such_device(name)
    return ground.go(url_for("settings.settings"), said)
