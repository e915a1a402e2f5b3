"""Readers of other packages: really installed ones, whole and broken."""

import sys

import pytest

from tameshi.errors import UnreadableError
from tameshi.readers import read_recording
from tests.readers.files import CSV

WHOLE = """
import numpy as np
from tameshi.readers import Channel, Recording

NAME = "Invented"

def sniff(head, filename):
    return head.startswith(b"INVENTED")

def decode(data, filename, options):
    return Recording(NAME, (Channel("force", "N", np.frombuffer(data[8:], np.float64)),), 1000.0)
"""


@pytest.fixture
def install(tmp_path, monkeypatch):
    """Install a package of one module that brings a reader, as an installer leaves it on the disk."""

    def installed(source, module="invented_reader", attribute=""):
        (tmp_path / f"{module}.py").write_text(source)
        folder = tmp_path / f"{module}-1.0.dist-info"
        folder.mkdir()
        (folder / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {module}\nVersion: 1.0\n")
        (folder / "entry_points.txt").write_text(f"[tameshi.readers]\n{module} = {module}{attribute}\n")
        monkeypatch.delitem(sys.modules, module, raising=False)

    monkeypatch.syspath_prepend(str(tmp_path))
    return installed


INVENTED = b"INVENTED" + bytes(8 * 100)


def test_an_installed_reader_reads_its_form(install):
    install(WHOLE)
    recording = read_recording(INVENTED, "a.inv")
    assert (recording.form, recording.rate, len(recording.channels[0].samples)) == ("Invented", 1000.0, 100)
    assert recording.flags == ()


def test_a_reader_is_loaded_when_something_is_read_and_not_before(install):
    install(WHOLE, "late_reader")
    assert "late_reader" not in sys.modules
    read_recording(INVENTED, "a.inv")
    assert "late_reader" in sys.modules


def test_its_form_is_listed_among_those_that_are_read(install):
    install(WHOLE)
    with pytest.raises(UnreadableError) as caught:
        read_recording(bytes(range(256)), "a.bin")
    assert caught.value.hint.endswith("Invented.")


@pytest.mark.parametrize(
    ("source", "attribute", "reason"),
    [
        ("import no_such_package", "", "it does not load: ModuleNotFoundError: No module named"),
        ("def broken(:", "", "it does not load: SyntaxError"),
        (WHOLE, ":nothing", "it does not load: AttributeError"),
        ("NAME = 'x'\ndef decode(): ...", "", "it has no sniff"),
        (
            WHOLE.replace("return head", "return 1 / 0  #"),
            "",
            "it broke when it was asked: ZeroDivisionError",
        ),
    ],
)
def test_a_broken_reader_is_passed_over_with_a_flag(install, source, attribute, reason):
    install(source, attribute=attribute)
    recording = read_recording(CSV, "a.csv")
    assert recording.form == "delimited text"
    assert [flag.code for flag in recording.flags] == ["reader-skipped"]
    assert "'invented_reader'" in recording.flags[0].message
    assert reason in recording.flags[0].message


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ("raise KeyError('stamp')", "KeyError: 'stamp'"),
        ("return None", "it returned no recording"),
        ("return Recording(NAME, (), 1.0)", "it returned no recording"),
    ],
)
def test_a_reader_that_takes_a_file_and_breaks_is_named(install, changed, reason):
    install(WHOLE.replace("return Recording", f"{changed}\n    return Recording"))
    with pytest.raises(UnreadableError) as caught:
        read_recording(INVENTED, "a.inv")
    assert caught.value.code == "reader-failed"
    assert caught.value.message == f"a.inv: the installed reader 'invented_reader' failed: {reason}."


def test_an_error_in_our_words_is_handed_on(install):
    refusal = "from tameshi.errors import UnreadableError; raise UnreadableError('odd', 'Odd.', hint='Try.')"
    install(WHOLE.replace("return Recording", f"{refusal}\n    return Recording"))
    with pytest.raises(UnreadableError, match="Odd"):
        read_recording(INVENTED, "a.inv")


def test_a_file_nothing_reads_says_which_reader_was_passed_over(install):
    install("import no_such_package")
    with pytest.raises(UnreadableError, match=r"no form that is known here\. The installed reader"):
        read_recording(bytes(range(256)), "a.bin")
