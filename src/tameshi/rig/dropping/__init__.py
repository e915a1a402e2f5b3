"""A drop test: the whole chain against the momentum of a mass that bounces on the plate."""

from tameshi.rig.dropping.drop import BounceCheck, DropCheck, agreement, check_drop
from tameshi.rig.dropping.flight import Bounce, Fall, Flight, air_share, follow

__all__ = [
    "Bounce",
    "BounceCheck",
    "DropCheck",
    "Fall",
    "Flight",
    "agreement",
    "air_share",
    "check_drop",
    "follow",
]
