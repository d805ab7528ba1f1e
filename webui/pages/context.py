"""What a page shows: for each template a frozen value, whose fields are the names that the template uses.

A test holds every template and its class together: no name without a field, no field without a use.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from typing import Any, ClassVar, TypeVar, dataclass_transform

from fitcheck.records.frozen import frozen


@frozen
class Page:
    """Base of what pages show.

    template  name of the template
    room      link of the bar that the page stands under
    """

    template: ClassVar[str]
    room: ClassVar[str]

    def given(self) -> dict[str, Any]:
        """The fields by name, as the template gets them."""
        return {"room": self.room, **{field.name: getattr(self, field.name) for field in fields(self)}}


Shown = TypeVar("Shown", bound=Page)


@dataclass_transform(frozen_default=True)
def shown_by(template: str, room: str) -> Callable[[type[Shown]], type[Shown]]:
    """Make a class of what a page shows: a frozen value with its template and its room."""

    def made(written: type[Shown]) -> type[Shown]:
        page = frozen(written)
        page.template, page.room = template, room
        return page

    return made
