"""Figures worked out: rules that learn from a person's own parts, and parts filled in by them.

Bayesian linear regression with known variances has a closed form (Gelman et al., *Bayesian Data
Analysis*, ch. 14): with the prior N(b, S) and data y = X·β + ε, ε ~ N(0, V), the posterior is
N(m, C), C = (S⁻¹ + Xᵀ·V⁻¹·X)⁻¹, m = C·(S⁻¹·b + Xᵀ·V⁻¹·y), and of a new part with features x one
expects ln y ~ N(x·m, x·C·xᵀ + σ²).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pennyspeed.domain.estimates.rule import Product, Rule
from pennyspeed.domain.estimates.rules import rules_of
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.physics.car import FloatArray

TENTH = 1.2815515655446004
"""Standard normal quantile of 0.9."""
WIDEST = 2.0
"""Spread beyond which a figure says nothing, and is not worked out."""
_SURE = (Provenance.MEASURED, Provenance.MAKER)
_LEAST = 1e-9
"""A coefficient surer than this is exact."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure that was worked out, in its key's unit."""

    key: str
    value: float
    """The median."""
    spread: float
    """One standard deviation of its logarithm."""
    low: float
    """The true one lies below with a chance of 1 in 10."""
    high: float
    """The true one lies above with a chance of 1 in 10."""
    features: tuple[str, ...]
    """Keys of the figures that it was worked out from."""
    peers: int
    """Parts of the person's own that the rule has learned from."""
    source: str
    """Of the rule."""


@dataclass(frozen=True, slots=True)
class _Fit:
    """A rule after the parts it learned from: level first, then slopes."""

    mean: FloatArray
    covariance: FloatArray
    peers: int


class _Columns:
    """Figures of many parts as logarithms, NaN where not known, each with its variance."""

    def __init__(self, parts: Sequence[Part], anew: bool = False) -> None:
        self._parts, self._anew = parts, anew
        self._said = [row for row, part in enumerate(parts) if part.provenance]
        self._given: dict[str, FloatArray] = {}
        self._logs: dict[str, tuple[FloatArray, FloatArray]] = {}

    def given(self, key: str) -> FloatArray:
        """Return the figures that stand there, NaN where one is to be worked out."""
        found = self._given.get(key)
        if found is None:
            column = np.array([part.figures.get(key) for part in self._parts], dtype=float)
            if self._anew:
                column[self._worked_out(key)] = math.nan
            found = self._given[key] = column
        return found

    def _worked_out(self, key: str) -> list[int]:
        """Return the places of the parts whose figure was worked out."""
        return [
            row
            for row in self._said
            if self._parts[row].provenance.get(key) is Provenance.WORKED_OUT
        ]

    def log(self, key: str) -> tuple[FloatArray, FloatArray]:
        """Return the logarithms of a figure with defaults filled in, and their variances.

        What a person or a maker gives counts as it stands, as the figure's own spread is drawn
        anyhow; what was worked out carries its spread along.
        """
        found = self._logs.get(key)
        if found is None:
            values, default = self.given(key), self._parts[0].kind.field(key).default
            if isinstance(default, int | float):
                values = np.where(np.isnan(values), float(default), values)
            spreads = np.zeros(len(self._parts))
            for row in self._worked_out(key):
                spreads[row] = self._parts[row].spread_of(key)
            found = self._logs[key] = (_log(values), spreads * spreads)
        return found

    def put(self, key: str, logs: FloatArray, variances: FloatArray) -> None:
        """Let rules further down use what was worked out, where the figure is missing."""
        given = self.given(key)
        missing, (own, own_variances) = np.isnan(given), self.log(key)
        self._logs[key] = (
            np.where(missing, logs, own),
            np.where(missing, variances, own_variances),
        )

    def product(self, product: Product) -> FloatArray:
        """Return the logarithms of a product."""
        total = np.full(len(self._parts), math.log(product.factor))
        for key, power in product.powers.items():
            total = total + power * self.log(key)[0]
        return total

    def chosen(self, key: str) -> list[object]:
        return [part.figure(key) for part in self._parts]


def _log(values: FloatArray) -> FloatArray:
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(values > 0.0, np.log(values), math.nan)


class Estimator:
    """The rules of one kind, after they have learned from a person's own parts.

    Parameters
    ----------
    kind_key : str
    peers : iterable of Part
        Parts of that kind. Of each rule those count whose figure, and whatever it is worked out
        from, is measured or the maker's. Invented parts must not be among them.
    """

    def __init__(self, kind_key: str, peers: Iterable[Part] = ()) -> None:
        self.rules = rules_of(kind_key)
        self._peers = tuple(peer for peer in peers if peer.kind_key == kind_key)
        self._fits: dict[str, _Fit] = {}

    # Learning ---------------------------------------------------------------------------------

    def _fit(self, rule: Rule) -> _Fit:
        found = self._fits.get(rule.key)
        if found is None:
            found = self._fits[rule.key] = self._learned(rule)
        return found

    def _learned(self, rule: Rule) -> _Fit:
        mean = np.array([math.log(rule.level), *(slope.mean for slope in rule.slopes)])
        spreads = np.array([rule.level_spread, *(slope.spread for slope in rule.slopes)])
        prior = np.diag(spreads * spreads)
        data = [peer for peer in self._peers if rule.learns and _is_data(peer, rule)]
        if not data:
            return _Fit(mean, prior, 0)
        columns = _Columns(data)
        design = _design(columns, rule, len(data))[0]
        seen = columns.log(rule.key)[0] - columns.product(rule.scale)
        own = np.array([peer.spread_of(rule.key) for peer in data])
        weights = 1.0 / (rule.sigma**2 + own * own)
        precision = np.diag(1.0 / np.diag(prior))
        covariance = np.linalg.inv(precision + (design * weights) @ design.T)
        mean = covariance @ (precision @ mean + (design * weights) @ seen)
        return _Fit(mean, covariance, len(data))

    # Working out ------------------------------------------------------------------------------

    def estimates(self, part: Part, anew: bool = False) -> dict[str, Estimate]:
        """Return every figure that the part lacks and that can be worked out, by its key.

        With `anew` those that were worked out before count as lacking.
        """
        found = {}
        for rule, values, spreads in self._work_out((part,), anew):
            value, spread = float(values[0]), float(spreads[0])
            if math.isnan(value):
                continue
            peers = self._fit(rule).peers
            reach = math.exp(TENTH * spread)
            features = tuple(
                key for key in rule.features if key in rule.needed or part.figure(key) is not None
            )
            found[rule.key] = Estimate(
                rule.key, value, spread, value / reach, value * reach, features, peers, rule.source
            )
        return found

    def filled(
        self, parts: Sequence[Part], anew: bool = False, only: Sequence[Collection[str]] = ()
    ) -> list[Part]:
        """Return the parts with what they lack worked out, as far as that can be.

        `only` restricts it to certain keys, part by part.
        """
        if not parts:
            return []
        found: list[dict[str, float]] = [{} for _ in parts]
        sure: list[dict[str, float]] = [{} for _ in parts]
        for rule, values, spreads in self._work_out(parts, anew):
            key, rows = rule.key, np.flatnonzero(~np.isnan(values))
            for row, value, spread in zip(
                rows.tolist(), values[rows].tolist(), spreads[rows].tolist(), strict=True
            ):
                if not only or key in only[row]:
                    found[row][key], sure[row][key] = value, spread
        return [
            _with(part, new, spreads) if new else part
            for part, new, spreads in zip(parts, found, sure, strict=True)
        ]

    def _work_out(
        self, parts: Sequence[Part], anew: bool
    ) -> Iterable[tuple[Rule, FloatArray, FloatArray]]:
        """Yield each rule with the figures of those that lack it, NaN elsewhere, and spreads."""
        columns = _Columns(parts, anew)
        for rule in self.rules:
            logs, variances = self._predicted(columns, rule, len(parts))
            declared = BY_KEY[rule.kind_key].field(rule.key)
            with np.errstate(over="ignore"):
                values, spreads = np.exp(logs), np.sqrt(variances)
            fits = (spreads <= WIDEST) & (values >= declared.low) & (values <= declared.high)
            logs = np.where(fits, logs, math.nan)
            is_missing = np.isnan(columns.given(rule.key))
            columns.put(rule.key, logs, variances)
            yield rule, np.where(fits & is_missing, values, math.nan), spreads

    def _predicted(self, columns: _Columns, rule: Rule, size: int) -> tuple[FloatArray, FloatArray]:
        """Return the mean of ln figure and its variance, NaN where a feature is missing."""
        fit = self._fit(rule)
        design, variances = _design(columns, rule, size)
        logs = columns.product(rule.scale) + fit.mean @ design
        variances = variances.T @ fit.mean**2 + rule.sigma**2
        variances += np.einsum("ir,ij,jr->r", design, fit.covariance, design)
        powers = dict(rule.scale.powers)
        for coefficient, slope in zip(fit.mean[1:], rule.slopes, strict=True):
            for key, power in slope.feature.powers.items():
                powers[key] = powers.get(key, 0.0) + float(coefficient) * power
        for key, power in powers.items():
            variances = variances + power * power * columns.log(key)[1]
        if rule.choice is not None:
            levels = [rule.choice.level(chosen) for chosen in columns.chosen(rule.choice.key)]
            medians, spreads = np.array(levels).T
            logs, variances = logs + np.log(medians), variances + spreads * spreads
        return logs, variances


def _design(columns: _Columns, rule: Rule, size: int) -> tuple[FloatArray, FloatArray]:
    """Return the features of each part, 1 for the level first, and the variance of those that are
    only as usual."""
    rows: list[FloatArray] = [np.ones(size)]
    unsure: list[FloatArray] = [np.zeros(size)]
    for slope in rule.slopes:
        feature, variance = columns.product(slope.feature), np.zeros(size)
        if slope.usual is not None:
            value, spread = slope.usual
            unknown = np.isnan(feature)
            feature = np.where(unknown, math.log(value), feature)
            variance = np.where(unknown, spread * spread, 0.0)
        rows.append(feature)
        unsure.append(variance)
    return np.stack(rows), np.stack(unsure)


def _is_data(part: Part, rule: Rule) -> bool:
    """Tell whether a rule may learn from a part."""
    wanted = [rule.key, *(key for key in rule.features if part.figures.get(key) is not None)]
    known = all(part.provenance_of(key) in _SURE for key in wanted)
    used = (rule.key, *(key for slope in rule.slopes for key in slope.feature.powers), *rule.needed)
    return known and all((part.number(key) or 0.0) > 0.0 for key in used)


def _with(part: Part, new: Mapping[str, float], spreads: Mapping[str, float]) -> Part:
    return replace(
        part,
        figures={**part.figures, **new},
        provenance={**part.provenance, **dict.fromkeys(new, Provenance.WORKED_OUT)},
        spread={**part.spread, **spreads},
    )


def work_out(part: Part, peers: Iterable[Part] = (), anew: bool = False) -> dict[str, Estimate]:
    """Return every figure that a part lacks and that can be worked out, by its key.

    `peers` are the person's own parts of that kind; see :class:`Estimator`.
    """
    return Estimator(part.kind_key, peers).estimates(part, anew)


def with_worked_out(part: Part, peers: Iterable[Part] = (), anew: bool = False) -> Part:
    """Return the part with every such figure in it, as worked out, with its spread."""
    return Estimator(part.kind_key, peers).filled((part,), anew)[0]
