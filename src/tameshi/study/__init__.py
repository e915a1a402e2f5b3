"""Keeping things: a study is a folder with originals, a catalogue, and what was worked out.

Originals are kept under the hash of their content and never changed; what people say about them and
what was measured is in a catalogue; a check says whether all is as it was; an export hands everything
on. Time is always given, never read here.
"""

from tameshi.study.add import Added, Outcome, add_original
from tameshi.study.canonical import canonical_json
from tameshi.study.check import CheckReport, Finding, Progress, check
from tameshi.study.comparing import BY, COMPARED, Trials, trials_of
from tameshi.study.contact import AgainstForce, Contact, Pair, contacts_of
from tameshi.study.describe import Print, Recording, describe, prints, recordings
from tameshi.study.description import Description, PrintDescription, RecordingDescription, Side
from tameshi.study.export import Exported, export
from tameshi.study.folder import Study, Units, new_study, open_study
from tameshi.study.join import Joined, join_study
from tameshi.study.measure import (
    CURVES,
    OVERLAY,
    Measurement,
    measure_all,
    measure_print,
    measure_recording,
    unpacked,
)
from tameshi.study.originals import Kind, Original, find_original, originals, read_original, rigs
from tameshi.study.results import Recipe, Result, find_result, read_result_file, results, store_result
from tameshi.study.table import Cell, DataColumn, DataTable, as_csv
from tameshi.study.vault import LARGEST

__all__ = [
    "BY",
    "COMPARED",
    "CURVES",
    "LARGEST",
    "OVERLAY",
    "Added",
    "AgainstForce",
    "Cell",
    "CheckReport",
    "Contact",
    "DataColumn",
    "DataTable",
    "Description",
    "Exported",
    "Finding",
    "Joined",
    "Kind",
    "Measurement",
    "Original",
    "Outcome",
    "Pair",
    "Print",
    "PrintDescription",
    "Progress",
    "Recipe",
    "Recording",
    "RecordingDescription",
    "Result",
    "Side",
    "Study",
    "Trials",
    "Units",
    "add_original",
    "as_csv",
    "canonical_json",
    "check",
    "contacts_of",
    "describe",
    "export",
    "find_original",
    "find_result",
    "join_study",
    "measure_all",
    "measure_print",
    "measure_recording",
    "new_study",
    "open_study",
    "originals",
    "prints",
    "read_original",
    "read_result_file",
    "recordings",
    "results",
    "rigs",
    "store_result",
    "trials_of",
    "unpacked",
]
