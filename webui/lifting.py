"""A way out is taken where a piece cannot be knitted as it was counted, or taken back: the choices of a make change."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fitcheck.advice.to_come.held_together import MORE_FOR_THE_CAP
from fitcheck.advice.to_come.ways_out import OfferedWay
from fitcheck.records.faults import FitcheckError
from fitcheck.records.makes import Make
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from webui.service import Service


class WaysChanged(FitcheckError):  # noqa: N818 - it names what is the matter
    """The answer is another than the one that offered the way."""

    def __init__(self) -> None:
        super().__init__(deeds.COUNTS_CHANGED)


def take_way(service: Service, key: str, place: int, digest: str) -> Stored:
    """Take one of the ways out that were offered, and return the make.

    place   of the way in their list, from 0;  digest: of the answer that offered it

    Raises WaysChanged where the answer is another now, NotFound.
    """

    def take(choices: dict[str, Any], _: Make) -> None:
        answer = service.answers.rest_of(key).answer
        if answer.digest != digest or answer.refused is None or not 0 <= place < len(answer.refused.ways):
            raise WaysChanged
        _written(choices, answer.refused.ways[place])

    return _changed(service, key, take)


def ask_again(service: Service, key: str, place: int, digest: str) -> Stored:
    """Ask again for what was lifted, and return the make.

    place   of the demand among those that were lifted, from 0;  digest: of the answer that showed them

    Raises WaysChanged where the answer is another now, NotFound.
    """

    def drop(choices: dict[str, Any], make: Make) -> None:
        if service.answers.rest_of(key).answer.digest != digest or not 0 <= place < len(make.choices.lifted):
            raise WaysChanged
        del choices["lifted"][place]

    return _changed(service, key, drop)


def _written(choices: dict[str, Any], way: OfferedWay) -> None:
    """Write a way into the choices of a make."""
    if way.code == "armhole_rows":
        choices["armhole_rows"] = "up" if way.up else "down"
        return
    lifted = choices.setdefault("lifted", [])
    for lift in way.lifts:
        written = lift.model_dump(mode="json", exclude_defaults=True)
        of = (lift.piece, lift.demand)
        before = next((other for other in lifted if (other["piece"], other["demand"]) == of), None)
        if before is not None and lift.demand in MORE_FOR_THE_CAP:
            before["times"] = before.get("times", 1) + lift.times
        elif written not in lifted:
            lifted.append(written)


def _changed(service: Service, key: str, change: Callable[[dict[str, Any], Make], None]) -> Stored:
    """Change the choices of a make as it is now; anew where somebody else changed it meanwhile."""
    store = service.store
    while True:
        stored = store.get("makes", key)
        make, document = stored.record, stored.doc
        assert isinstance(make, Make)
        change(document.setdefault("choices", {}), make)
        try:
            return store.put("makes", key, document, stored.revision)
        except StaleWrite:
            continue
