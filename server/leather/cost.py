"""What a piece of work costs: leather, thread, hardware, time. Money is in the maker's own currency and has no unit here.

Waste: leather bought = net area (1 + markup), so the waste is the share w = markup / (1 + markup) of what is bought.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from calibration.refusal import Refusal
from server.geometry.region import area
from server.leather.norms_sewing import SQUARE_FOOT, WASTE_MARKUP
from server.leather.order import pricked, sewn, times_cut
from server.leather.pattern import Pattern, Step
from server.leather.piece import Drawn


@dataclass(frozen=True)
class Hardware:
    """Snaps, buckles and the like: how many, and the price of each."""

    name: str
    count: int
    each: float


@dataclass(frozen=True)
class Rates:
    """What the maker sets: prices, waste, and how long each kind of work takes. All 0 or more.

    Attributes:
        leather: price of a dm2.
        waste_markup: share bought above the net area.
        thread: price of a metre.
        hour: price of an hour's work.
        profit: share put on top of the cost.
        cutting: minutes a metre of cut line.
        gluing: minutes a metre of a lit mark line.
        slot: minutes a slot or punched hole.
        fold: minutes a fold.
        scribing: minutes a metre of stitch line.
        blow: minutes a blow of the irons.
        stitch: minutes a stitch.
        setting_up: minutes each step takes before anything is done.
        steps: minutes for single steps by name, in place of all that.

    The starting values are common practice, no source; they are there to be changed.

    """

    leather: float = 0.0
    waste_markup: float = WASTE_MARKUP.value
    thread: float = 0.0
    hour: float = 0.0
    profit: float = 0.0
    cutting: float = 3.0
    gluing: float = 5.0
    slot: float = 1.0
    fold: float = 1.0
    scribing: float = 1.5
    blow: float = 0.15
    stitch: float = 0.25
    setting_up: float = 2.0
    steps: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        plain = {name: value for name, value in vars(self).items() if name != "steps"}
        for name, value in {**plain, **self.steps}.items():
            if not (math.isfinite(value) and value >= 0.0):
                raise Refusal(f"The rate {name} is {value:g}: give 0 or more.", field=name)


@dataclass(frozen=True)
class Line:
    """One line of the account: what, how much of it, in which unit, at what price each, and the formula with its values."""

    title: str
    quantity: float
    unit: str
    each: float
    formula: str

    @property
    def amount(self) -> float:
        """Quantity times price."""
        return self.quantity * self.each


@dataclass(frozen=True)
class Work:
    """Minutes of one step for all copies, and how they come about."""

    step: str
    title: str
    minutes: float
    formula: str


@dataclass(frozen=True)
class Account:
    """What a pattern costs.

    Attributes:
        net_dm2: area of the pieces of all copies, slots not taken off: they are leather too.
        bought_dm2: with the maker's waste.
        lines: materials.
        work: time by step.
        hour: price of an hour.
        profit: share put on top.
        copies: how many are made.
        currency: the sign the maker writes beside money; may be empty.

    """

    net_dm2: float
    bought_dm2: float
    lines: tuple[Line, ...]
    work: tuple[Work, ...]
    hour: float
    profit: float
    copies: int = 1
    currency: str = ""

    @property
    def net_sqft(self) -> float:
        """Net area, square feet."""
        return square_feet(self.net_dm2)

    @property
    def bought_sqft(self) -> float:
        """Area with waste, square feet."""
        return square_feet(self.bought_dm2)

    @property
    def materials(self) -> float:
        """Leather, thread, hardware."""
        return sum(line.amount for line in self.lines)

    @property
    def minutes(self) -> float:
        """All the work."""
        return sum(work.minutes for work in self.work)

    @property
    def cost(self) -> float:
        """Materials and time."""
        return self.materials + self.minutes / 60.0 * self.hour

    @property
    def price(self) -> float:
        """Cost and profit."""
        return self.cost * (1.0 + self.profit)

    @property
    def each(self) -> float:
        """Price of one copy."""
        return self.price / self.copies

    @property
    def formula(self) -> str:
        """How the price comes about, with the values in it."""
        work = f"{self.minutes:.0f} min / 60 x {self.hour:.2f}"
        return f"({self.materials:.2f} + {work}) x (1 + {self.profit:.2f}) = {money(self.price, self.currency)}"

    @property
    def words(self) -> str:
        """The one line for the list."""
        price = f"price {money(self.price, self.currency)}"
        if self.copies > 1:
            price = (
                f"{self.copies} copies for {money(self.price, self.currency)}, {money(self.each, self.currency)} each"
            )
        return f"{self.amounts}, materials {money(self.materials, self.currency)}, {price}"

    @property
    def amounts(self) -> str:
        """Leather and time, without money: all that can be said while no price is set."""
        hours, minutes = divmod(round(self.minutes), 60)
        time = f"{hours} h {minutes} min" if hours else f"{minutes} min"
        return f"{self.bought_dm2:.1f} dm2 ({self.bought_sqft:.2f} sq ft) of leather, {time}"


def money(value: float, currency: str = "") -> str:
    """Return an amount with the maker's sign: a sign goes before the number, a word or abbreviation after it."""
    if not currency:
        return f"{value:.2f}"
    return f"{value:.2f} {currency}" if currency[-1].isalnum() or currency[-1] == "." else f"{currency}{value:.2f}"


def waste_share(markup: float) -> float:
    """Return the share of the leather bought that is waste: w = m / (1 + m)."""
    return markup / (1.0 + markup)


def markup_for(waste: float) -> float:
    """Return the markup that a share of waste asks for: m = w / (1 - w).

    Raises:
        Refusal: a share of 1 or more, or below 0.

    """
    if not 0.0 <= waste < 1.0:
        raise Refusal(f"A waste of {100 * waste:.3g} % cannot be: give 0 to under 100 %.", field="waste")
    return waste / (1.0 - waste)


def cutting_value(area_: float, defective: float) -> float:
    """Return the share of a hide that can be cut: (A - D) / A."""
    if not (area_ > 0.0 and 0.0 <= defective <= area_):
        raise Refusal(f"A hide of {area_:.6g} cannot have {defective:.6g} of it defective.", field="defective")
    return (area_ - defective) / area_


def square_feet(dm2: float) -> float:
    """Return square feet: 1 ft2 = 9.290304 dm2."""
    return dm2 / SQUARE_FOOT.value


def net_area(pattern: Pattern, counts: Mapping[str, int] | None = None) -> float:
    """Return the area of all pieces, dm2; `counts` says how often a piece is cut, else its own label does."""
    often = counts or {}
    return sum(area(p.outline.flatten(0.005)) * often.get(p.name, times_cut(p)) for p in pattern.pieces) / 10_000.0


def account(
    pattern: Pattern,
    rates: Rates,
    hardware: Sequence[Hardware] = (),
    counts: Mapping[str, int] | None = None,
    thread_mm: float | None = None,
    copies: int = 1,
    currency: str = "",
) -> Account:
    """Return what a pattern costs.

    Args:
        pattern: any.
        rates: the maker's.
        hardware: what is bought for one copy.
        counts: how often each piece is cut, where that is not what its label says.
        thread_mm: thread of the sewing routes of one copy; None for the sum of the seams'.
        copies: how many are made in one go, 1 or more; setting up a step is done once for all of them.
        currency: the maker's sign for money.

    """
    net = copies * net_area(pattern, counts)
    bought = net * (1.0 + rates.waste_markup)
    metres = copies * (sum(seam.thread_mm for seam in pattern.seams) if thread_mm is None else thread_mm) / 1000.0
    waste = 100.0 * waste_share(rates.waste_markup)
    leather = f"{net:.2f} dm2 x (1 + {rates.waste_markup:.2f}) = {bought:.2f} dm2, {waste:.0f} % of it waste"
    lines = (
        Line("Leather", bought, "dm2", rates.leather, leather),
        Line("Thread", metres, "m", rates.thread, f"{_times(copies)}{metres / copies:.2f} m with tails"),
        *(_bought(one, copies) for one in hardware),
    )
    return Account(net, bought, lines, work_of(pattern, rates, copies), rates.hour, rates.profit, copies, currency)


def _bought(one: Hardware, copies: int) -> Line:
    count = one.count * copies
    return Line(one.name, count, "pieces", one.each, f"{_times(copies)}{one.count} x {one.each:.2f}")


def _times(copies: int) -> str:
    return f"{copies} x " if copies > 1 else ""


def work_of(pattern: Pattern, rates: Rates, copies: int = 1) -> tuple[Work, ...]:
    """Return the minutes of each step, from what the light shows for it: its lines, slots, blows or stitches."""
    return tuple(_work(pattern, step, rates, copies) for step in pattern.steps)


def _work(pattern: Pattern, step: Step, rates: Rates, copies: int) -> Work:
    if step.name in rates.steps:
        minutes = copies * rates.steps[step.name]
        return Work(step.name, step.title, minutes, f"{_times(copies)}{rates.steps[step.name]:.4g} min as set")
    kinds = [kind for kind in _doing(pattern, step, rates) if kind[0] > 0.0]
    minutes = rates.setting_up + copies * sum(amount * rate for amount, rate, _ in kinds)
    sums = "".join(
        f" + {_times(copies)}{amount:.4g} {_ONE.get(unit, unit) if amount == 1.0 else unit} x {rate:.3g}"
        for amount, rate, unit in kinds
    )
    return Work(step.name, step.title, minutes, f"{rates.setting_up:.3g}{sums} = {minutes:.1f} min")


_ONE = {"slots": "slot", "folds": "fold", "blows": "blow", "stitches": "stitch"}
Doing = tuple[float, float, str]
"""How much there is to do, the minutes each, and the unit."""


def _doing(pattern: Pattern, step: Step, rates: Rates) -> list[Doing]:
    """What is done in a step: each kind of work with its amount."""
    lit = [drawn for drawn in pattern.piece(step.piece).drawn if step.shows(drawn)]
    if "hole" in step.roles:
        return _sewing(pattern, step, rates)
    if "slot" in step.roles:
        return [(float(sum(drawn.role == "slot" for drawn in lit)), rates.slot, "slots")]
    if "fold" in step.roles:
        return [(float(sum(drawn.role == "fold" for drawn in lit)), rates.fold, "folds")]
    if "stitch" in step.roles:
        return [(_metres(lit, "stitch"), rates.scribing, "m scribed")]
    if "cut" in step.roles:
        often = times_cut(pattern.piece(step.piece)) if step.plies_under == 1 else 1
        return [(often * _metres(lit, "cut"), rates.cutting, "m cut")]
    return [(_metres(lit, "mark"), rates.gluing, "m")]


def _sewing(pattern: Pattern, step: Step, rates: Rates) -> list[Doing]:
    """Blows and stitches: a pricking step strikes its seams; a sewing step sews them, and strikes what none before has."""
    blows = float(sum(seam.strikes for seam in pricked(pattern, step)))
    stitches = float(sum(seam.stitches for seam in sewn(pattern, step)))
    return [(blows, rates.blow, "blows"), (stitches, rates.stitch, "stitches")]


def _metres(lit: Sequence[Drawn], role: str) -> float:
    return sum(drawn.path.length for drawn in lit if drawn.role == role) / 1000.0
