import os
import stat
from pathlib import Path

import pytest

from tameshi.errors import TameshiError, WrongUseError
from tameshi.files import is_leftover, make_folder, may_be_written, open_atomic, write_atomic
from tameshi.files.write import flush_folder
from tests.files.child import python, unprivileged
from tests.files.limits import no_file_larger_than

WRITE = "write_atomic(path / 'a.txt', b'new')"


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def refusal(path: Path, data: bytes = b"new") -> TameshiError:
    with pytest.raises(TameshiError) as caught:
        write_atomic(path, data)
    assert caught.value.hint
    return caught.value


@pytest.fixture
def old(tmp_path: Path) -> Path:
    path = tmp_path / "a.txt"
    path.write_bytes(b"old")
    return path


def test_a_new_file_is_written_with_the_usual_permissions(tmp_path):
    write_atomic(tmp_path / "a.txt", b"new")
    (tmp_path / "usual").touch()
    assert (tmp_path / "a.txt").read_bytes() == b"new"
    assert (tmp_path / "a.txt").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_an_old_file_is_replaced_and_keeps_its_permissions(old):
    old.chmod(0o640)
    write_atomic(old, b"new")
    assert old.read_bytes() == b"new"
    assert stat.S_IMODE(old.stat().st_mode) == 0o640
    assert names_in(old.parent) == ["a.txt"]


def test_a_protected_file_cannot_be_written_by_anybody(tmp_path):
    write_atomic(tmp_path / "a.txt", b"kept", protect=True)
    assert not stat.S_IMODE((tmp_path / "a.txt").stat().st_mode) & 0o222


def test_whoever_has_the_old_file_open_still_reads_the_old_content(old):
    with old.open("rb") as stream:
        write_atomic(old, b"new")
        assert stream.read() == b"old"


def test_a_link_is_followed_and_stays_a_link(old):
    link = old.with_name("link.txt")
    link.symlink_to(old)
    write_atomic(link, b"new")
    assert link.is_symlink()
    assert old.read_bytes() == b"new"


def test_a_name_as_long_as_the_disk_allows_can_be_written(tmp_path):
    write_atomic(tmp_path / ("n" * 255), b"new")
    assert (tmp_path / ("n" * 255)).read_bytes() == b"new"


def test_a_folder_in_the_way_is_refused(tmp_path):
    (tmp_path / "a.txt").mkdir()
    error = refusal(tmp_path / "a.txt")
    assert isinstance(error, WrongUseError)
    assert error.code == "is-a-folder"
    assert names_in(tmp_path) == ["a.txt"]


@pytest.mark.parametrize("parent", ["none", "file"])
def test_a_missing_parent_folder_is_refused(tmp_path, parent):
    (tmp_path / "file").touch()
    error = refusal(tmp_path / parent / "a.txt")
    assert isinstance(error, WrongUseError)
    assert error.code == "no-such-folder"


@pytest.mark.parametrize("name", ["nul\0", "half\ud800", "n" * 300])
def test_impossible_names_are_refused(tmp_path, name):
    assert refusal(tmp_path / name).code == "bad-path"


def test_a_full_device_is_a_full_disk():
    error = refusal(Path("/dev/full"))
    assert error.code == "disk-full"
    assert error.exit_status == 3


def test_a_device_is_written_into_and_not_replaced():
    write_atomic(Path("/dev/null"), b"new")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)


def test_standard_output_can_be_named_as_a_file():
    code = """
from pathlib import Path; from tameshi.files import write_atomic
write_atomic(Path("/dev/stdout"), b"new")
"""
    assert python("-c", code) == "new"


def test_a_full_disk_leaves_the_old_file_and_nothing_else(old):
    with no_file_larger_than(1000):
        error = refusal(old, bytes(5000))
    assert error.code == "disk-full"
    assert old.read_bytes() == b"old"
    assert names_in(old.parent) == ["a.txt"]


def test_a_disk_that_fills_up_on_the_last_flush_is_noticed(old):
    """So little is written that it waits in memory until the end."""
    with no_file_larger_than(1):
        assert refusal(old, b"new").code == "disk-full"
    assert old.read_bytes() == b"old"
    assert names_in(old.parent) == ["a.txt"]


def test_a_read_only_folder_leaves_the_old_file(old):
    old.parent.chmod(0o555)
    assert unprivileged(WRITE, old.parent) == "TameshiError read-only 3"
    old.parent.chmod(0o755)
    assert old.read_bytes() == b"old"
    assert names_in(old.parent) == ["a.txt"]


def test_a_write_protected_file_is_not_replaced_behind_its_owners_back(old):
    old.chmod(0o444)
    assert unprivileged(WRITE, old.parent) == "TameshiError read-only 3"
    assert old.read_bytes() == b"old"


def test_a_folder_that_may_be_written_but_not_read_can_be_written_into(tmp_path):
    (tmp_path / "box").mkdir(mode=0o300)
    body = "write_atomic(path / 'box' / 'a.txt', b'new')"
    assert unprivileged(body, tmp_path) == "done"
    (tmp_path / "box").chmod(0o700)
    assert (tmp_path / "box" / "a.txt").read_bytes() == b"new"


def test_an_interrupted_block_leaves_the_old_file_and_nothing_else(old):
    def interrupted() -> None:
        with open_atomic(old) as stream:
            stream.write(b"half")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        interrupted()
    assert old.read_bytes() == b"old"
    assert names_in(old.parent) == ["a.txt"]


def test_what_a_killed_write_leaves_behind_is_recognised(tmp_path):
    code = """
import os, sys; from pathlib import Path; from tameshi.files import open_atomic
if os.fork() == 0:
    with open_atomic(Path(sys.argv[1])) as stream:
        os.kill(os.getpid(), 9)
os.wait()
"""
    python("-c", code, str(tmp_path / "a.txt"))
    (left,) = tmp_path.iterdir()
    assert is_leftover(left)
    assert not is_leftover(tmp_path / "a.txt")


def test_a_folder_is_made_once(tmp_path):
    assert make_folder(tmp_path / "a")
    assert not make_folder(tmp_path / "a")


@pytest.mark.parametrize(("name", "code"), [("file", "not-a-folder"), ("none/a", "no-such-folder")])
def test_a_folder_that_cannot_be_made_is_explained(tmp_path, name, code):
    (tmp_path / "file").touch()
    with pytest.raises(WrongUseError) as caught:
        make_folder(tmp_path / name)
    assert caught.value.code == code


def test_a_folder_is_not_made_on_a_read_only_disk(tmp_path):
    tmp_path.chmod(0o555)
    body = "make_folder(path / 'a')"
    assert unprivileged(body, tmp_path) == "TameshiError read-only 3"
    tmp_path.chmod(0o755)


def test_what_may_be_written_is_asked_of_the_system(tmp_path):
    assert may_be_written(tmp_path)
    assert not may_be_written(tmp_path / "none")


def test_content_and_name_are_flushed_in_this_order(tmp_path):
    """Content to the disk, then the new name, then the folder: a power cut finds the old or the new."""
    code = """
import os, sys; from pathlib import Path; from tameshi.files import write_atomic
def seen(frame, event, what):
    if event == "c_call" and what in (os.fsync, os.replace):
        print(what.__name__)
sys.setprofile(seen)
write_atomic(Path(sys.argv[1]), b"new")
"""
    assert python("-c", code, str(tmp_path / "a.txt")).split() == ["fsync", "replace", "fsync"]
    assert os.listdir(tmp_path) == ["a.txt"]  # noqa: PTH208


def test_any_other_refusal_is_told_with_its_reason(tmp_path):
    """A process without a terminal has no /dev/tty to write to."""
    body = "import os\nos.setsid()\nwrite_atomic(Path('/dev/tty'), b'new')"
    assert unprivileged(body, tmp_path) == "TameshiError write-failed 3"


def test_a_folder_made_by_another_process_in_between_is_there_already(tmp_path):
    """An audit hook makes it at the last moment, after it was looked for."""
    body = """
made = path / "a"
once = iter([True])
sys.addaudithook(lambda event, what: event == "os.mkdir" and next(once, False) and made.mkdir())
assert not make_folder(made)
"""
    assert unprivileged(body, tmp_path) == "done"


def test_a_disk_that_cannot_flush_folders_is_put_up_with():
    flush_folder(Path("/proc"))
