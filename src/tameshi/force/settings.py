"""How strikes are found and measured: every choice that could move a number, in one record.

The values are choices of this project, tuned on simulated recordings of known truth
(``benchmarks/force_truth.py``). A study stores them with the results they made.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Settings of the force reduction.

    Parameters
    ----------
    block : float
        Samples are averaged over this span to look for strikes. [s]
    chunk : float
        The quiet level is found anew for each span of this length. [s]
    detection : float
        How many standard deviations a strike must stand clear of the noise.
    joined_gap : float
        Contacts parted by less than this belong to one strike. [s]
    quiet : float
        Length of quiet recording used on either side of a strike for its baseline. [s]
    onset_share : float
        Share of the peak that marks onset and end.
    second_peak : float
        Least share of the peak that makes a further contact part of a double one.
    valley : float
        A second peak counts when the force dips below this share of it before.
    fewest_samples : float
        A contact with fewer samples is not resolved.
    coarse_samples : float
        A contact with fewer samples is flagged ``undersampled``.
    low_signal : float
        A peak below this many standard deviations of the noise is flagged ``low-signal``.
    slowest_rate : float
        A recording slower than this cannot see a strike. [Hz]
    channel_class : int or None
        Channel frequency class to filter with; None leaves the recording unfiltered.
    correct_dynamics : bool
        Undo the response of the cell where the rig file gives it.
    """

    block: float = 0.0005
    chunk: float = 0.1
    detection: float = 7.0
    joined_gap: float = 0.010
    quiet: float = 0.100
    onset_share: float = 0.05
    second_peak: float = 0.10
    valley: float = 0.60
    fewest_samples: float = 4.0
    coarse_samples: float = 20.0
    low_signal: float = 20.0
    slowest_rate: float = 200.0
    channel_class: int | None = None
    correct_dynamics: bool = True
