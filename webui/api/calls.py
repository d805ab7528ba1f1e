"""One request on its way to an operation: its path, queries, revision and body, each looked at once."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any, NoReturn

from flask import Response, request

from fitcheck.records.bounds import MOST_PARTS
from fitcheck.records.faults import wrong_value
from fitcheck.records.frozen import frozen
from fitcheck.records.refusals import shown
from webui.answers import Text
from webui.api.problems import BY_NAME, Refused

JSON = "application/json"
CSV = "text/csv"
JPEG = "image/jpeg"
SVG = "image/svg+xml"
REVISION_TAG = r'^(0|[1-9][0-9]{0,17}|"(0|[1-9][0-9]{0,17})")$'
"""A revision in If-Match: in quotes, as HTTP has it, or bare, as one types it."""
_TAG = re.compile(REVISION_TAG)
_KEY = re.compile(r"[a-z0-9][a-z0-9_-]{0,63}")
_A_KEY = "A key: small letters, figures, - and _; 64 at most."
_DIGITS = re.compile(r"[0-9]{1,9}")


@frozen
class Call:
    """One request. Everything that is wrong with it raises a RecordsError or a Refused."""

    path: Mapping[str, str]

    # Path

    def keys(self) -> None:
        """Refuse a key or id in the address that none can be."""
        for name in ("key", "sheet", "id"):
            if name in self.path and not _KEY.fullmatch(self.path[name]):
                refuse(name, shown(self.path[name]), _A_KEY)

    # Queries

    def queries(self, known: Iterable[str]) -> None:
        """Refuse a query that the operation does not have, or that is said twice."""
        names = list(known)
        for name, said in request.args.lists():
            if name not in names:
                accepts = f"One of {', '.join(names)}." if names else "No query at all."
                refuse("query", shown(name), accepts)
            if len(said) > 1:
                refuse(name, f"{len(said)} values", "One value.")

    def key(self, name: str) -> str | None:
        """Return a query that is a record's key."""
        said = request.args.get(name)
        if said is not None and not _KEY.fullmatch(said):
            refuse(name, shown(said), _A_KEY)
        return said

    def text(self, name: str, longest: int) -> str | None:
        """Return a query that is free text."""
        said = request.args.get(name)
        if said is not None and len(said) > longest:
            refuse(name, f"{len(said)} characters", f"{longest} characters at most.")
        return said

    def number(self, name: str, low: int, high: int, otherwise: int) -> int:
        """Return a query that is a whole number."""
        said = request.args.get(name)
        if said is None:
            return otherwise
        if not _DIGITS.fullmatch(said) or not low <= int(said) <= high:
            refuse(name, shown(said), f"A whole number from {low} to {high}.")
        return int(said)

    def one_of(self, name: str, values: tuple[str, ...], otherwise: str) -> str:
        """Return a query that is one of a few words."""
        said = request.args.get(name)
        if said is None:
            return otherwise
        if said not in values:
            refuse(name, shown(said), f"One of {', '.join(values)}.")
        return said

    # Revision

    def revision(self) -> int:
        """Return the revision that a change was made from; 0 where the record must be new."""
        match = request.headers.get("If-Match")
        if match is None:
            raise Refused("revision-missing", BY_NAME["revision-missing"].whole)
        tag = _TAG.match(match.strip())
        if tag is None:
            raise Refused(
                "not-understood", f'If-Match: read {shown(match)}; one revision: "3", or "0" for a new record.'
            )
        return int(tag[0].strip('"'))

    # Body

    def bytes(self, media: str) -> bytes:
        """Return the body, which must be said to be of a kind."""
        if request.mimetype != media:
            raise Refused("wrong-media", f"The body must be {media}: say so in Content-Type.")
        return request.get_data(cache=False)

    def json(self) -> Any:
        """Return the body as plain data."""
        return read_json(self.bytes(JSON))

    def object(self, allowed: Iterable[str] | None = None, needed: Iterable[str] = ()) -> dict[str, Any]:
        """Return the body, which must be an object, with these names only."""
        data = self.json()
        if not isinstance(data, dict):
            refuse("body", shown(data), "An object { }.")
        missing = [name for name in needed if name not in data]
        if missing:
            refuse(missing[0], "nothing", "A value: it is needed.")
        known = None if allowed is None else list(allowed)
        for name in data:
            if known is not None and name not in known:
                refuse("body", shown(name), f"Only {', '.join(known)}." if known else "An empty object.")
        return data


def refuse(place: str, read: str, accepts: str) -> NoReturn:
    """Refuse one place of a request."""
    raise wrong_value(place, read, accepts)


def read_json(raw: bytes) -> Any:
    """Read JSON strictly: UTF-8, no name twice, no NaN."""
    if raw.count(b"[") + raw.count(b"{") > MOST_PARTS:  # told from the bytes: half a million lists take seconds to read
        raise Refused("not-understood", f"The body has more than {MOST_PARTS:,} lists and groups.")
    try:
        return json.loads(raw.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_constant)
    except UnicodeDecodeError:
        raise Refused("not-understood", "The body is no text in UTF-8.") from None
    except json.JSONDecodeError as error:
        detail = f"The body is no JSON: {error.msg} in line {error.lineno}, column {error.colno}."
        raise Refused("not-understood", detail) from None
    except RecursionError:
        raise Refused("not-understood", "The body is nested too deeply.") from None
    except ValueError:
        raise Refused("not-understood", "The body has a number of more digits than can be read.") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) < len(pairs):
        raise Refused("not-understood", "A name stands twice in one object; which of them is meant?")
    return members


def _no_constant(name: str) -> NoReturn:
    raise Refused("not-understood", f"The body has {name}, which is no number in JSON.")


# Answers


def tagged(text: Text) -> Response:
    """Answer with a text and its tag; nothing but the tag where the asker has it already."""
    return _or_unchanged(text.raw, text.tag)


def _or_unchanged(raw: bytes, tag: str) -> Response:
    headers = {"ETag": f'"{tag}"', "Cache-Control": "no-cache"}
    known = request.headers.get("If-None-Match")
    if known is not None and (known.strip() == "*" or f'"{tag}"' in [part.strip() for part in known.split(",")]):
        return Response(status=304, headers=headers)
    return Response(raw, 200, headers, mimetype=JSON)


def of_record(raw: bytes, revision: int) -> Response:
    """Answer with a record; its tag is its revision."""
    return _or_unchanged(raw, str(revision))


def data(plain: Any) -> Response:
    """Answer with plain data."""
    raw = json.dumps(plain, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return Response(raw, mimetype=JSON)
