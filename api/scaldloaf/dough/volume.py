"""Specific volume of the loaf, and the dough that fills a pan.

A baker may know the bread in five ways: a specific volume, a reference loaf, a pan ratio, a
calibration fitted to trials, or nothing yet (the prior). Each becomes a ``Bread``: what it will do at
the wanted scalded share, as estimates whose intervals hold 90 % of next bakes.

Uncertainties are relative and small, so they live on the logarithm: each cause is a ``Band`` of
log half-widths, independent causes are combined in quadrature, and a cause shared by two loaves
(the effect of scald, of water, or a bake loss common to both) counts only by the difference it makes.
"""

from dataclasses import dataclass
from math import copysign, exp, hypot, isfinite, log, sqrt

from scaldloaf.dough.estimate import NORMAL_90, Estimate, weakest
from scaldloaf.dough.pan import LARGEST_PAN_CM3, SMALLEST_PAN_CM3
from scaldloaf.dough.refusal import Refusal
from scaldloaf.reference import coefficient

ROUNDING = 1e-9             # a limit turned into another unit and back is still within

SHARE_LOSS = coefficient("share_volume_loss")
SHARE_THRESHOLD_PERCENT = coefficient("share_volume_threshold_percent").value
SHARE_NOTE_PERCENT = coefficient("scald_share_limit_percent").value
SHARE_LIMIT_PERCENT = coefficient("share_upper_bound_percent").value
SHARE_BANDS = ((SHARE_THRESHOLD_PERCENT, 0.0),) + tuple(
    (float(share), coefficient(f"share_volume_band_{share}").value) for share in (10, 20, 30, 40))
WATER_CURVATURE = coefficient("water_volume_curvature")
WATER_VALID_POINTS = 100 * coefficient("water_volume_valid_fraction").value
PRIOR = coefficient("specific_volume_prior")
NOTE_LOW, NOTE_HIGH = (coefficient(f"specific_volume_note_{end}").value for end in ("low", "high"))
PAN_RATIO_LOW, PAN_RATIO_HIGH = (coefficient(f"pan_ratio_refuse_{end}").value for end in ("low", "high"))
REFUSE_LOW, REFUSE_HIGH = (coefficient(f"specific_volume_refuse_{end}").value for end in ("low", "high"))
BAKE_LOSS_LIDDED = coefficient("bake_loss_lidded_percent")
BAKE_LOSS_OPEN = coefficient("bake_loss_open_percent")
BAKE_LOSS_UPPER_PERCENT = coefficient("bake_loss_upper_percent").value
MEASURED_SD = coefficient("volume_measurement_relative_sd")
BY_HEIGHT_SD = coefficient("volume_by_height_relative_sd")
BAKE_TO_BAKE_SD = coefficient("bake_to_bake_relative_sd")

FULL_PERCENT = 100.0
FILL_LOW_PERCENT, FILL_HIGH_PERCENT = 20.0, 300.0     # guard rails: a slice of a pan, a very high crown
SMALLEST_LOAF_CM3 = SMALLEST_PAN_CM3 * FILL_LOW_PERCENT / 100
LARGEST_LOAF_CM3 = LARGEST_PAN_CM3 * FILL_HIGH_PERCENT / 100


# Factors of specific volume

def share_volume_factor(share_percent: float, loss: float = SHARE_LOSS.value) -> float:
    """Specific volume at a scalded share over that without scald, as a fraction (g).

    1 - loss x (share - threshold), both as fractions; 1 below the threshold. ``loss`` may be
    negative (own trials): volume then rises with the share, and the factor is above 1. Valid to a
    share of 40 %. Refusal where nothing would be left of the volume. Evidence: direction published
    (NARO Hokkaido 2010), size an assumption.
    """
    factor = _share_factor(share_percent, loss)
    if factor <= 0:
        raise Refusal("scalded_share_percent", "no_volume_left",
                      "with a volume loss of {loss} per unit of share, no volume is left at {share} %",
                      given=share_percent,
                      amounts={"loss": (loss, None), "share": (share_percent, None)})
    return factor


def _share_factor(share_percent: float, loss: float) -> float:
    return 1 - loss * share_over_threshold(share_percent)


def share_over_threshold(share_percent: float) -> float:
    """How far a scalded share lies above the threshold, as a fraction; 0 below it."""
    return max(0.0, share_percent - SHARE_THRESHOLD_PERCENT) / 100


def share_volume_band(share_percent: float) -> float:
    """Half-width of the band around ``share_volume_factor``, in the factor's own fraction.

    Piecewise linear from 0 at the threshold through the tabled shares, going on with the last slope.
    Evidence: assumption.
    """
    if share_percent <= SHARE_BANDS[0][0]:
        return 0.0
    for (left, low), (right, high) in zip(SHARE_BANDS, SHARE_BANDS[1:]):
        if share_percent <= right:
            break
    return low + (high - low) * (share_percent - left) / (right - left)


def water_volume_factor(off_optimum_points: float, curvature: float = WATER_CURVATURE.value) -> float:
    """Specific volume at a hydration off the optimum over that at the optimum, as a fraction (s).

    1 - curvature x d2, d the distance from the optimum as a fraction of flour (points / 100).
    Valid within 8 points. Evidence: assumption.
    """
    return 1 - curvature * (off_optimum_points / 100) ** 2


def log_volume_gradient(share_percent: float, loss: float, off_optimum_points: float = 0.0,
                        base_share_percent: float = 0.0) -> tuple[float, float, float]:
    """Derivatives of ln(specific volume) by ln(reference volume), by the loss and by the water slope.

    The optimum water is known at the base share, so the slope moves the optimum at a share by slope
    x (share - base share), and with it the distance from it. From the two factors, by calculus.
    """
    over, way = share_over_threshold(share_percent), (share_percent - base_share_percent) / 100
    return (1.0, -over / share_volume_factor(share_percent, loss),
            2 * WATER_CURVATURE.value * off_optimum_points / 100 * way / water_volume_factor(off_optimum_points))


# Plain relations (exact)

def specific_volume(loaf_volume_cm3: float, baked_mass_g: float) -> float:
    """Volume of the cooled loaf over its mass, cm3/g. Exact."""
    return loaf_volume_cm3 / baked_mass_g


def baked_mass_g(dough_mass_g: float, bake_loss_percent: float) -> float:
    """What is left of a dough after the oven, g; the loss is a percentage of the dough. Exact."""
    return dough_mass_g * (1 - bake_loss_percent / 100)


def dough_mass_g(loaf_volume_cm3: float, specific_volume_cm3_per_g: float, bake_loss_percent: float) -> float:
    """Dough for a loaf of a volume, g: volume / (specific volume x (1 - bake loss)). Exact."""
    return loaf_volume_cm3 / (specific_volume_cm3_per_g * (1 - bake_loss_percent / 100))


def pan_ratio(pan_volume_cm3: float, dough_mass_g: float) -> float:
    """Pan volume over dough mass, cm3/g; for a lidded pan just full, loaf volume per dough. Exact."""
    return pan_volume_cm3 / dough_mass_g


# Uncertainty

@dataclass(frozen=True, slots=True)
class Band:
    """One cause of doubt: half-widths of a 90 % interval on the natural logarithm, down and up."""

    cause: str
    down: float
    up: float
    evidence: str

    def inverse(self) -> "Band":
        """The same doubt on a quantity that falls when this one rises."""
        return Band(self.cause, self.up, self.down, self.evidence)


def within(best: float, bands) -> Estimate:
    """An estimate from independent bands, combined in quadrature; as sure as its weakest cause."""
    bands = tuple(bands)
    return Estimate(best * exp(-hypot(*(band.down for band in bands))), best,
                    best * exp(hypot(*(band.up for band in bands))),
                    weakest("exact", *(band.evidence for band in bands)))


def _relative(cause: str, row) -> Band:
    half = NORMAL_90 * row.value
    return Band(cause, half, half, row.evidence)


def _between(cause: str, low: float, best: float, high: float, evidence: str) -> Band:
    return Band(cause, log(best / low), log(high / best), evidence)


def share_band(share_percent: float, from_share_percent: float | None = None) -> Band | None:
    """Doubt about the effect of the scald when a loaf known at one share is moved to another.

    The bands of both ends come from one unknown, so the relative half-widths subtract; without a
    loaf to start from (the prior) the whole band counts. None where the share makes no difference.
    """
    half = _relative_share_band(share_percent)
    if from_share_percent is not None:
        half = abs(half - _relative_share_band(from_share_percent))
    return Band("effect of the scald", half, half, SHARE_LOSS.evidence) if half else None


def _relative_share_band(share_percent: float) -> float:
    return share_volume_band(share_percent) / share_volume_factor(share_percent)


def water_band(off_optimum_points: float, from_points: float = 0.0) -> Band | None:
    """Doubt about the effect of water when moving from one distance off the optimum to another.

    From the range of the curvature, common to both ends. None where the distances are equal.
    """
    if abs(off_optimum_points) == abs(from_points):
        return None

    row = WATER_CURVATURE

    def ratio(curvature):
        here = water_volume_factor(off_optimum_points, curvature)
        return here / water_volume_factor(from_points, curvature)

    low, high = sorted((ratio(row.low), ratio(row.high)))
    return _between("effect of the water", low, ratio(row.value), high, row.evidence)


# The bread wanted, and the five ways to know it

@dataclass(frozen=True, slots=True)
class Wanted:
    """The bread to be baked.

    share_percent: scalded share of total flour; None leaves it as it is in what the baker knows.
    off_optimum_points: its hydration less the optimum for that share, points.
    bake_loss_percent: None takes the known loaf's, or else the trade's for a lidded or an open pan.
    """

    share_percent: float | None = None
    off_optimum_points: float = 0.0
    bake_loss_percent: float | None = None
    open_top: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """Where a known loaf stood: its share (None: the wanted one) and its water off the optimum."""

    share_percent: float | None = None
    off_optimum_points: float = 0.0


@dataclass(frozen=True, slots=True)
class Bread:
    """What the bread will do at the wanted share.

    specific_volume: cm3 of loaf per g of bread. loaf_per_dough: cm3 of loaf per g of dough put in
    the oven, specific volume x (1 - bake loss). The factors are those of the wanted bread (g, s) and
    of the bread it was reckoned from; share_volume_loss is the one both g were made with. ``start`` is
    what was known before the move, cm3/g, and ``start_is_per_dough`` tells which of the two it was.
    ``doubts`` are the causes behind the interval of loaf_per_dough.
    """

    specific_volume: Estimate
    loaf_per_dough: Estimate
    bake_loss_percent: Estimate
    doubts: tuple[Band, ...]
    share_volume_loss: float
    start: float
    start_is_per_dough: bool
    share_percent: float | None
    share_factor: float
    start_share_factor: float
    water_factor: float
    start_water_factor: float
    start_bake_loss_percent: float | None
    basis: tuple[str, ...]
    notes: tuple[tuple[str, str], ...]


def bread_from_specific_volume(value: float, wanted: Wanted, known: Known = Known(),
                               at: str = "bread") -> Bread:
    """The bread from a specific volume of the baker's own, cm3/g, moved from its share to the wanted one.

    Valid 2.0 to 8.5 cm3/g; Refusal outside. Doubt: measuring, bake to bake (the loaf measured and
    the next one), the effect of scald and water. Evidence: assumption for the interval.
    """
    _require_specific_volume(value, 1.0, f"{at}.specific_volume")
    move = _Move(wanted, known, at)
    loss, loss_band, notes = _bake_loss(wanted)
    return move.bread(value, False, _measured(MEASURED_SD), loss, loss_band, notes)


def bread_from_reference_loaf(reference_dough_g: float, loaf_volume_cm3: float, wanted: Wanted, known: Known,
                              bake_loss_percent: float | None = None, at: str = "bread") -> Bread:
    """The bread from one measured loaf: its dough, g, its volume, cm3, its bake loss, its share.

    A bake loss stated for one of the two loaves is taken for both; when neither is stated the
    trade's default stands for both and cancels from the dough mass. Refusal outside 2.0 to 8.5
    cm3/g. Doubt as for a specific volume of one's own.
    """
    stated = bake_loss_percent if bake_loss_percent is not None else wanted.bake_loss_percent
    notes = []
    if stated is not None and (bake_loss_percent is None or wanted.bake_loss_percent is None):
        which = "reference loaf" if wanted.bake_loss_percent is None else "wanted bread"
        notes.append(("bake_loss_shared",
                      f"The bake loss stated for the {which}, {stated:g} %, is taken for both."))
    if stated is None:
        loss, loss_band, said = _bake_loss(wanted)
        notes += said
        reference_loss = loss.best
    else:
        reference_loss = stated
        loss = _exactly(wanted.bake_loss_percent if wanted.bake_loss_percent is not None else stated)
        loss_band = None
    if bake_loss_percent is not None:
        _require_bake_loss(reference_loss, f"{at}.bake_loss_percent")
    _require_bake_loss(loss.best, "bake_loss_percent")
    per_dough = loaf_volume_cm3 / reference_dough_g
    require_loaf(reference_dough_g, loaf_volume_cm3, reference_loss, at)
    move = _Move(wanted, known, at)
    return move.bread(per_dough, True, _measured(MEASURED_SD), loss, loss_band, notes, reference_loss)


def bread_from_pan_ratio(ratio: float, wanted: Wanted, known: Known = Known(),
                         fill_percent: float = FULL_PERCENT, at: str = "bread") -> Bread:
    """The bread from a pan ratio, cm3 of pan per g of dough, found with the pan filled to ``fill_percent``.

    Loaf per dough = ratio x fill. Whether a pan is full is judged by height, and the interval says so.
    Valid 1.2 to 6.5 cm3/g; Refusal outside, and where the specific volume would be above 8.5 cm3/g.
    A low specific volume is only noted: the loaf may have stood above the rim of a shallow tin.
    """
    _require_between(ratio, PAN_RATIO_LOW, PAN_RATIO_HIGH, f"{at}.pan_ratio", "pan_ratio_out_of_range",
                     "pan ratios lie between {low} and {high} cm³ of pan per g of dough (7.6 cubic inches "
                     "per ounce are 4.4)")
    _require_fill(fill_percent, f"{at}.fill_percent")
    loss, loss_band, notes = _bake_loss(wanted)
    per_dough = ratio * fill_percent / 100
    value = per_dough / (1 - loss.best / 100)
    _require_specific_volume(ratio, value / ratio, f"{at}.pan_ratio", low=0.0)
    if value < NOTE_LOW:
        notes.append(("fill_of_pan_ratio",
                      f"At a fill of {fill_percent:g} % this pan ratio means only {value:.3g} cm³ per g of "
                      "bread. If the loaf stood above the rim, give the fill_percent it was found at."))
    move = _Move(wanted, known, at)
    measured = _measured(BY_HEIGHT_SD, "fullness judged by height")
    return move.bread(per_dough, True, measured, loss, loss_band, notes, lowest=0.0)


def bread_from_prior(wanted: Wanted) -> Bread:
    """The bread when nothing is known of the baker's own: an enriched pan loaf, moved from no scald.

    Doubt: the range of the prior, and the whole band of the scald's effect. Its centre is assumed.
    """
    move = _Move(wanted, Known(0.0), "bread", whole_band=True)
    loss, loss_band, notes = _bake_loss(wanted)
    spread = _between("other bakers' loaves", PRIOR.low, PRIOR.value, PRIOR.high,
                      weakest(PRIOR.evidence, "assumption"))
    notes.append(("prior",
                  "Nothing is known of your own bread yet, so the band is wide. Bake one loaf at any share, "
                  "measure its volume and its mass, and give it as the reference loaf."))
    return move.bread(PRIOR.value, False, (spread,), loss, loss_band, notes, extra_basis=PRIOR.sources)


def bread_from_calibration(calibration: "Calibration", wanted: Wanted,
                           at: str = "bread.calibration") -> Bread:
    """The bread from a calibration fitted to the baker's trials.

    Volume with its interval from ``predict_log_specific_volume``, widened off the optimum by the
    doubt about the curvature; the bake loss is the trials' unless the wanted bread states one.
    """
    check_calibration(calibration, at)
    share = 0.0 if wanted.share_percent is None else wanted.share_percent
    _require_share(share, "scalded_share_percent")
    _require_water(wanted.off_optimum_points, "hydration_off_optimum_points")
    start = exp(calibration.log_specific_volume)
    water_factor = water_volume_factor(wanted.off_optimum_points)
    _require_reachable(start * water_factor, share, calibration.share_volume_loss)
    mean, sd = predict_log_specific_volume(calibration, share, wanted.off_optimum_points)
    doubt = [Band("trials", NORMAL_90 * sd, NORMAL_90 * sd, "assumption")]
    if (curvature := water_band(wanted.off_optimum_points)) is not None:
        doubt.append(curvature)
    if wanted.bake_loss_percent is None:
        half = NORMAL_90 * calibration.bake_loss_sd_percent
        best = calibration.bake_loss_percent
        loss = Estimate(max(best - half, 0.0), best, best + half, "assumption")
        loss_band = _loss_band(loss)
        notes = [("bake_loss_of_trials", f"The bake loss is that of your trials, {best:g} % of the dough.")]
    else:
        loss, loss_band, notes = _bake_loss(wanted)
    value = exp(mean)
    # Trials measure volume per gram of dough; their own bake loss only turns it into specific volume,
    # so its doubt is not the dough's. A loss that is stated is another bread's, and counts.
    own_loss = wanted.bake_loss_percent is None
    start_value = value * (1 - loss.best / 100) if own_loss else value
    return Bread(
        *_assemble(start_value, own_loss, doubt, loss, loss_band), calibration.share_volume_loss, start, False,
        wanted.share_percent, share_volume_factor(share, calibration.share_volume_loss), 1.0, water_factor,
        1.0, None, ("geometry", "mass_balance", *SHARE_LOSS.sources), (*_remarks(value, share), *notes))


# Calibration: what trials have taught

@dataclass(frozen=True, slots=True)
class Calibration:
    """What a baker's measured bakes have taught; small enough for a client to keep and send back.

    log_specific_volume: mean of the natural logarithm of specific volume, cm3/g, without scald and at
        the optimum water. share_volume_loss: fraction of volume lost per unit of share (negative:
        gained). water_slope: points of optimum water per point of share.
    covariance: of those three, in that order. bake_loss_percent, bake_loss_sd_percent: of the dough,
        the standard deviation that of the next bake's loss. spread_percent: relative standard
        deviation from bake to bake. trials: how many bakes it rests on. base_share_percent: the share
        at which the right water is known, so that the slope's doubt grows from there.
    """

    log_specific_volume: float
    share_volume_loss: float
    water_slope: float
    covariance: tuple[tuple[float, float, float], ...]
    bake_loss_percent: float
    bake_loss_sd_percent: float
    spread_percent: float
    trials: int
    base_share_percent: float = 0.0


def predict_log_specific_volume(calibration: Calibration, share_percent: float,
                                off_optimum_points: float = 0.0) -> tuple[float, float]:
    """Mean and standard deviation of ln(specific volume) of the next bake at a share and a water.

    Mean: ln SV_ref + ln g(share; loss) + ln s(water). Variance: J C J' + spread2, J the gradient in
    (ln SV_ref, loss, water slope). Source: first-order propagation.
    """
    g = share_volume_factor(share_percent, calibration.share_volume_loss)
    s = water_volume_factor(off_optimum_points)
    gradient = log_volume_gradient(share_percent, calibration.share_volume_loss, off_optimum_points,
                                   calibration.base_share_percent)
    covariance = calibration.covariance
    variance = sum(gradient[i] * covariance[i][j] * gradient[j] for i in range(3) for j in range(3))
    variance += (calibration.spread_percent / 100) ** 2
    return calibration.log_specific_volume + log(g) + log(s), sqrt(max(variance, 0.0))


def check_calibration(calibration: Calibration, at: str = "calibration") -> None:
    """Refusal for a calibration that no fit returns: a covariance that is not symmetric and positive
    semidefinite, a reference volume outside 2.0 to 8.5 cm3/g, a bake loss outside 0 to 30 %."""
    level = calibration.log_specific_volume
    low, high = log(REFUSE_LOW), log(REFUSE_HIGH)
    if not low - ROUNDING <= level <= high + ROUNDING:
        raise Refusal(f"{at}.log_specific_volume", "specific_volume_out_of_range",
                      "this stands for {value} cm³/g; pan loaves lie between {low} and {high} cm³/g",
                      given=level, nearest=low if level < low else high,
                      amounts={"value": (exp(min(level, 50.0)), None), "low": (REFUSE_LOW, None),
                               "high": (REFUSE_HIGH, None)})
    _require_bake_loss(calibration.bake_loss_percent, f"{at}.bake_loss_percent")
    if not _is_covariance(calibration.covariance):
        raise Refusal(f"{at}.covariance", "not_a_covariance",
                      "a covariance is symmetric and positive semidefinite, and this is not; "
                      "send the calibration back as the trial fit returned it")


def _is_covariance(matrix) -> bool:
    """Whether a 3 x 3 matrix is symmetric and positive semidefinite, with slack for rounding.

    By its principal minors, on the matrix scaled to correlations so that units do not matter.
    """
    if not all(isfinite(value) for row in matrix for value in row) or min(matrix[i][i] for i in range(3)) < 0:
        return False
    scale = [sqrt(matrix[i][i]) or 1.0 for i in range(3)]
    slack = 1e-6
    (a, d, e), (d2, b, f), (e2, f2, c) = (
        [matrix[i][j] / scale[i] / scale[j] for j in range(3)] for i in range(3))
    if max(abs(d - d2), abs(e - e2), abs(f - f2)) > slack:
        return False
    determinant = a * b * c + 2 * d * e * f - a * f * f - b * e * e - c * d * d
    return min(a * b - d * d, a * c - e * e, b * c - f * f, determinant) >= -slack


# The pan filled

@dataclass(frozen=True, slots=True)
class PanFill:
    """Dough for one pan: g of dough and of baked loaf, cm3 of loaf, cm3 of pan per g of dough."""

    loaf_volume_cm3: float
    dough_mass_g: Estimate
    baked_mass_g: Estimate
    pan_ratio: Estimate


def fill_pan(pan_volume_cm3: float, fill_percent: float, bread: Bread) -> PanFill:
    """Dough that fills a pan to a percentage of its volume (100: a lidded pan just full).

    Dough = pan volume x fill / loaf per dough. Valid for a fill of 20 to 300 %; Refusal outside.
    """
    _require_fill(fill_percent, "fill_percent")
    loaf = pan_volume_cm3 * fill_percent / 100
    return PanFill(
        loaf_volume_cm3=loaf,
        dough_mass_g=bread.loaf_per_dough.map(lambda per_dough: loaf / per_dough),
        baked_mass_g=bread.specific_volume.map(lambda value: loaf / value),
        pan_ratio=bread.loaf_per_dough.map(lambda per_dough: per_dough * pan_volume_cm3 / loaf))


# How the parts come together

class _Move:
    """A known loaf taken to the wanted share and water."""

    def __init__(self, wanted: Wanted, known: Known, at: str, whole_band: bool = False):
        share, start_share = wanted.share_percent, known.share_percent
        if share is None:
            share = start_share
        elif start_share is None:
            start_share = share
        self.share = share
        here, there = share or 0.0, start_share or 0.0
        _require_share(there, f"{at}.scalded_share_percent")
        _require_share(here, "scalded_share_percent")
        _require_water(known.off_optimum_points, f"{at}.hydration_off_optimum_points")
        _require_water(wanted.off_optimum_points, "hydration_off_optimum_points")
        self.share_factor, self.start_share_factor = share_volume_factor(here), share_volume_factor(there)
        self.water_factor = water_volume_factor(wanted.off_optimum_points)
        self.start_water_factor = water_volume_factor(known.off_optimum_points)
        self.off_optimum_points = wanted.off_optimum_points
        self.doubt = [band for band in (share_band(here, None if whole_band else there),
                                        water_band(wanted.off_optimum_points, known.off_optimum_points))
                      if band is not None]
        self.notes = []
        if known.share_percent is not None and there > SHARE_NOTE_PERCENT + ROUNDING:
            self.notes.append(_share_note("known loaf"))

    def bread(self, start: float, per_dough: bool, measured, loss: Estimate, loss_band: Band | None, notes,
              start_loss: float | None = None, extra_basis=(), lowest: float = REFUSE_LOW) -> Bread:
        """The Bread that ``start`` becomes, with the doubts of knowing it (``measured``) and of moving it."""
        factor = self.share_factor / self.start_share_factor * self.water_factor / self.start_water_factor
        moved = start * factor
        if per_dough:
            before = loss.best if start_loss is None else start_loss
            moved *= (100 - loss.best) / (100 - before)
        value = moved / (1 - loss.best / 100) if per_dough else moved
        if self.share_factor == self.start_share_factor:
            _require_reachable_by_water(value / self.water_factor, self.off_optimum_points, lowest)
        else:
            _require_reachable(value / self.share_factor, self.share, SHARE_LOSS.value, lowest)
        basis = ["geometry", "mass_balance", *extra_basis]
        if any(band.cause == "effect of the scald" for band in self.doubt):
            basis += SHARE_LOSS.sources
        if self.water_factor != 1 or self.start_water_factor != 1:
            basis += WATER_CURVATURE.sources
        if loss_band is not None:
            basis += BAKE_LOSS_LIDDED.sources
        return Bread(
            *_assemble(moved, per_dough, (*measured, *self.doubt), loss, loss_band), SHARE_LOSS.value, start,
            per_dough, self.share, self.share_factor, self.start_share_factor, self.water_factor,
            self.start_water_factor, start_loss, tuple(dict.fromkeys([*basis, *MEASURED_SD.sources])),
            (*_remarks(value, self.share), *self.notes, *notes))


def _assemble(value: float, per_dough: bool, bands, loss: Estimate, loss_band: Band | None):
    """Specific volume, loaf per dough, bake loss and doubts, from whichever of the first two is known.

    ``loss_band`` is the doubt about the fraction that stays in the loaf.
    """
    kept = 1 - loss.best / 100
    bands = tuple(bands)
    both = bands if loss_band is None else (*bands, loss_band.inverse() if per_dough else loss_band)
    if per_dough:
        return within(value / kept, both), within(value, bands), loss, bands
    return within(value, bands), within(value * kept, both), loss, both


def _measured(row, cause: str = "measuring") -> tuple[Band, Band, Band]:
    """Doubt of one measured bake as a forecast of the next: measuring, and both bakes' own chance."""
    return (_relative(cause, row), _relative("the measured bake's chance", BAKE_TO_BAKE_SD),
            _relative("the next bake's chance", BAKE_TO_BAKE_SD))


def _exactly(value: float) -> Estimate:
    return Estimate(value, value, value, "exact")


def _loss_band(loss: Estimate) -> Band:
    return _between("bake loss", 100 - loss.high, 100 - loss.best, 100 - loss.low, loss.evidence)


def _bake_loss(wanted: Wanted) -> tuple[Estimate, Band | None, list[tuple[str, str]]]:
    """The bake loss stated, or the trade's for the pan, with its doubt and a note that says so."""
    if wanted.bake_loss_percent is not None:
        _require_bake_loss(wanted.bake_loss_percent, "bake_loss_percent")
        return _exactly(wanted.bake_loss_percent), None, []
    row, pan = (BAKE_LOSS_OPEN, "an open pan") if wanted.open_top else (BAKE_LOSS_LIDDED, "a lidded pan")
    loss = Estimate(row.low, row.value, row.high, row.evidence)
    note = ("bake_loss_default",
            f"No bake loss was given; {row.value:g} % of the dough, usual for {pan}, is taken ({row.low:g} "
            f"to {row.high:g} %). Weigh a loaf before and after to know your own.")
    return loss, _loss_band(loss), [note]


def _remarks(value: float, share_percent: float | None):
    if not NOTE_LOW * (1 - ROUNDING) <= value <= NOTE_HIGH * (1 + ROUNDING):
        yield ("unusual_specific_volume",
               f"A specific volume of {value:.3g} cm³/g is unusual for a pan loaf ({NOTE_LOW:g} to "
               f"{NOTE_HIGH:g}): check the measurements.")
    if share_percent is not None and share_percent > SHARE_NOTE_PERCENT + ROUNDING:
        yield _share_note("wanted bread")


def _share_note(which: str) -> tuple[str, str]:
    return ("share_beyond_range",
            f"The scalded share of the {which} is above {SHARE_NOTE_PERCENT:g} %, beyond any figure for its "
            "effect on volume: this is extrapolated.")


# What is refused

def _require_share(share_percent: float, argument: str) -> None:
    _require_between(share_percent, 0.0, SHARE_LIMIT_PERCENT, argument, "share_out_of_range",
                     "a scalded share runs from {low} to {high} % of total flour")


def _require_water(points: float, argument: str) -> None:
    _require_between(points, -WATER_VALID_POINTS, WATER_VALID_POINTS, argument, "water_too_far_off",
                     "the effect of water on volume is known from {low} to {high} points off the optimum")


def _require_bake_loss(loss_percent: float, argument: str) -> None:
    _require_between(loss_percent, 0.0, BAKE_LOSS_UPPER_PERCENT, argument, "bake_loss_out_of_range",
                     "a pan loaf loses {low} to {high} % of its dough in the oven")


def _require_fill(fill_percent: float, argument: str) -> None:
    _require_between(fill_percent, FILL_LOW_PERCENT, FILL_HIGH_PERCENT, argument, "fill_out_of_range",
                     "the loaf may take {low} to {high} % of the pan's volume (100: a lidded pan just full)")


def _require_between(value: float, low: float, high: float, argument: str, code: str, message: str) -> None:
    if not low - ROUNDING <= value <= high + ROUNDING:
        raise Refusal(argument, code, message, given=value, nearest=low if value < low else high,
                      amounts={"low": (low, None), "high": (high, None)})


def _require_specific_volume(given: float, factor: float, argument: str, quantity: str | None = None,
                             low: float = REFUSE_LOW) -> None:
    """Refuse a specific volume no pan loaf has, at the field that makes it: given x factor."""
    value = given * factor
    if low * (1 - ROUNDING) <= value <= REFUSE_HIGH * (1 + ROUNDING):
        return
    limit = low if value < low else REFUSE_HIGH
    raise Refusal(argument, "specific_volume_out_of_range",
                  "this makes {value} cm³ per g of bread; pan loaves lie between {low} and {high}",
                  given=given, nearest=limit / factor, quantity=quantity,
                  amounts={"value": (value, None), "low": (REFUSE_LOW, None), "high": (REFUSE_HIGH, None)})


def require_loaf(dough_g: float, loaf_volume_cm3: float, loss_percent: float, at: str) -> None:
    """Refuse a loaf of no loaf's size, or whose volume and dough make a specific volume no loaf has."""
    if not SMALLEST_LOAF_CM3 * (1 - ROUNDING) <= loaf_volume_cm3 <= LARGEST_LOAF_CM3 * (1 + ROUNDING):
        small = loaf_volume_cm3 < SMALLEST_LOAF_CM3
        raise Refusal(f"{at}.loaf_volume", "loaf_volume_out_of_range",
                      "loaves from {low} to {high} are reckoned (is the unit right?)",
                      given=loaf_volume_cm3, nearest=SMALLEST_LOAF_CM3 if small else LARGEST_LOAF_CM3,
                      quantity="volume",
                      amounts={"low": (SMALLEST_LOAF_CM3, "volume"), "high": (LARGEST_LOAF_CM3, "volume")})
    baked = baked_mass_g(dough_g, loss_percent)
    try:
        _require_specific_volume(loaf_volume_cm3, 1 / baked, f"{at}.loaf_volume", "volume")
    except Refusal as refusal:
        if not SMALLEST_LOAF_CM3 <= refusal.nearest <= LARGEST_LOAF_CM3:    # then the dough is at fault
            limit = refusal.nearest / baked
            refusal.argument, refusal.given, refusal.quantity = f"{at}.dough_mass", dough_g, "mass"
            refusal.nearest = dough_mass_g(loaf_volume_cm3, limit, loss_percent)
        raise


def _require_reachable(without_scald: float, share_percent: float | None, loss: float,
                       low: float = REFUSE_LOW) -> None:
    """Refuse a move that ends at a specific volume no pan loaf has; name the share that just does.

    without_scald: the specific volume that the bread would have at no share, cm3/g.
    """
    value = without_scald * _share_factor(share_percent or 0.0, loss)
    if low * (1 - ROUNDING) <= value <= REFUSE_HIGH * (1 + ROUNDING):
        return
    nearest = None
    if loss:
        limit = low if value < low else REFUSE_HIGH
        share = SHARE_THRESHOLD_PERCENT + 100 * (1 - limit / without_scald) / loss
        nearest = share if SHARE_THRESHOLD_PERCENT <= share <= SHARE_LIMIT_PERCENT else None
    raise Refusal("scalded_share_percent", "specific_volume_out_of_range",
                  "the bread would come to {value} cm³/g at this share and water; pan loaves lie between "
                  "{low} and {high}", given=share_percent, nearest=nearest,
                  amounts={"value": (max(value, 0.0), None), "low": (REFUSE_LOW, None),
                           "high": (REFUSE_HIGH, None)})


def _require_reachable_by_water(at_optimum: float, off_optimum_points: float,
                                low: float = REFUSE_LOW) -> None:
    """The same for a move of the water alone; at_optimum: the specific volume at the right water, cm3/g."""
    value = at_optimum * water_volume_factor(off_optimum_points)
    if low * (1 - ROUNDING) <= value <= REFUSE_HIGH * (1 + ROUNDING):
        return
    lost = 1 - (low if value < low else REFUSE_HIGH) / at_optimum
    nearest = copysign(100 * sqrt(lost / WATER_CURVATURE.value), off_optimum_points) if lost >= 0 else None
    if nearest is not None and abs(nearest) > WATER_VALID_POINTS:
        nearest = None
    raise Refusal("hydration_off_optimum_points", "specific_volume_out_of_range",
                  "the bread would come to {value} cm³/g with this water; pan loaves lie between {low} and "
                  "{high}", given=off_optimum_points, nearest=nearest,
                  amounts={"value": (value, None), "low": (REFUSE_LOW, None), "high": (REFUSE_HIGH, None)})
