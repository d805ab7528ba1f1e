"""On the home screen of a phone: the manifest, its icons, and what a page asks of the network."""

from __future__ import annotations

import json
import re
import struct
from pathlib import Path

import webui

STATIC = Path(webui.__file__).with_name("static")


def png_size(raw):
    assert raw.startswith(b"\x89PNG\r\n\x1a\n")
    return struct.unpack(">II", raw[16:24])


def test_every_page_names_a_manifest_that_the_policy_lets_in_and_whose_icons_are_there(client):
    answer = client.get("/")
    assert "manifest-src 'self'" in answer.headers["Content-Security-Policy"]
    at = re.search(r'<link rel="manifest" href="([^"]+)"', answer.text)[1]
    with client.get(at) as got:
        assert (got.status_code, got.mimetype) == (200, "application/manifest+json")
        manifest = json.loads(got.data)
    assert (manifest["start_url"], manifest["display"]) == ("/", "standalone")
    for icon in manifest["icons"]:
        raw = (STATIC / icon["src"]).read_bytes()
        if icon["type"] == "image/png":
            assert "{}x{}".format(*png_size(raw)) == icon["sizes"]
        else:
            assert b"<svg" in raw
    apple = re.search(r'<link rel="apple-touch-icon" href="/static/([^"]+)"', answer.text)[1]
    assert png_size((STATIC / apple).read_bytes()) == (180, 180)


def test_the_colours_round_a_page_are_those_of_its_paper(client):
    style = (STATIC / "fitcheck.css").read_text()
    light, dark = re.findall(r"--paper:(#\w{6})", style)[:2]
    told = dict(re.findall(r'<meta name="theme-color" content="(#\w+)" media="\(prefers-color-scheme: (\w+)\)"',
                           client.get("/").text))  # fmt: skip
    assert told == {light: "light", dark: "dark"}
    manifest = json.loads((STATIC / "fitcheck.webmanifest").read_text())
    assert (manifest["background_color"], manifest["theme_color"]) == (light, light)


def test_the_walk_carries_what_it_needs_and_no_script_registers_a_worker(client):
    for script in STATIC.glob("*.js"):
        assert "serviceWorker" not in script.read_text(), script
    page = client.get("/makes/grey_unwashed/walk?round=next").text
    data = json.loads(re.search(r'id="walk-data">(.*?)</script>', page, re.S)[1])
    ids = [step["id"] for step in data["steps"]]
    assert set(data["order"]) <= set(ids)
    assert all(f'id="tape-{step["point"]}"' in page for step in data["steps"] if step["lies"])
