"""How far the lines of a piece longer than the light go astray, span by span, before anything is drawn.

In the leather's own axes, let E_k(s) be how far the light of span k lands from the place s it is meant for; in span 0 that
is the bench's own error. A mark at m is put where the light of span k shows it, so it lies E_k(m) + a off, a the marking
hand. After the shift the light is brought onto the marks with an aiming error h, by a rigid fit F of what is seen there:

    E_k+1(s) = F_s [ E_k(m) + a - e_k+1(m) - h ] + e_k+1(s)      e_k the bench's own error where span k lies

F is linear (first order in small turns), F_s = B(s) G with B(s) = [1 0 -y; 0 1 x] and G = (B(m)'B(m))^-1 B(m)'. So the error
of span k is B(s) (D_k q + n_k) + e_k(s), q the bench's doubts, which are the same in every span, and n_k the hands:

    D_k+1 = D_k + G [ e_k(m) - e_k+1(m) ] / q        N_k+1 = N_k + G G' (var a + var h)

The turn is in B: a small turn at a joint goes on as the turn times the lever arm. Source: propagation of covariance through
a chain of rigid fits (Mikhail & Ackermann, Observations and Least Squares, 1976, ch. 4, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calibration.arrays import Array
from calibration.bench import Bench
from calibration.precision import radius95
from server.geometry.placement import Placement
from server.geometry.rigid import fields


@dataclass(frozen=True)
class Hands:
    """Standard errors of the hands, mm in x and in y: marking a cross of light, and bringing the light onto a mark."""

    mark: float
    aim: float

    @property
    def variance(self) -> float:
        """Return both together, mm^2."""
        return self.mark**2 + self.aim**2


@dataclass(frozen=True)
class Carried:
    """What the joints so far have carried into a span.

    Args:
        bench: the bench.
        height: of the lit surface, mm.
        lies: where the piece lies in this span.
        doubts: (3, 20) shift (mm) and turn (rad), in the piece's axes about its origin, by the bench's doubts.
        hands: (3, 3) covariance of the same from marking and aiming.

    """

    bench: Bench
    height: float
    lies: Placement
    doubts: Array
    hands: Array

    def own(self, places: Array) -> Array:
        """Return the bench's own error in the piece's axes at places (n, 2) mm of it, by the bench's doubts: (n, 2, 20)."""
        slopes = self.bench.landing_partials(self.lies.apply(places), self.height)
        return np.asarray(axes(self.lies).T @ slopes)

    def covariance(self, places: Array) -> Array:
        """Return the covariance (n, 2, 2) mm^2 of where the light of this span lands on the leather, at places of the piece."""
        moves = fields(places, np.zeros(2))
        slopes = moves @ self.doubts + self.own(places)
        spread = slopes @ self.bench.covariance @ slopes.transpose(0, 2, 1)
        return np.asarray(spread + moves @ self.hands @ moves.transpose(0, 2, 1))

    def error95(self, places: Array) -> Array:
        """Return the radius (n,) mm within which the light lands, in 95 % of cases, at places (n, 2) mm of the piece."""
        return radius95(self.covariance(places))

    def shifted(self, lies: Placement, marks: Array, hands: Hands) -> Carried:
        """Return what is carried into the next span, which meets the marks (m, 2) mm of this one."""
        gather = np.linalg.pinv(fields(marks, np.zeros(2)).reshape(-1, 3))
        after = Carried(self.bench, self.height, lies, self.doubts, self.hands)
        change = (self.own(marks) - after.own(marks)).reshape(2 * len(marks), -1)
        doubts, own_hands = self.doubts + gather @ change, self.hands + hands.variance * gather @ gather.T
        return Carried(self.bench, self.height, lies, doubts, own_hands)


def axes(lies: Placement) -> Array:
    """Return the (2, 2) that turns (and mirrors) directions of the piece onto the table."""
    return (lies.apply(np.eye(2)) - [lies.x, lies.y]).T


def chain(
    bench: Bench, height: float, lies: Sequence[Placement], joints: Sequence[Array], hands: Hands
) -> list[Carried]:
    """Return what each span carries, the first nothing; ``joints`` are the marks (m, 2) mm between one span and the next."""
    first = Carried(bench, height, lies[0], np.zeros((3, len(bench.covariance))), np.zeros((3, 3)))
    found = [first]
    for place, marks in zip(lies[1:], joints, strict=True):
        found.append(found[-1].shifted(place, marks, hands))
    return found
