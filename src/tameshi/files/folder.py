"""Make a folder that stays, and list what is in one."""

from pathlib import Path

from tameshi.errors import WrongUseError
from tameshi.files.refusal import while_reading, while_writing
from tameshi.files.write import flush_folder


def make_folder(path: Path) -> bool:
    """Make a folder in an existing one; return False where it is there already.

    Raises
    ------
    WrongUseError
        ``not-a-folder`` where a file has the name, ``no-such-folder`` where the folder it should
        be in does not exist.
    TameshiError
        ``disk-full``, ``read-only``, ``write-failed``.
    """
    with while_writing(path):
        if path.is_dir():
            return False
        try:
            path.mkdir()
        except FileExistsError as error:
            if path.is_dir():  # made by another process in between
                return False
            raise WrongUseError(
                "not-a-folder", f"{str(path)!r} is a file.", hint="Give the name of a folder."
            ) from error
        flush_folder(path.parent)
        return True


def files_under(folder: Path) -> tuple[Path, ...]:
    """Return everything under a folder that is not a folder itself, sorted; empty where there is none.

    Raises
    ------
    UnreadableError
        Where the folder, or one in it, may not be read.
    """
    with while_reading(folder):
        # os.walk and rglob pass over folders that may not be read; a check must not
        found: list[Path] = []
        waiting = [folder] if folder.is_dir() else []
        while waiting:
            for entry in waiting.pop().iterdir():
                if entry.is_dir() and not entry.is_symlink():
                    waiting.append(entry)
                else:
                    found.append(entry)
    return tuple(sorted(found))
