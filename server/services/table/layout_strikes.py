"""The blows of a layout's present step, for the table page, which shows them one by one without a job."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from server.services.light.stage import Laid
from server.services.making.made_of import rack_of
from server.services.making.strikes import strikes_of
from server.store import layouts, patterns
from server.store.database import Database


def layout_strikes(database: Database, number: int) -> dict[str, Any]:
    """Return the step of a layout and its blows in striking order; none where all steps are shown at once.

    Raises:
        Refusal: there is no such layout (404).

    """
    with database.reading() as session:
        layout = layouts.get(session, number)
        pattern = patterns.get(session, layout.pattern_id)
        laid, rack = Laid(layout, pattern), rack_of(session, pattern)
    blows = () if laid.step is None else strikes_of(laid.drafted, laid.step, rack)
    return {"step": layout.step, "strikes": [asdict(blow) for blow in blows]}
