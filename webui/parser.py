"""The head of a request as bytes: what two readers could take for requests of different lengths is refused."""

from __future__ import annotations

from waitress.parser import HTTPRequestParser, ParsingError


class Parser(HTTPRequestParser):  # type: ignore[misc]
    """waitress' own, which reads chunks though a length is said too, and a length though an old version says chunks.

    Source: RFC 9112, 6.1 and 6.3: a server may refuse both, and has to close the connection.
    """

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head of a request. Raises ParsingError, upon which the server refuses it and closes."""
        try:
            super().parse_header(header_plus)
        except ValueError:  # a length of more figures than Python reads
            raise ParsingError("Content-Length is invalid") from None
        if self.chunked and "CONTENT_LENGTH" in self.headers:
            raise ParsingError("Content-Length beside Transfer-Encoding")
        if "TRANSFER_ENCODING" in self.headers:  # still there: of HTTP/1.0, which has none
            raise ParsingError("Transfer-Encoding of an old version")
