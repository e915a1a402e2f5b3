"""How it was measured, step by step, for a reader who wants to check or repeat it.

The sentences stand in the reference table ``methods``; every number in them comes from the settings
stored with the results or from another table. Where results were made with different settings, all
of them are named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from tameshi.pressure import AreaFrom, contact_models, tissue_ratios
from tameshi.quantity import LEVEL
from tameshi.reference import row, table
from tameshi.report.content import Method
from tameshi.report.parts import TargetPart
from tameshi.report.parts_modelled import TransferPart
from tameshi.report.summary import counted
from tameshi.study import Contact, Joined
from tameshi.target.transfer import DRAWS

Body = Mapping[str, Any]

_MS, _MM, _MM2, _PERCENT = 1e3, 1e3, 1e6, 100.0
_WAYS = {
    "calibration": "from a calibration with known loads",
    "ratings": "from the ratings of cell, amplifier and converter, with the tolerances of their data sheets",
    "stated scale": "from a scale that was typed in",
    "newtons in the file": "with the file, from a chain that is not documented here",
}
_REFERENCES = {
    "target": "photos of the printed target sheet, squared up by its four corner markers",
    "scan": "flatbed scans, by the scanner's resolution",
}


def methods_of(
    recordings: Sequence[Body],
    prints: Sequence[Body],
    joined: Sequence[Joined],
    contacts: Sequence[Contact] = (),
    broken: Sequence[TargetPart] = (),
    transfers: Sequence[TransferPart] = (),
) -> tuple[Method, ...]:
    """Return the methods that the results of a report rest on.

    Parameters
    ----------
    recordings, prints : sequence of mapping
        Results as stored.
    joined : sequence of Joined
    contacts : sequence of Contact
    broken : sequence of TargetPart
    transfers : sequence of TransferPart
    """
    methods = [*_of_force(recordings), *_of_prints(prints), *_of_pressure(joined), *_of_contacts(contacts)]
    methods += _of_tolerance(joined)
    if transfers:
        used = dict.fromkeys(key for one in transfers for key in one.sources)
        methods.append(_method("transfer", draws=f"{DRAWS}", level=f"{_PERCENT * LEVEL:g}", more=tuple(used)))
    if any(one.refused is None for one in broken):
        methods.append(
            _method("breaking", more=tuple(dict.fromkeys(key for one in broken for key in one.sources)))
        )
    if methods:
        methods += [
            _method("uncertainty", level=f"{_PERCENT * LEVEL:g}"),
            _method("typical"),
            _method("digits"),
        ]
    return tuple(methods)


def _method(key: str, *, more: Sequence[str] = (), **numbers: str) -> Method:
    words = row("methods", key)
    return Method(words["title"], words["text"].format(**numbers).strip(), (*words["sources"], *more))


def _of_force(bodies: Sequence[Body]) -> Iterator[Method]:
    if not bodies:
        return
    said = _Said([body["settings"] for body in bodies])
    filtered = any(said.values("channel_class"))
    yield _method(
        "finding",
        block=said("block", _MS),
        detection=said("detection"),
        gap=said("joined_gap", _MS),
        filter=_filter(said.values("channel_class")),
        more=("sae-j211",) if filtered else (),
    )
    yield _method("zero", quiet=said("quiet", _MS))
    ways = (str(body["recording"]["conversion"]) for body in bodies)
    yield _method("newtons", ways=_tallied(ways, _WAYS, "recording"))
    strikes = [strike for body in bodies for strike in body["strikes"]]
    undone = sum(any(flag["code"] == "dynamics-corrected" for flag in one["flags"]) for one in strikes)
    if undone:
        yield _method("dynamics", undone=f"{undone} of {counted(len(strikes), 'strike')}")
    yield _method("figures", level=said("onset_share", _PERCENT))


def _filter(classes: Sequence[int | None]) -> str:
    if not any(classes):
        return "Recordings were not filtered."
    named = _listed(f"channel class {one}" if one else "no filter" for one in classes)
    return f"Recordings were filtered forwards and backwards: {named}."


def _of_prints(bodies: Sequence[Body]) -> Iterator[Method]:
    if not bodies:
        return
    said = _Said([body["settings"] for body in bodies])
    kinds = (str(body["reference"]["kind"]) for body in bodies)
    yield _method("scale", references=_tallied(kinds, _REFERENCES, "print"))
    yield _method("area", gap=said("gap", _MM), smallest=said("smallest_patch", _MM2))


def _of_pressure(joined: Sequence[Joined]) -> Iterator[Method]:
    pressures = [one.pressure for one in joined if one.pressure is not None]
    if not pressures:
        return
    ways = Counter(one.area_from for one in pressures)
    words: dict[AreaFrom, str] = {
        "own print": "from the print it left itself",
        "area law": "from the law of area against force of its technique",
        "typical print": "from the typical print of its technique",
    }
    told = _listed(
        (f"{counted(ways[way], 'strike')} {said}" for way, said in words.items() if ways[way]), joint=", "
    )
    yield _method("pressure", prints=told)
    if ways["typical print"]:
        usual = row("scatter", "contact area")
        yield _method("typical print", assumed=f"{_PERCENT * float(usual['share']):g}", dof=str(usual["dof"]))
    models = (f"{model.name} {model.factor:g}, {model.meaning}" for model in contact_models())
    yield _method("local pressure", models="; ".join(models))


def _of_contacts(contacts: Sequence[Contact]) -> Iterator[Method]:
    if any(len(one.prints) > 1 for one in contacts):
        yield _method("repeated prints")
    if any(found.law is not None for one in contacts for found in one.against_force):
        laws = (f"{key}: n = {one['exponent']}" for key, one in table("area_laws").rows.items())
        fewest, least = (row("area_law_limits", key)["limit"] for key in ("fewest prints", "least range"))
        yield _method("area law", laws=", ".join(laws), fewest=fewest, range=least)


def _of_tolerance(joined: Sequence[Joined]) -> Iterator[Method]:
    if joined:
        band, level = row("tolerance_relations", "peak over mean"), row("tolerance_relations", "coverage")
        low, high = (ratio.factor for ratio in tissue_ratios())
        yield _method(
            "tolerance",
            low=f"{low:g}",
            high=f"{high:g}",
            level=f"{_PERCENT * float(level['probability']):g}",
            more=(band["source"],),
        )


class _Said:
    """Settings of several results: each value as it is, all of them where they differ."""

    def __init__(self, settings: Sequence[Mapping[str, Any]]) -> None:
        self._settings = settings

    def values(self, name: str) -> list[Any]:
        """Return the different values of a setting, in order of appearance."""
        return list(dict.fromkeys(one[name] for one in self._settings))

    def __call__(self, name: str, factor: float = 1.0) -> str:
        """Return a number, or several, times a factor that suits the unit it is told in."""
        return _listed(f"{factor * float(value):g}" for value in self.values(name))


def _tallied(found: Iterable[str], words: Mapping[str, str], of: str) -> str:
    """Return what was found in words, each with how often."""
    tally = sorted(Counter(found).items())
    return _listed((f"{words.get(one, one)} ({counted(count, of)})" for one, count in tally), joint="; ")


def _listed(words: Iterable[str], joint: str = " or ") -> str:
    return joint.join(words)
