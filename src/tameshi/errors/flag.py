"""A remark that travels with a result to the screen, the report and the export."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Flag:
    """What limits a result, short of refusing it.

    Parameters
    ----------
    code : str
        Lower-case words with hyphens, listed in the reference table ``flags``.
    message : str
        One or two sentences in plain words, with the figures that matter.
    strike : int or None
        Index of the strike it belongs to, counted from 1; None for the whole recording.
    """

    code: str
    message: str
    strike: int | None = None

    def as_dict(self) -> dict[str, str | int | None]:
        """Return the flag as it stands in machine-readable results."""
        return {"code": self.code, "message": self.message, "strike": self.strike}
