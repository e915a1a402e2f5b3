"""Keeping things: a study is a folder with originals, a catalogue, and what was worked out.

Originals are kept under the hash of their content and never changed; what people say about them and
what was measured is in a catalogue; a check says whether all is as it was; an export hands everything
on. Time is always given, never read here.
"""

from tameshi.study.add import Added, Outcome, add_original
from tameshi.study.breaking import OnTarget, Struck, ToBreak, break_targets, predict_of_study
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
from tameshi.study.film import Filmed, companions_of, measure_films
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
from tameshi.study.modelled import cautions_onto, modelled_of
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
from tameshi.study.pairing import Alone, Companion, PairedStrike, Pairing, pairing_of
from tameshi.study.questions import TransferQuestion, forget_question, keep_question, questions
from tameshi.study.results import Recipe, Result, find_result, read_result_file, results, store_result
from tameshi.study.striking import strike_of_technique
from tameshi.study.table import Cell, DataColumn, DataTable, as_csv
from tameshi.study.transferring import OnPlate, Taken, take_over, transfer_recording
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
    "Alone",
    "Cell",
    "CheckReport",
    "Companion",
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
    "OnPlate",
    "OnTarget",
    "Original",
    "Outcome",
    "Pair",
    "PairedStrike",
    "Pairing",
    "Print",
    "PrintDescription",
    "Progress",
    "Recipe",
    "Recording",
    "RecordingDescription",
    "Result",
    "Side",
    "Struck",
    "Study",
    "Taken",
    "ToBreak",
    "TransferQuestion",
    "Trials",
    "Units",
    "add_original",
    "as_csv",
    "break_targets",
    "canonical_json",
    "cautions_onto",
    "check",
    "chosen_area",
    "companions_of",
    "contacts_of",
    "counted_prints",
    "describe",
    "details_of",
    "export",
    "films",
    "find_original",
    "find_result",
    "forget_question",
    "join_study",
    "keep_question",
    "lenses",
    "measure_all",
    "measure_films",
    "measure_print",
    "measure_recording",
    "modelled_of",
    "new_study",
    "open_study",
    "originals",
    "pairing_of",
    "predict_of_study",
    "prints",
    "questions",
    "read_original",
    "read_result_file",
    "recordings",
    "refuse_no_print",
    "results",
    "rigs",
    "store_result",
    "strike_of_technique",
    "take_over",
    "targets",
    "transfer_recording",
    "trials_of",
    "unpacked",
]
