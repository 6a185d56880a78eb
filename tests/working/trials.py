"""The fit of trials by a second route: normal distributions for each set of unsound bakes."""

import re
from dataclasses import dataclass
from itertools import combinations
from math import exp, log, sqrt

import numpy

from scaldloaf.reference import COEFFICIENTS, INGREDIENTS
from working.arithmetic import Interval, redo
from working.exchange import Z90, Exchange, value

UNKNOWNS = (
    "Logarithm of specific volume without scald",
    "Volume lost per unit of share",
    "Optimum water per point of share",
    "Right water at the lowest share",
)
HELD = 0.95  # of the weight: the likeliest sets that the answer combines
NEAR = 1e-3  # of a standard deviation: allowed distance of the answer from its fixed point


@dataclass(frozen=True)
class Bakes:
    """Measured bakes as data of the model, linearised at the answer of the reply."""

    prior: numpy.ndarray
    prior_sd: numpy.ndarray
    guess: numpy.ndarray
    gradients: numpy.ndarray
    residuals: numpy.ndarray
    variances: numpy.ndarray

    def cases(self, spread: float) -> list[tuple[float, numpy.ndarray, numpy.ndarray]]:
        """Log weight, mean less the guess, and covariance of each set of unsound bakes, likeliest first."""
        chance, unsound_sd = value("unsound_bake_chance"), value("unsound_bake_relative_sd")
        ahead, doubt = self.prior - self.guess, numpy.diag(self.prior_sd**2)
        off, count, found = self.residuals - self.gradients @ ahead, len(self.residuals), []
        for wrong in range(count + 1):
            for unsound in combinations(range(count), wrong):
                noise = self.variances + spread**2
                noise[list(unsound)] += unsound_sd**2
                whole = self.gradients @ doubt @ self.gradients.T + numpy.diag(noise)
                gain = doubt @ self.gradients.T @ numpy.linalg.inv(whole)
                weight = wrong * log(chance) + (count - wrong) * log(1 - chance)
                weight -= (numpy.linalg.slogdet(whole)[1] + off @ numpy.linalg.solve(whole, off)) / 2
                found.append((weight, ahead + gain @ off, doubt - gain @ self.gradients @ doubt))
        return sorted(found, key=lambda case: -case[0])

    def posterior(self, spread: float) -> tuple[numpy.ndarray, numpy.ndarray]:
        """Mean less the guess, and covariance, over the likeliest sets that have enough of the weight."""
        cases = self.cases(spread)
        weights = numpy.exp([weight - cases[0][0] for weight, _, _ in cases])
        kept = int(numpy.searchsorted((weights / weights.sum()).cumsum(), HELD)) + 1
        weights = weights[:kept] / weights[:kept].sum()
        mean = weights @ [mean for _, mean, _ in cases[:kept]]
        covariance = sum(
            weight * (own + numpy.outer(centre - mean, centre - mean))
            for weight, (_, centre, own) in zip(weights, cases[:kept], strict=True)
        )
        return mean, covariance

    def evidence(self, spread: float) -> float:
        """Log probability of the bakes and of this scatter between bakes."""
        row = COEFFICIENTS["bake_to_bake_relative_sd"]
        away = log(spread / row.value) / (log(row.high / row.low) / 2 / Z90)
        weights = [weight for weight, _, _ in self.cases(spread)]
        return weights[0] + log(sum(exp(weight - weights[0]) for weight in weights)) - away**2 / 2


def water_slope(ratio: float, raw: float | None = None) -> float:
    """Points of water for a point of share, by the water that the scald keeps."""
    raw = value("raw_flour_water") if raw is None else raw
    held = min(ratio, value("scald_water_capacity"))
    return max(0.0, value("scald_binding_degree") * (held - raw))


def water_slope_sd(ratio: float) -> float:
    """How well that is known, from its band as a 90 % interval."""
    rows = [COEFFICIENTS[f"{kind}_water_slope"] for kind in ("scald", "thick_roux", "roux")]
    ratios = [value(f"{kind}_water_slope_ratio") for kind in ("scald", "thick_roux", "roux")]
    raw = COEFFICIENTS["raw_flour_water"]
    low = numpy.interp(ratio, [raw.high, *ratios], [0.0, *(row.low for row in rows)])
    high = min(ratio - raw.low, rows[-1].high)
    return max(float(high - min(low, water_slope(ratio))) / 2 / Z90, 0.02)


def right_water(request: dict) -> tuple[float, float, float] | None:
    """Share and hydration expected to be right, and how surely; given, it is known."""
    if "right_water" in request:
        given = request["right_water"]
        return given["scalded_share_percent"], given["hydration_percent"], 0.0
    stated = [trial["scalded_share_percent"] for trial in request["trials"] if "hydration_percent" in trial]
    if not stated:
        return None
    lowest, known = min(stated), "absorption_percent" in request
    absorption = request["absorption_percent"] if known else value("usual_absorption_percent")
    bound = lowest * water_slope(request.get("scald_liquid_ratio", 1), absorption / 100)
    return lowest, absorption + bound, value(f"{'known' if known else 'usual'}_absorption_sd_points")


def counted(exchange: Exchange) -> dict:
    """The request, without its trials' water where the reply says that it was left out."""
    if all(note["code"] != "water_left_out" for note in exchange.reply["notes"]):
        return exchange.request
    trials = exchange.request["trials"]
    dry = [{name: trial[name] for name in trial if name != "hydration_percent"} for trial in trials]
    return {**exchange.request, "trials": dry}


def water_of(trial: dict) -> float:
    """Its hydration without what its vital gluten takes, percent of flour."""
    takes = value("gluten_water_ratio") + INGREDIENTS["vital_gluten"].water_percent / 100
    return trial["hydration_percent"] - trial.get("gluten_percent", 0) * takes


def bakes_of(exchange: Exchange) -> Bakes:
    learned, request, factors = exchange.reply["calibration"], counted(exchange), exchange.units.factors
    level, loss, slope = (
        learned[name] for name in ("log_specific_volume", "share_volume_loss", "water_slope")
    )
    threshold, protein = value("share_volume_threshold_percent"), value("flour_protein_percent")
    reach = (value("trial_water_limit_points") + value("trial_water_step_points")) / 100
    base, gradients, residuals, variances = right_water(request), [], [], []
    unknown = base is not None and base[2] > 0
    right = learned.get("base_hydration_percent", 0.0)
    own_off = 0.0
    if unknown:
        stated = [trial for trial in request["trials"] if "hydration_percent" in trial]
        own = min(stated, key=lambda trial: trial["scalded_share_percent"])
        own_off = min(max((water_of(own) - right) / 100, -reach), reach)
    for trial, fitted in zip(request["trials"], exchange.reply["fit"], strict=True):
        share, off, way = trial["scalded_share_percent"], 0.0, 0.0
        if base and "hydration_percent" in trial:
            way = (share - base[0]) / 100
            off = (water_of(trial) - right) / 100 - slope * way
            off = min(max(off, -reach), reach)
        curvature = COEFFICIENTS["water_volume_curvature_dry" if off < 0 else "water_volume_curvature_wet"]
        made_up = trial.get("gluten_percent", 0) * INGREDIENTS["vital_gluten"].protein_percent / protein
        over, slant = max(0.0, share - made_up - threshold) / 100, 2 * curvature.value * off
        usual = "volume_measurement" if "loaf_volume" in trial else "volume_by_height"
        measured = trial.get("volume_sd_percent", 100 * value(f"{usual}_relative_sd")) / 100
        bread_g = trial["dough_mass"] * factors["mass"] * (1 - learned["bake_loss_percent"] / 100)
        specific_volume = fitted["measured"] * factors["volume"] / bread_g
        gradients.append([1.0, -over / (1 - loss * over), slant * way, slant / 100 if unknown else 0.0])
        residuals.append(log(specific_volume) - level - log(1 - loss * over) + curvature.value * off**2)
        doubt = _curvature_doubt(off) - _curvature_doubt(own_off)
        variances.append(measured**2 + doubt**2)
    ratio = request.get("scald_liquid_ratio", 1)
    crumb = "_close" if request.get("crumb") == "close" else ""
    level_sd = value(f"log_specific_volume_prior{crumb}_sd")
    expected, water_sd = base[1:] if unknown else (right, 1.0)
    return Bakes(
        numpy.array([log(usual_volume(request)), value("share_volume_loss"), water_slope(ratio), expected]),
        numpy.array([level_sd, value("share_volume_loss_prior_sd"), water_slope_sd(ratio), water_sd]),
        numpy.array([level, loss, slope, right]),
        numpy.array(gradients),
        numpy.array(residuals),
        numpy.array(variances),
    )


def _curvature_doubt(off: float) -> float:
    """Standard deviation of the loss of volume off the right water, from the range of the curvature there."""
    row = COEFFICIENTS["water_volume_curvature_dry" if off < 0 else "water_volume_curvature_wet"]
    return (row.high - row.low) / 2 / Z90 * off**2


def usual_volume(request: dict) -> float:
    """The specific volume that is first expected, by the crumb."""
    return value("specific_volume_prior" + ("_close" if request.get("crumb") == "close" else ""))


def _says(text: str, number: float) -> bool:
    return redo(text).sides[0][0].holds(number)


def learned(exchange: Exchange, step: dict, match: re.Match) -> Interval:
    """One of the unknowns: linearised at the answer, the model has its mean there."""
    index, bakes = UNKNOWNS.index(step["label"]), bakes_of(exchange)
    mean, covariance = bakes.posterior(exchange.reply["calibration"]["spread_percent"] / 100)
    prior, prior_sd, count, sd = match.groups()
    own_sd = sqrt(covariance[index][index])
    assert prior.startswith("ln ") is (index == 0)
    expected = usual_volume(exchange.request) if index == 0 else bakes.prior[index]
    assert _says(prior.removeprefix("ln "), expected)
    assert _says(prior_sd, bakes.prior_sd[index])
    assert int(count) == len(exchange.request["trials"])
    assert abs(float(sd) / own_sd - 1) < NEAR, f"the standard deviation is {own_sd}"
    best = bakes.guess[index] + mean[index]
    return Interval(best - NEAR * own_sd, best + NEAR * own_sd)


def likeliest_spread(exchange: Exchange, step: dict, match: re.Match) -> Interval:
    """The maximum of the evidence; the answer interpolates coarse points and may be slightly off."""
    bakes, usual = bakes_of(exchange), value("bake_to_bake_relative_sd")
    assert _says(match[1], 100 * usual)
    assert int(match[2]) == len(exchange.request["trials"])
    near = max(usual * 2 ** numpy.linspace(-2, 3, 21), key=bakes.evidence)
    best = 100 * max(near * 2 ** numpy.linspace(-0.25, 0.25, 11), key=bakes.evidence)
    return Interval(best * 0.95, best * 1.05)
