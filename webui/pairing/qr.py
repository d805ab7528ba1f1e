"""The address of an invitation as a square that a phone's camera reads (ISO/IEC 18004, made by segno)."""

from __future__ import annotations

import io

QUIET = 4
"""Empty modules around it, as the standard asks [modules]."""


def qr_svg(text: str) -> str:
    """Return it as a drawing that stands in a page: dark on light in the dark too, for cameras read it so."""
    import segno

    return segno.make_qr(text, error="m").svg_inline(
        border=QUIET, dark="#000", light="#fff", omitsize=True, svgclass="qr", lineclass=None
    )


def qr_lines(text: str) -> str:
    """Return it as half blocks, two rows of modules a line, white on black whatever the terminal's colours are."""
    import segno

    drawn = io.StringIO()
    segno.make_qr(text, error="l").terminal(drawn, border=QUIET, compact=True)
    return "".join(f"\x1b[97;40m{line}\x1b[0m\n" for line in drawn.getvalue().splitlines())
