"""The one small place that touches paths: read whole, write whole or not at all, say what went wrong.

Everything the operating system refuses comes out as an error of ours with a sentence and a remedy.
A file is written under another name in the same folder, flushed to the disk and then renamed, so
that whoever looks finds either the old file or the new one.
"""

from tameshi.files.folder import files_under, make_folder
from tameshi.files.hashing import sha256_of, sha256_of_file
from tameshi.files.read import read_bytes
from tameshi.files.write import is_leftover, may_be_written, open_atomic, write_atomic

__all__ = [
    "files_under",
    "is_leftover",
    "make_folder",
    "may_be_written",
    "open_atomic",
    "read_bytes",
    "sha256_of",
    "sha256_of_file",
    "write_atomic",
]
