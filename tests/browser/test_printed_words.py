"""The words of a sheet come out of a PDF as they went in, and whoever reads only them knits the piece."""

from __future__ import annotations

import base64
from html import escape
from pathlib import Path

import pytest

from fitcheck.knitting.sheet import sheet
from tests.knitting.sample_front import front
from tests.knitting.test_knitted_from_words import paper
from tests.knitting.words_knitter import knit
from tests.pdf_text import Pdf

FONT = Path(__file__).parents[2] / "webui" / "static" / "fonts" / "source-sans-3-latin-wght-normal.woff2"
STYLE = """
@font-face {{ font-family: ours; src: url(data:font/woff2;base64,{font}); font-weight: 200 900 }}
body {{ font: 12pt {family} }} b {{ font-size: 22pt }}
p {{ display: grid; grid-template-columns: 20mm 20mm 1fr 30mm 20mm; margin: 0; break-inside: avoid; line-height: 11mm }}
p.boxes {{ grid-template-columns: repeat(10, 14mm) }} p.wide {{ display: block; line-height: 1.3 }}
"""


def page_of(rows: list[list[str]], family: str) -> str:
    """Rows of cells as a page that is printed: a counter in large figures, boxes side by side, text across."""
    style = STYLE.format(font=base64.b64encode(FONT.read_bytes()).decode(), family=family)
    written = []
    for cells in rows:
        kind = "" if len(cells) > 2 and not cells[-1].isalpha() else "wide"
        kind = "boxes" if all(cell.isdigit() for cell in cells) else kind
        text = [f"<span>{escape(cell)}</span>" for cell in cells]
        if not kind:
            text[0] = f"<b>{escape(cells[0])}</b>"
        written.append(f"<p class='{kind}'>{'&emsp;&emsp;'.join(text) if kind == 'wide' else ''.join(text)}</p>")
    return f"<!doctype html><meta charset=utf-8><style>{style}</style>{''.join(written)}"


@pytest.mark.parametrize("family", ["ours", "serif"])
def test_a_printed_sheet_is_knitted_from_the_text_of_its_pdf(chromium, family):
    made = sheet(front(), rib_rows=20)
    page = chromium.new_page()
    page.set_content(page_of(paper(made), family))
    page.evaluate("document.fonts.ready")
    printed = Pdf(page.pdf(format="A4")).rows()
    page.close()
    knitted = knit(printed)
    assert knitted.troubles == []
    assert knitted.acts == len(made.unfolded())
    assert knitted.off == [("neck", 12), ("shoulder", 29), ("shoulder", 29)]
    read = [cells for cells in printed if len(cells) == 5 and cells[1] in ("left", "right")]
    assert read == [cells for cells in paper(made) if len(cells) == 5 and cells[1] in ("left", "right")]
