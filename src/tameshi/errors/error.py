"""Exceptions of ours: a code for programs, a sentence and a remedy for people.

Every error says what is wrong and where (``message``) and what to do (``hint``). A command turns
it into one message and an exit status: 2 when it was called wrongly, 3 when the input itself
cannot be measured.
"""

WRONG_USE = 2
CANNOT_BE_MEASURED = 3


class TameshiError(Exception):
    """Anything tameshi refuses to do.

    Parameters
    ----------
    code : str
        Lower-case words with hyphens, stable across versions.
    message : str
        What is wrong and where: file, line, column, pixel.
    hint : str
        What to do about it.
    """

    exit_status = CANNOT_BE_MEASURED

    def __init__(self, code: str, message: str, *, hint: str = "") -> None:
        super().__init__(f"{message} {hint}".strip())
        self.code = code
        self.message = message
        self.hint = hint


class WrongUseError(TameshiError):
    """The call itself is wrong: an option, a name, a combination."""

    exit_status = WRONG_USE


class UnitError(WrongUseError):
    """A quantity without a unit, with an unknown one, or with one of another kind."""


class RigError(WrongUseError):
    """A rig file that does not describe a rig."""


class UnreadableError(TameshiError):
    """A file that is missing, damaged or not what it was taken for."""


class UnmeasurableError(TameshiError):
    """An input that was read but cannot support the result that was asked for."""


class StudyError(TameshiError):
    """A study folder that is missing, damaged or cannot be written."""
