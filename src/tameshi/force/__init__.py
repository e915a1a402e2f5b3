"""Force: from a recording of one channel to strikes with honest figures."""

from tameshi.force.finding.locate import Located, Place, locate_events
from tameshi.force.finding.scan import Scan, Stretch, scan
from tameshi.force.record import strikes_as_dict, strikes_to_record
from tameshi.force.reduce import reduce_trace
from tameshi.force.rehearse import rehearse
from tameshi.force.settings import Settings
from tameshi.force.signal.channel_class import Coefficients, class_coefficients, filter_class
from tameshi.force.strike import FIGURES, Curve, Reduction, Rehearsed, Strike
from tameshi.force.trace import Origin, Trace

__all__ = [
    "FIGURES",
    "Coefficients",
    "Curve",
    "Located",
    "Origin",
    "Place",
    "Reduction",
    "Rehearsed",
    "Scan",
    "Settings",
    "Stretch",
    "Strike",
    "Trace",
    "class_coefficients",
    "filter_class",
    "locate_events",
    "reduce_trace",
    "rehearse",
    "scan",
    "strikes_as_dict",
    "strikes_to_record",
]
