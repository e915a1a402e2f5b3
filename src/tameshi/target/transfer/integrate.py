"""A contact that loses energy followed in time, until the bodies part.

This is the slow and plain way; bands are drawn with :mod:`tameshi.target.transfer.by_energy`, and each is a
check on the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.target.contact import DissipativeContact
from tameshi.target.transfer.two_body import reduced_mass

FloatArray = NDArray[np.float64]
_ACCURACY = 1e-10
_LONGEST = 200.0  # in units of the time in which the spring alone would turn the bodies round
_SAMPLES = 2001


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class History:
    """A contact in time, at even steps from touch to separation.

    Parameters
    ----------
    time : (n,) array [s]
    force : (n,) array [N]
    depth : (n,) array [m]
    striker_speed, struck_speed : (n,) array [m/s]
    """

    time: FloatArray
    force: FloatArray
    depth: FloatArray
    striker_speed: FloatArray
    struck_speed: FloatArray

    @property
    def duration(self) -> float:
        """From touch to separation. [s]"""
        return float(self.time[-1])

    @property
    def impulse(self) -> float:
        """Integral of the force. [N s]"""
        return float(np.trapezoid(self.force, self.time))


def follow_contact(striker: float, struck: float, speed: float, contact: DissipativeContact) -> History:
    """Return how two free masses meet and part.

    Parameters
    ----------
    striker, struck : float
        Masses; infinite for a wall. [kg]
    speed : float
        With which they meet, the struck one at rest. [m/s]
    contact : DissipativeContact

    Raises
    ------
    WrongUseError
        ``wrong-collision``.
    UnmeasurableError
        ``no-separation`` where they do not part.
    """
    if not (striker > 0.0 and struck > 0.0 and speed > 0.0):
        raise WrongUseError(
            "wrong-collision", f"{striker!r} kg on {struck!r} kg at {speed!r} m/s: no such collision."
        )
    mass = reduced_mass(striker, struck)
    n = contact.exponent
    length = (mass * speed**2 / contact.stiffness) ** (1.0 / (n + 1.0))
    loss = 1.5 * contact.dissipation * speed

    def moved(_time: float, state: FloatArray) -> list[float]:
        depth, closing = state
        return [closing, -(max(depth, 0.0) ** n) * (1.0 + loss * closing)]

    def parted(_time: float, state: FloatArray) -> float:
        return float(state[0])

    parted.terminal = True  # type: ignore[attr-defined]
    parted.direction = -1.0  # type: ignore[attr-defined]
    found = solve_ivp(
        moved,
        (0.0, _LONGEST * (1.0 + loss)),
        [0.0, 1.0],
        method="DOP853",
        events=parted,
        dense_output=True,
        rtol=_ACCURACY,
        atol=_ACCURACY,
    )
    if not len(found.t_events[0]):
        raise UnmeasurableError("no-separation", "The bodies do not part: the contact loses all energy.")
    time = np.linspace(0.0, float(found.t_events[0][0]), _SAMPLES)
    depth, closing = found.sol(time)
    depth, closing = length * depth, speed * closing
    # the two speeds follow from the closing speed and from momentum, which is kept
    share = mass / struck
    struck_speed = share * (speed - closing)
    return History(
        time=time * length / speed,
        force=contact.force(depth, closing),
        depth=depth,
        striker_speed=struck_speed + closing,
        struck_speed=struck_speed,
    )
