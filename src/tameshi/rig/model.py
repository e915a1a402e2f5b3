"""What a rig is: cell, amplifier, converter, plate and, once it has been loaded, its calibration.

All values in coherent SI units. A field that the rig file leaves out and that has no default is
None: it is not known, and whoever needs it says so.
"""

from dataclasses import dataclass, field

from tameshi.rig.calibrating import Calibration

BARE = "none"
"""What a rig file says of a plate without a pad; a file that says nothing leaves that open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """A load cell as mounted.

    Parameters
    ----------
    capacity : float
        Rated capacity. [N]
    rated_output : float
        Output at capacity per volt of excitation. [V/V]
    natural_frequency : float or None
        Of the cell with the striking plate on. [Hz]
    natural_frequency_u, damping_ratio_u : float or None
        Standard uncertainties, from a tap test.
    damping_ratio : float or None
    linearity, hysteresis, repeatability : float or None
        Bounds as a share of capacity.
    rated_output_tolerance : float or None
        Bound on the rated output, relative.
    """

    capacity: float
    rated_output: float
    natural_frequency: float | None = None
    natural_frequency_u: float | None = None
    damping_ratio: float | None = None
    damping_ratio_u: float | None = None
    linearity: float | None = None
    hysteresis: float | None = None
    repeatability: float | None = None
    rated_output_tolerance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Amplifier:
    """The bridge amplifier.

    Parameters
    ----------
    excitation : float
        Bridge supply. [V]
    gain : float
    low_pass : float or None
        Corner of its low-pass filter. [Hz]
    excitation_tolerance, gain_tolerance : float or None
        Bounds, relative.
    """

    excitation: float
    gain: float
    low_pass: float | None = None
    excitation_tolerance: float | None = None
    gain_tolerance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Converter:
    """The analogue-to-digital converter.

    Parameters
    ----------
    rate : float
        Samples a second. [Hz]
    bits : int
    span : (float, float)
        Input voltage of its lowest and highest code. [V]
    noise : float or None
        Standard deviation of a sample while nothing touches the plate. [V]
    """

    rate: float
    bits: int
    span: tuple[float, float]
    noise: float | None = None

    @property
    def step(self) -> float:
        """Voltage of one code. [V]"""
        return (self.span[1] - self.span[0]) / 2.0**self.bits


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """What the strike meets: results through different pads are not compared.

    Parameters
    ----------
    pad : str or None
        Material and thickness, or :data:`BARE`; None where nobody said.
    mounting_tolerance : float or None
        Bound on what the load path does to a force: off-axis hits, bolts, cables; relative.
    """

    pad: str | None = None
    mounting_tolerance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """A whole measuring chain.

    Parameters
    ----------
    name : str
    identity : str
        Tells this rig from others, so that errors of one rig are known to be shared; the digest
        of its file, or its name.
    calibration : Calibration or None
        Takes the place of the ratings where there is one.
    """

    name: str
    identity: str
    cell: Cell
    amplifier: Amplifier
    converter: Converter
    plate: Plate = field(default_factory=Plate)
    calibration: Calibration | None = None

    @property
    def rated_sensitivity(self) -> float:
        """Volts at the converter for one newton, from the ratings. [V/N]"""
        return self.cell.rated_output * self.amplifier.excitation * self.amplifier.gain / self.cell.capacity
