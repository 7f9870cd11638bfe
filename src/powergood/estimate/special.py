"""Distribution functions that intervals need: the regularised incomplete beta function and its inverse."""

from __future__ import annotations

from math import exp, lgamma, log, log1p

TINY = 1e-300
"""Stands for nought where a continued fraction would divide by it (modified Lentz method)."""

STEPS = 500
"""Terms after which the continued fraction has long converged for parameters up to a million."""


def beta_cdf(x: float, a: float, b: float) -> float:
    """Return the chance that a Beta(a, b) variable is at most `x`, to about 1e-12.

    Parameters
    ----------
    x : a point in [0, 1]; points outside count as the nearer end.
    a, b : shape parameters, both positive.

    References
    ----------
    NIST Digital Library of Mathematical Functions, 8.17.22 (continued fraction) and 8.17.4 (symmetry).
    """
    assert a > 0, "a Beta distribution has positive parameters"
    assert b > 0, "a Beta distribution has positive parameters"
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(x, a, b) / a
    return 1.0 - front * _fraction(1.0 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of the incomplete beta function by the modified Lentz method."""
    c, d = 1.0, _away(1.0 - (a + b) * x / (a + 1.0))
    d = 1.0 / d
    value = d
    for m in range(1, STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1.0 / _away(1.0 + term * d)
            c = _away(1.0 + term / c)
            value *= c * d
        if abs(c * d - 1.0) < 1e-15:
            break
    return value


def _away(value: float) -> float:
    return value if abs(value) > TINY else TINY


def beta_quantile(chance: float, a: float, b: float) -> float:
    """Return the point below which a Beta(a, b) variable lies with `chance`, which is in (0, 1).

    Found by halving on a logarithmic scale, so that very small quantiles keep their digits too; a quantile
    under 1e-300 is given as 0.
    """
    assert 0 < chance < 1, "a quantile belongs to a chance between nought and one"
    if beta_cdf(0.5, a, b) < chance:
        return 1.0 - _small_quantile(chance, b, a, upper=True)
    return _small_quantile(chance, a, b, upper=False)


def _small_quantile(chance: float, a: float, b: float, *, upper: bool) -> float:
    """Return the quantile at most a half; with `upper`, that of the mirrored variable."""

    def below(x: float) -> bool:
        mass = beta_cdf(x, a, b)
        return 1.0 - mass > chance if upper else mass < chance

    low, high = log(TINY), log(0.5)
    if not below(exp(low)):
        return 0.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if below(exp(middle)) else (low, middle)
    return exp(0.5 * (low + high))
