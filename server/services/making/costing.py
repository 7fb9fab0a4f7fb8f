"""What a thing costs, as a maker types it: how many copies, which hardware at which price, how long a step takes; and the account."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from server.errors import Refusal
from server.leather.cost import Account, Hardware, account, money, waste_share
from server.leather.hardware import wanted
from server.leather.pattern import Pattern
from server.leather.rack import Rack
from server.services.making.rack import Stock
from server.services.making.rack_lines import LARGEST_PRICE, number
from server.services.making.sewing import Work

COLUMNS = ("name", "count", "price")
MOST_COPIES, MOST_PIECES = 10_000, 1000
LONGEST_NAME = 60
LONGEST_STEP = 6000.0
"""Minutes that one step may take, a hundred hours: more is a slip of the pen."""


@dataclass(frozen=True)
class Costing:
    """How many are made, the hardware of one, and the minutes for one of the steps that the maker timed, by name.

    ``proposed`` while the hardware is what the pattern itself asks for.
    """

    copies: int
    hardware: tuple[Hardware, ...]
    proposed: bool
    steps: Mapping[str, float] = field(default_factory=dict)


def read(typed: Mapping[str, Any], pattern: Pattern, rack: Rack) -> Costing:
    """Return what was typed; without a list of hardware, what the pattern asks for, at the prices on the rack.

    Raises:
        Refusal: a number that is not understood; the field is such as ``costing.hardware.0.count``.

    """
    lines = typed.get("hardware")
    hardware = propose(pattern, rack) if lines is None else tuple(_line(i, line, rack) for i, line in enumerate(lines))
    return Costing(copies(typed.get("copies", "")), hardware, lines is None, minutes(typed.get("steps") or {}))


def check(typed: Mapping[str, Any], rack: Rack) -> None:
    """Refuse copies, hardware or minutes that are not understood, as ``read`` does."""
    for i, line in enumerate(typed.get("hardware") or ()):
        _line(i, line, rack)
    copies(typed.get("copies", ""))
    minutes(typed.get("steps") or {})


def minutes(typed: Mapping[str, str]) -> dict[str, float]:
    """Return the minutes for one of each step that the maker timed, by the step's name; a step left empty is reckoned.

    A step that the pattern has no more, because a choice took it away, is kept for when it comes back.
    """
    return {step: number(text, f"costing.steps.{step}", LONGEST_STEP) for step, text in typed.items() if text.strip()}


def copies(text: str) -> int:
    """Return how many are made, 1 when nothing is typed."""
    return _whole(text, "costing.copies", MOST_COPIES) if text.strip() else 1


def propose(pattern: Pattern, rack: Rack) -> tuple[Hardware, ...]:
    """Return the hardware that a pattern asks for by its choices, at the prices on the rack."""
    return tuple(Hardware(one.name, one.count, _on_rack(rack, one.name)) for one in wanted(pattern))


def accounted(made: Work, stock: Stock, costing: Costing) -> Account:
    """Return the account of a pattern as it is made with a rack."""
    return account(
        made.pattern,
        replace(stock.rates, steps={**stock.rates.steps, **costing.steps}),
        costing.hardware,
        thread_mm=made.thread_mm,
        copies=costing.copies,
        currency=stock.currency,
    )


def cost_json(cost: Account) -> dict[str, Any]:
    """Return the account: the one line, the areas, materials, time by step, and how the price comes about."""
    return {
        "words": cost.words,
        "amounts": cost.amounts,
        "currency": cost.currency,
        "copies": cost.copies,
        "net_dm2": cost.net_dm2,
        "net_sqft": cost.net_sqft,
        "bought_dm2": cost.bought_dm2,
        "bought_sqft": cost.bought_sqft,
        "waste_share": waste_share(cost.bought_dm2 / cost.net_dm2 - 1.0),
        "lines": [
            asdict(line) | {"amount": line.amount, "money": money(line.amount, cost.currency)} for line in cost.lines
        ],
        "work": [asdict(work) | {"each": work.minutes / cost.copies} for work in cost.work],
        "minutes": cost.minutes,
        "hour": cost.hour,
        "profit": cost.profit,
        "materials": cost.materials,
        "cost": cost.cost,
        "price": cost.price,
        "each": cost.each,
        "money": money(cost.price, cost.currency),
        "each_money": money(cost.each, cost.currency),
        "formula": cost.formula,
    }


def costing_json(costing: Costing, pattern: Pattern, rack: Rack) -> dict[str, Any]:
    """Return copies and hardware as understood, and what the pattern itself would ask for."""
    return {
        "copies": costing.copies,
        "proposed": costing.proposed,
        "hardware": [_json(one) for one in costing.hardware],
        "steps": dict(costing.steps),
        "usual": [_json(one) for one in propose(pattern, rack)],
    }


def _json(one: Hardware) -> dict[str, Any]:
    return {"name": one.name, "count": one.count, "price": one.each}


def _line(index: int, line: Mapping[str, str], rack: Rack) -> Hardware:
    """One kind of hardware as typed; a price left empty is the one on the rack."""
    at = f"costing.hardware.{index}."
    name = line["name"].strip()
    if not 0 < len(name) <= LONGEST_NAME:
        raise Refusal(f"Hardware needs a name of at most {LONGEST_NAME} letters.", field=f"{at}name")
    count = _whole(line["count"], f"{at}count", MOST_PIECES) if line["count"].strip() else 1
    price = number(line["price"], f"{at}price", LARGEST_PRICE) if line["price"].strip() else _on_rack(rack, name)
    return Hardware(name, count, price)


def _on_rack(rack: Rack, name: str) -> float:
    return next((one.price for one in rack.hardware if one.name.lower() == name.lower()), 0.0)


def _whole(text: str, field: str, most: int) -> int:
    if not (text.strip().isdecimal() and 1 <= int(text) <= most):
        raise Refusal(f"{text.strip()[:20]!r} is no count: give a whole number from 1 to {most}.", field=field)
    return int(text)
