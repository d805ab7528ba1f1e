"""What the service is told when it starts."""

from __future__ import annotations

from fitcheck.records.frozen import frozen
from webui.pairing.home import Home

ADDRESS = "127.0.0.1"
"""Where the service listens unless told otherwise: this machine only."""
PORT = 8674
LARGEST_BODY = 2_000_000
"""Largest body of a request [bytes]; a larger household file goes in by command."""
UNPAIRED_BODY = 16_000
"""The same of a request at home whose device is not paired [bytes]."""
LARGEST_GIVEN_BACK = 4_000_000
"""Largest form that is given back to who typed it, when it was too large to be taken [bytes]."""


@frozen
class Config:
    """Settings of one service.

    port          port that requests name in their Host line; 80 may be left out there, as browsers do
    largest_body  largest body of a request [bytes]
    home          where paired devices find it; None: nowhere
    """

    port: int = PORT
    largest_body: int = LARGEST_BODY
    home: Home | None = None
