"""What strikes differ by: technique, athlete, session, and the strike itself, in one mixed model."""

from __future__ import annotations

import math
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tameshi.comparison.trial import Trial, by_athlete, by_session, groups_of
from tameshi.errors import UnmeasurableError

_FEWEST = 3  # athletes


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Components:
    """Standard deviations by what causes them, and technique means with them taken into account.

    Parameters
    ----------
    athlete_sd, strike_sd : float
        From athlete to athlete, and from strike to strike within a session.
    session_sd : float or None
        From session to session of one athlete; None where no athlete has two.
    means : mapping of str to float
        By technique, of an athlete in the middle of these.
    gaps : mapping of str to (float, float)
        Each technique less the first, with its standard uncertainty, which counts athletes as many.
    trials, athletes, sessions : int
    """

    athlete_sd: float
    session_sd: float | None
    strike_sd: float
    means: Mapping[str, float]
    gaps: Mapping[str, tuple[float, float]]
    trials: int
    athletes: int
    sessions: int


def components_of(techniques: Mapping[str, Sequence[Trial]]) -> Components:
    """Return what strikes differ by.

    Parameters
    ----------
    techniques : mapping of str to sequence of Trial

    Raises
    ------
    UnmeasurableError
        ``too-few-athletes``; ``no-fit`` where the model does not settle.

    Notes
    -----
    Linear mixed model, techniques fixed, athletes and their sessions random, restricted maximum likelihood,
    by statsmodels. Source: J. C. Pinheiro, D. M. Bates, Mixed-Effects Models in S and S-PLUS (2000).
    """
    from statsmodels.regression.mixed_linear_model import MixedLM  # noqa: PLC0415  seconds to load

    trials = [trial for own in techniques.values() for trial in own]
    athletes = groups_of(trials, by_athlete)
    if len(athletes) < _FEWEST:
        raise UnmeasurableError(
            "too-few-athletes",
            f"What athletes differ by takes {_FEWEST} of them, and there "
            f"{'is' if len(athletes) == 1 else 'are'} {len(athletes)}.",
            hint="Compare within this athlete.",
        )
    names = list(techniques)
    level = np.repeat(np.arange(len(names)), [len(techniques[name]) for name in names])
    values = np.array([trial.value.value for trial in trials])
    middle, spread = float(values.mean()), float(values.std()) or 1.0
    exog = np.column_stack([np.ones(len(trials)), *(level == one for one in range(1, len(names)))])
    repeated = any(len(groups_of(own, by_session)) > 1 for own in athletes.values())
    with warnings.catch_warnings():
        # a component that comes out as zero lies on the edge of what is possible, which is no fault here
        warnings.simplefilter("ignore")
        model = MixedLM(
            (values - middle) / spread,  # of order one, which the search likes
            exog.astype(np.float64),
            groups=np.array([trial.athlete for trial in trials]),
            exog_re=np.ones((len(trials), 1)),
            exog_vc=_session_blocks(trials) if repeated else None,
        )
        fit = model.fit(reml=True, method=["bfgs", "lbfgs", "powell"])
    if not fit.converged or not np.all(np.isfinite(fit.fe_params)):
        raise UnmeasurableError(
            "no-fit", "The mixed model did not settle on these strikes.", hint="Compare two by two."
        )
    effects, bse = np.asarray(fit.fe_params) * spread, np.asarray(fit.bse_fe) * spread
    first = middle + float(effects[0])
    return Components(
        athlete_sd=spread * math.sqrt(max(0.0, float(np.asarray(fit.cov_re)[0, 0]))),
        session_sd=spread * math.sqrt(max(0.0, float(fit.vcomp[0]))) if repeated else None,
        strike_sd=spread * math.sqrt(float(fit.scale)),
        means={names[0]: first}
        | {name: first + float(gap) for name, gap in zip(names[1:], effects[1:], strict=True)},
        gaps={
            name: (float(gap), float(u)) for name, gap, u in zip(names[1:], effects[1:], bse[1:], strict=True)
        },
        trials=len(trials),
        athletes=len(athletes),
        sessions=len(groups_of(trials, by_session)),
    )


def _session_blocks(trials: Sequence[Trial]) -> object:
    """Return sessions as a variance component: for each athlete which strike belongs to which session."""
    from statsmodels.regression.mixed_linear_model import VCSpec  # noqa: PLC0415

    columns, blocks = [], []
    for athlete in sorted({trial.athlete for trial in trials}):
        own = [trial for trial in trials if trial.athlete == athlete]
        sessions = list(dict.fromkeys(trial.session for trial in own))
        blocks.append(np.array([[float(trial.session == name) for name in sessions] for trial in own]))
        columns.append(sessions)
    return VCSpec(["session"], [columns], [blocks])
