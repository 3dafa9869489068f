"""An independent Monte Carlo of a household's total, written in Python with numpy from the printed formulas alone.

Reads JSON from standard input: formulas as `explain` prints them, figures with low, likely and high, and what is
drawn how. Knows nothing of the package's own numbers, generator or compiled columns; numpy draws, Python evaluates.

    {"draws": 20000, "seed": 1, "order": ["cell", ...], "formulas": {"cell": "text"}, "values": {"input": 1.5},
     "drawn": {"input": {"kind": "pert", "low": 1, "likely": 2, "high": 4}}, "groups": [{"ids": [...], "rho": 0.6}],
     "wanted": ["cost.total"]}

Prints {"cost.total": {"mean": ..., "sd": ..., "p10": ..., "p50": ..., "p90": ..., "n": ...}}.
"""

import json
import re
import sys

import numpy as np


def phi(z):
    """Standard normal distribution function by the error function's series in Abramowitz and Stegun 7.1.26."""
    x = np.abs(z) / np.sqrt(2)
    t = 1 / (1 + 0.3275911 * x)
    poly = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
    erf = 1 - poly * np.exp(-x * x)
    return np.where(z >= 0, (1 + erf) / 2, (1 - erf) / 2)


def spread(u, how, rng):
    kind = how["kind"]
    if kind == "fixed":
        return np.full(u.shape, how["value"])
    if kind == "chance":
        return np.where(u < how["probability"], how["value"], 0.0)
    if kind == "uniform":
        return how["low"] + (how["high"] - how["low"]) * u
    if kind == "lognormal":
        spread_ = np.log(how["p90"] / how["median"]) / 1.2815515655446004
        z = np.sqrt(2) * inverse_erf(2 * u - 1)
        return np.minimum(how.get("most", np.inf), how["median"] * np.exp(spread_ * z))
    if kind == "pert":
        low, likely, high = how["low"], how["likely"], how["high"]
        mode = (likely - low) / (high - low)
        # The quantiles of a large sample: no library function of the inverse beta distribution is needed.
        sample = np.sort(rng.beta(1 + 4 * mode, 5 - 4 * mode, 400_000))
        return low + (high - low) * np.interp(u, (np.arange(sample.size) + 0.5) / sample.size, sample)
    raise ValueError(f"unknown kind {kind}")


def inverse_erf(y):
    """By bisection: slow, plain and right."""
    low, high = np.full(y.shape, -6.0), np.full(y.shape, 6.0)
    for _ in range(60):
        middle = (low + high) / 2
        below = 2 * phi(middle * np.sqrt(2)) - 1 < y
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return (low + high) / 2


TOKEN = re.compile(r"\s*(?:(-?\d+(?:\.\d+)?(?:e[+-]?\d+)?(?![\w.-]))|(sum|min|max|ceil|round|if)\(|([(),≥+−×÷])|([^\s(),]+))")


class Reader:
    """Evaluates a printed formula over arrays: × and ÷ before + and −, from left to right, brackets first."""

    def __init__(self, text, known):
        self.tokens = [m for m in TOKEN.finditer(text)]
        self.at = 0
        self.known = known

    def peek(self):
        return self.tokens[self.at].group(0).strip() if self.at < len(self.tokens) else None

    def take(self, word):
        if self.peek() != word:
            raise ValueError(f"expected {word}, found {self.peek()}")
        self.at += 1

    def sum(self):
        left = self.product()
        while self.peek() in ("+", "−"):
            sign = self.peek()
            self.at += 1
            right = self.product()
            left = left + right if sign == "+" else left - right
        return left

    def product(self):
        left = self.atom()
        while self.peek() in ("×", "÷"):
            sign = self.peek()
            self.at += 1
            right = self.atom()
            left = left * right if sign == "×" else left / right
        return left

    def arguments(self):
        values = []
        while self.peek() != ")":
            values.append(self.sum())
            if self.peek() == ",":
                self.at += 1
        self.at += 1
        return values

    def atom(self):
        number, call, sign, name = self.tokens[self.at].groups()
        self.at += 1
        if number is not None:
            return float(number)
        if sign == "(":
            value = self.sum()
            self.take(")")
            return value
        if call is None:
            return self.known[name]
        if call == "if":
            a = self.sum()
            self.take("≥")
            b = self.sum()
            self.take(",")
            then, otherwise = self.arguments()
            return np.where(a >= b - 1e-9, then, otherwise)
        if call == "round":
            value = self.sum()
            self.take(",")
            decimals = int(self.tokens[self.at].group(0))
            self.at += 1
            self.take(",")
            rule = self.peek()
            self.at += 1
            self.take(")")
            scaled = value * 10**decimals
            if rule == "down":
                return np.trunc(scaled + np.sign(scaled) * 1e-6) / 10**decimals
            return np.round(scaled) / 10**decimals
        values = self.arguments()
        if call == "sum":
            return sum(values) if values else 0.0
        if call == "ceil":
            return np.ceil(values[0] - 1e-9)
        fold = np.minimum if call == "min" else np.maximum
        result = values[0]
        for value in values[1:]:
            result = fold(result, value)
        return result


def main():
    task = json.load(sys.stdin)
    n = task["draws"]
    rng = np.random.default_rng(task["seed"])
    uniforms = {name: rng.random(n) for name in task["drawn"]}
    for group in task["groups"]:
        ids = [name for name in group["ids"] if name in uniforms]
        if len(ids) < 2:
            continue
        # One common normal value and one of its own for each: the same correlation between every two.
        rho = group["rho"]
        common = rng.standard_normal(n)
        for name in ids:
            z = np.sqrt(rho) * common + np.sqrt(1 - rho) * rng.standard_normal(n)
            uniforms[name] = phi(z)
    known = dict(task["values"])
    for name, how in task["drawn"].items():
        known[name] = spread(uniforms[name], how, rng)
    for name in task["order"]:
        reader = Reader(task["formulas"][name], known)
        known[name] = reader.sum()
    answer = {}
    for name in task["wanted"]:
        column = np.broadcast_to(known[name], (n,))
        p10, p50, p90 = np.quantile(column, [0.1, 0.5, 0.9])
        answer[name] = {
            "mean": float(column.mean()),
            "sd": float(column.std(ddof=1)),
            "p10": float(p10),
            "p50": float(p50),
            "p90": float(p90),
            "n": n,
        }
    print(json.dumps(answer))


main()
