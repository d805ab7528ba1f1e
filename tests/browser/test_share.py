"""What only a device does: it makes a photograph smaller before it is sent, copies the answer, draws a picture."""

from __future__ import annotations

import json
import random
import struct
import zlib

import pytest

from fitcheck.records.photographs import LARGEST_BYTES, cleaned
from fitcheck.store import Store
from tests.browser.conftest import INVENTED

MAKE, SWATCH = "/makes/grey_pullover", "/swatches/grey_at_7"


@pytest.fixture(scope="module")
def household():
    return INVENTED.read_bytes()


def noise(width, height):
    """A PNG of grey noise, which no writing of a picture makes small."""
    drawn = random.Random(1)
    rows = b"".join(b"\0" + drawn.randbytes(width) for _ in range(height))

    def chunk(kind, held):
        return struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows, 1)) + chunk(b"IEND", b"")


def size_of(photograph):
    """Width and height of a baseline JPEG, from its frame."""
    at = photograph.index(b"\xff\xc0")
    height, width = struct.unpack(">HH", photograph[at + 5 : at + 9])
    return width, height


@pytest.mark.full
def test_a_large_picture_is_made_smaller_on_the_device_and_kept(service, open_page):
    page = open_page(SWATCH)
    page.click("#photographs summary")
    chooser = page.locator("#photographs input[type=file]").last
    picture = {"name": "large.png", "mimeType": "image/png", "buffer": noise(2500, 2250)}
    with page.expect_navigation():
        chooser.set_input_files(picture)
    page.wait_for_selector("#photographs img")
    assert page.evaluate("document.querySelector('#photographs img').decode().then(() => true)")
    with Store.open(service.path) as store:
        (digest,) = store.get("swatches", "grey_at_7").record.photographs
        photograph = store.photograph(digest)
    width, height = size_of(photograph)
    assert abs(width * 0.9 - height) <= 1
    assert 1000 < width <= 2400
    assert len(photograph) <= LARGEST_BYTES
    assert cleaned(photograph) == photograph


@pytest.mark.full
def test_what_is_no_picture_says_so_on_the_device(look_at):
    page = look_at(SWATCH)
    page.click("#photographs summary")
    page.locator("#photographs input[type=file]").last.set_input_files(
        {"name": "no.png", "mimeType": "image/png", "buffer": b"no picture"}
    )
    page.wait_for_selector("#photographs [role=status]:has-text('cannot read')")
    assert page.url.endswith(SWATCH)


@pytest.mark.full
def test_the_answer_is_copied_and_the_drawing_becomes_a_picture(look_at):
    page = look_at(MAKE)
    page.locator("#share > summary").click()
    with page.expect_download() as downloading:
        page.locator("[data-do=png]").click()
    picture = downloading.value.path().read_bytes()
    assert downloading.value.suggested_filename == "grey_pullover.png"
    assert picture.startswith(b"\x89PNG")
    assert max(struct.unpack(">II", picture[16:24])) == 2000
    page.evaluate("Object.defineProperty(navigator, 'clipboard', {value: undefined})")  # as on plain http at home
    page.evaluate("addEventListener('copy', () => { window.copied = String(document.activeElement.value); })")
    page.locator("[data-do=copy]").click()
    page.wait_for_selector("#share [role=status]:has-text('Copied')")
    text = page.evaluate("fetch(document.querySelector('[data-do=copy]').dataset.from).then(text => text.text())")
    assert page.evaluate("window.copied") == text
    assert json.dumps(text).count("\\n") > 10
