"""What a page shows: for each template a frozen value, whose fields are the names that the template uses.

A test holds every template and its class together: no name without a field, no field without a use.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, ClassVar


@dataclass(frozen=True, slots=True)
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
