"""What is answered where the page that says what went wrong goes wrong itself: always the same, with no value in it."""

from __future__ import annotations

from flask import Response

_LAST_PAGE = b"""<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="color-scheme" content="light dark"><title>That did not work. - Fitcheck</title>
<link rel="stylesheet" href="/static/fitcheck.css"></head>
<body><main class="wrap"><header class="answer"><h1>That did not work.</h1>
<p class="because">Something in the program went wrong, and again in the page that says so. What was kept before stands.
Go back to have what you typed, then try again, or restart Fitcheck.</p>
<div class="btns"><a class="btn main" href="/settings">To the settings</a>
<a class="btn" href="/">To the table</a></div>
</header></main></body>
</html>
"""


def last_page() -> Response:
    """The page that needs no template, no store and no setting."""
    return Response(_LAST_PAGE, 500, mimetype="text/html")
