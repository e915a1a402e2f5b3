"""Keeping things: a study is a folder with originals, a catalogue, and what was worked out.

Originals are kept under the hash of their content and never changed; what people say about them and
what was measured is in a catalogue; a check says whether all is as it was; an export hands everything
on. Time is always given, never read here.
"""

from tameshi.study.add import Added, Outcome, add_original
from tameshi.study.breaking import OnTarget, ToBreak, break_targets
from tameshi.study.canonical import canonical_json
from tameshi.study.check import CheckReport, Finding, Progress, check
from tameshi.study.chosen import chosen_area
from tameshi.study.comparing import BY, COMPARED, Trials, trials_of
from tameshi.study.contact import Contact, contacts_of, counted_prints
from tameshi.study.describe import FilmKept, Print, Recording, describe, films, prints, recordings
from tameshi.study.description import (
    ALL_PRINTS,
    Description,
    FilmDescription,
    PrintDescription,
    RecordingDescription,
    Side,
    refuse_no_print,
)
from tameshi.study.details import details_of
from tameshi.study.export import Exported, export
from tameshi.study.film import Filmed, measure_films
from tameshi.study.folder import Study, Units, new_study, open_study
from tameshi.study.join import Joined, join_study
from tameshi.study.laws import AgainstForce, Pair
from tameshi.study.measure import (
    CURVES,
    OVERLAY,
    Measurement,
    measure_all,
    measure_print,
    measure_recording,
    unpacked,
)
from tameshi.study.originals import (
    Kind,
    Original,
    find_original,
    lenses,
    originals,
    read_original,
    rigs,
    targets,
)
from tameshi.study.results import Recipe, Result, find_result, read_result_file, results, store_result
from tameshi.study.table import Cell, DataColumn, DataTable, as_csv
from tameshi.study.vault import LARGEST

__all__ = [
    "ALL_PRINTS",
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
    "FilmDescription",
    "FilmKept",
    "Filmed",
    "Finding",
    "Joined",
    "Kind",
    "Measurement",
    "OnTarget",
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
    "ToBreak",
    "Trials",
    "Units",
    "add_original",
    "as_csv",
    "break_targets",
    "canonical_json",
    "check",
    "chosen_area",
    "contacts_of",
    "counted_prints",
    "describe",
    "details_of",
    "export",
    "films",
    "find_original",
    "find_result",
    "join_study",
    "lenses",
    "measure_all",
    "measure_films",
    "measure_print",
    "measure_recording",
    "new_study",
    "open_study",
    "originals",
    "prints",
    "read_original",
    "read_result_file",
    "recordings",
    "refuse_no_print",
    "results",
    "rigs",
    "store_result",
    "targets",
    "trials_of",
    "unpacked",
]
