"""One model of a fabric: swatches, dial, finishing and pieces together, for the next piece.

    eta_ic   = A_c + ln(1 + beta_c z_i) + p_i delta_c + b_ic      ln(mm per stitch or row), washed and blocked
    y_ics    = eta_ic - C_cs - e_ics + eps_ics                    at another stage s (blocked: C = e = 0)
    ln F_icj = ln N_ij + eta_ic + l_ij + eps_icj                  point j of a piece

    eta_ic   = A'_c + b_ic                                        a piece whose dial nobody said

c direction, i specimen, z dial less the centre dial, p 1 for pieces and 0 for swatches; b ~ N(0, tau^2) for
swatches and N(0, (0.8 tau)^2) for pieces, e ~ N(0, tauC^2), l ~ N(0, lambda^2), eps ~ N(0, u^2). tau and tauC
are shared by the directions, which are independent otherwise. Priors: ``assumptions.py``; arithmetic:
``grid.py``.

Given (tau, tauC) everything is linear and normal; the answers are mixtures over a grid of both. Source:
hierarchical normal model on a grid as in Roever (2020) J. Stat. Software 93(6), half-normal prior as in
Gelman (2006) Bayesian Analysis 1:515; the model itself is this project's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import field
from itertools import chain

import numpy as np

from fitcheck.estimates.fabric import grid
from fitcheck.estimates.fabric.answers import (
    Click,
    FinishingChange,
    Gauge,
    NextSwatch,
    Pair,
    PairOf,
    PercentChange,
    Slope,
    StitchSize,
    SwatchOption,
)
from fitcheck.estimates.fabric.assumptions import (
    BLOCKED,
    DEFAULT,
    DIRECTIONS,
    Assumptions,
    Direction,
    FabricError,
    FinishedShift,
)
from fitcheck.estimates.fabric.dials import DialScale, settings_of
from fitcheck.estimates.fabric.grid import Matrix
from fitcheck.estimates.fabric.specimens import Specimen, lay_out
from fitcheck.estimates.numbers import Basis, CannotSay, Estimate
from fitcheck.estimates.piece import StitchPrior
from fitcheck.records.frozen import frozen
from fitcheck.records.repeatability import TAPE

LEVEL = 0.90
"""Every interval here holds the truth with this chance."""
SAME_DIAL = 1e-6
"""Dials nearer than this are one setting (marks are thirds, typed as decimals)."""
SPREADS = 8
"""Equally likely parts of the spread from a piece to the next, which is as little known as tau."""
CHEST_STEP_MM = 1.0
"""Swatches whose intervals of the finished chest differ by less narrow it equally: a tape tells no more."""


@frozen(eq=False)
class Fabric:
    """A fitted fabric. Every answer is computed from the posterior in `nodes`; nothing in it is random.

    assumptions  the priors
    specimens    what it was fitted to
    centre       centre dial, mean of the dials written down; None when there is none
    stages       stages of the model, blocked first
    uncarried    keys of pieces at a stage that no other specimen was read at; those readings were not used
    table, nodes readings and posterior of the arithmetic
    """

    assumptions: Assumptions
    specimens: tuple[Specimen, ...]
    centre: float | None
    stages: tuple[str, ...]
    uncarried: tuple[str, ...]
    table: grid.Table
    nodes: grid.Nodes
    _gauges_told: dict[tuple[float | None, bool, str], Gauge | CannotSay] = field(default_factory=dict)
    _pairs_told: dict[tuple[str, float | None], Pair | CannotSay] = field(default_factory=dict)

    # ---- gauge ---------------------------------------------------------------------------------------------

    def gauge(self, dial: float | None = None, piece: bool = True, stage: str = BLOCKED) -> Gauge | CannotSay:
        """Gauge of the next piece (or swatch) at a dial and a stage, between-specimen spread included.

        dial   dial number; None is that of the pieces whose dial nobody said, else the centre dial
        Worked out once, for several steps of an answer ask for the same one.
        CannotSay: no_specimen, no_dial, dial_too_far, no_such_stage.
        """
        asked = dial, piece, stage
        if asked not in self._gauges_told:
            self._gauges_told[asked] = self._gauge(*asked)
        return self._gauges_told[asked]

    def _gauge(self, dial: float | None, piece: bool, stage: str) -> Gauge | CannotSay:
        refusal = self._refuse_dial(dial)
        if refusal is not None:
            return refusal
        if stage not in self.stages:
            return CannotSay("no_such_stage", stage=stage)
        at = self.centre if dial is None and not self.apart else dial
        return self._gauges(self._both(np.array([self._z(dial)]), piece, stage), [at], piece, stage)[0]

    def refuses(self, dial: float | None) -> CannotSay | None:
        """Why no blocked gauge can be said at a dial, None where one can: no_specimen, no_dial, dial_too_far."""
        return self._refuse_dial(dial)

    def specimen(self, key: str) -> Gauge | CannotSay:
        """Blocked size of one specimen itself, from all that is known; an unblocked piece is carried there.

        CannotSay: cannot_carry, when a piece was read only at stages that no other specimen was read at.
        Raises FabricError for an unknown key.
        """
        return self.specimens_themselves([key])[0]

    def specimens_themselves(self, keys: Sequence[str]) -> list[Gauge | CannotSay]:
        """Return the same of several specimens."""
        places = {key: self._place(key) for key in keys if key not in self.uncarried}
        told: dict[str, Gauge | CannotSay] = {key: self._cannot_carry(key) for key in keys if key not in places}
        if places:
            at = list(places.values())
            given = [self.specimens[place] for place in at]
            own = [self._own(c, at)[1:] for c in range(2)]
            read = [[bool(seen.any()) for seen in self.table.seen[c, at]] for c in range(2)]
            leans = [[self._leans(c, place) for place in at] for c in range(2)]
            sizes = self._sizes([(mean.T, np.sqrt(var).T) for mean, var in own], leans, read)
            told |= {
                specimen.key: Gauge(across, along, specimen.dial, specimen.piece)
                for specimen, across, along in zip(given, *sizes, strict=True)
            }
        return [told[key] for key in keys]

    def pair(self, key: str, dial: float | None = None) -> Pair | CannotSay:
        """Joint distribution of a specimen's own size and of the next piece's at a dial, per direction.

        What both share (fabric, slope, shift) makes them move together: a piece already measured tells about
        the next one. Means and covariances are those of the mixture over the grid.

        dial  dial number of the next piece; None is the specimen's own, said or not
        Worked out once, as a gauge is.
        CannotSay: cannot_carry, no_dial, dial_too_far. Raises FabricError for an unknown key.
        """
        asked = key, dial
        if asked not in self._pairs_told:
            self._pairs_told[asked] = self._pair(*asked)
        return self._pairs_told[asked]

    def _pair(self, key: str, dial: float | None) -> Pair | CannotSay:
        place = self._place(key)
        if key in self.uncarried:
            return self._cannot_carry(key)
        dial = self.specimens[place].dial if dial is None else dial
        refusal = self._refuse_dial(dial)
        if refusal is not None:
            return refusal
        both, apart = [], []
        z = np.array([self._z(dial)])
        share = self.assumptions.piece_share
        for c in range(2):
            f, own_mean, own_var = (each[:, 0] for each in self._own(c, [place]))
            x, offset = self._rows(c, z, piece=True, stage=BLOCKED)
            mean, cov = self.nodes.mean[c], self.nodes.cov[c]
            next_mean = mean @ x[0] + offset[0] + self._centre_of_size(c)
            next_var = (cov @ x[0]) @ x[0] + (share * self.nodes.tau) ** 2
            shared = ((f[:, None] @ cov)[:, 0] * x[0]).sum(-1)
            means = np.stack([own_mean, next_mean])
            weight = self.nodes.weight
            centre = means @ weight
            off = means - centre[:, None]
            moved = (off * weight) @ off.T
            inside = np.array([[own_var @ weight, shared @ weight], [shared @ weight, next_var @ weight]])
            both.append(PairOf(centre, inside + moved))
            apart.append(np.sqrt(own_var + next_var - 2 * shared + (off[1] - off[0]) ** 2))
        own_sd = share * math.sqrt(float(self.nodes.tau**2 @ self.nodes.weight))
        return Pair(key, dial, both[0], both[1], grid.equal_parts(apart[0], weight, SPREADS), own_sd)

    def prior(self, direction: Direction, dial: float | None = None) -> StitchPrior:
        """What is known of the next piece's blocked size before it is read: log mean [ln mm] and SD [1].

        It holds everything that was fitted: fit without a piece before judging that piece by its own prior.
        dial  dial number; None is that of the pieces whose dial nobody said, else the centre dial; where no dial is
              known at all, a number is that dial too
        """
        return self.priors(direction, [dial])[0]

    def priors(self, direction: Direction, dials: Sequence[float | None]) -> list[StitchPrior]:
        """Return the same at several dials."""
        c = DIRECTIONS.index(direction)
        mean, sd = self._predict(c, np.array([self._z(dial) for dial in dials]), True, BLOCKED)
        log_means, spreads = grid.mixture_moments(mean, sd, self.nodes.weight)
        return [StitchPrior(*pair) for pair in zip(log_means.tolist(), spreads.tolist(), strict=True)]

    # ---- change, slope, shift ------------------------------------------------------------------------------

    def change(self, stage: str) -> FinishingChange:
        """Percent change from a stage to washed and blocked, for the next piece: 100 (exp(C + e) - 1).

        Measured where a specimen was read at both, mixed where the stage was read but never on a specimen
        that was also read blocked, else the prior and so assumed. Raises FabricError for the blocked stage.
        """
        if stage == BLOCKED:
            raise FabricError(f"stage: read {stage!r}; a stage before or after washing and blocking is accepted")
        answers = []
        for c, direction in enumerate(DIRECTIONS):
            read = stage in self.stages and bool(self.table.seen[c, :, self.stages.index(stage)].any())
            if read:
                place = 2 + self.stages.index(stage)
                mean = self.nodes.mean[c, :, place]
                var = self.nodes.cov[c, :, place, place] + self.nodes.tau_change**2
                weight = self.nodes.weight
            else:
                if self.table.any_unblocked:
                    tau_change, weight = self.nodes.tau_change, self.nodes.weight
                else:
                    tau_change, weight = grid.half_normal_nodes(self.assumptions.tau_change_scale)
                prior = self.assumptions.change(stage, direction)
                mean, var = np.full(len(weight), prior.mean), prior.sd**2 + tau_change**2
            log = grid.mixture_quantiles(mean[None], np.sqrt(var)[None], weight, _TAILS)[0]
            low, middle, high = (float(v) for v in 100 * np.expm1(log))
            specimens = self._paired(c, stage)
            basis: Basis = "measured" if specimens else "mixed" if read else "assumed"
            answers.append(PercentChange(middle, low, high, LEVEL, basis, specimens))
        return FinishingChange(stage, answers[0], answers[1])

    def slope(self, direction: Direction) -> Slope:
        """Relative change of stitch size per dial number, and how much of it is data."""
        c = DIRECTIONS.index(direction)
        mean, var = self.nodes.mean[c, :, 1], self.nodes.cov[c, :, 1, 1]
        value, sd = grid.mixture_moments(mean, np.sqrt(var), self.nodes.weight)
        prior = self.assumptions.slope.sd**2
        share = 1 - float(sd) ** 2 / prior if prior else 0.0
        return Slope(float(value), float(sd), min(1.0, max(0.0, share)))

    def piece_shift(self) -> FinishedShift:
        """Return what this fabric alone says of ln(piece / swatch), for the next make: the prior taken out.

        None for a direction without both a swatch and a piece.
        1/u^2 = 1/posterior variance - 1/prior variance, and the value by the same weights.
        """
        shifts: list[Estimate | None] = []
        piece = self.table.piece > 0
        for c, direction in enumerate(DIRECTIONS):
            prior = self.assumptions.shift(direction)
            read = self.table.seen[c].any(-1)
            shifts.append(None)
            if not (read & piece & ~self.table.apart).any() or not (read & ~piece).any() or not prior.sd:
                continue
            mean, var = self.nodes.mean[c, :, 2], self.nodes.cov[c, :, 2, 2]
            value, sd = (float(v) for v in grid.mixture_moments(mean, np.sqrt(var), self.nodes.weight))
            precision = 1 / sd**2 - 1 / prior.sd**2
            if precision > 0:
                shifts[c] = Estimate((value / sd**2 - prior.mean / prior.sd**2) / precision, precision**-0.5)
        return FinishedShift(shifts[0], shifts[1])

    # ---- dial ----------------------------------------------------------------------------------------------

    def clicks(
        self,
        dials: DialScale | Sequence[float],
        wanted_mm: float,
        tolerance_mm: float,
        direction: Direction = "across",
    ) -> tuple[Click, ...] | CannotSay:
        """Predict the next piece's gauge at every click and the chance that it meets the wanted size.

        dials         a machine's dial (lowest, highest, marks) or the settings themselves
        wanted_mm     wanted stitch width, or row height for direction "along" [mm]
        tolerance_mm  allowed on either side [mm]
        CannotSay: no_specimen, no_dial. Clicks too far from the swatched dials for the model are left out.
        """
        if not (0 < wanted_mm < math.inf and 0 < tolerance_mm < wanted_mm):
            raise FabricError(
                f"wanted_mm, tolerance_mm: read {wanted_mm!r} and {tolerance_mm!r}; a size above 0 mm and a "
                "tolerance above 0 mm and below the size are accepted"
            )
        settings = settings_of(dials)
        if not self._known():
            return NO_SPECIMEN
        if self.centre is None:
            return _NO_DIAL
        settings = [dial for dial in settings if self._refuse_dial(dial) is None]
        z = np.array([dial - self.centre for dial in settings])
        both = self._both(z, True, BLOCKED)
        gauges = self._gauges(both, settings, True, BLOCKED)
        c = DIRECTIONS.index(direction)
        mean, sd = both[c]
        limits = np.log([wanted_mm - tolerance_mm, wanted_mm + tolerance_mm])
        below = grid.mixture_cdf(limits, mean[:, None], sd[:, None], self.nodes.weight)
        chance = below[:, 1] - below[:, 0]
        swatched = self._dials_read(c)
        first, last = (min(swatched), max(swatched)) if swatched else (math.inf, -math.inf)
        return tuple(
            Click(
                dial,
                gauge,
                float(chance[k]),
                not first - SAME_DIAL <= dial <= last + SAME_DIAL,
                abs((gauge.across if c == 0 else gauge.along).value - wanted_mm) <= tolerance_mm,
            )
            for k, (dial, gauge) in enumerate(zip(settings, gauges, strict=True))
        )

    def next_swatch(
        self,
        dials: DialScale | Sequence[float],
        chest_mm: float,
        sizes: Sequence[float],
        at: float | None = None,
    ) -> NextSwatch:
        """Find the dial and size of one more blocked swatch that narrows the next piece's width most.

        At each node the variance after the swatch does not depend on what it will show:
        V - V x x'V / (x'Vx + tau^2 + u^2); what the swatch would teach about tau is left out, so the gain is
        not overstated. u: readings each laid anew, tape and laying as assumed of a hand.

        dials     settings to choose from
        chest_mm  finished chest [mm], as the answer is wanted (flat or round)
        sizes     stitches between the markers to choose from
        at        dial that the pieces will be knitted at; None: every dial offered counts alike
        Settings within 1 mm of the narrowest count as equal: then the smallest swatch, then the narrowest.
        """
        settings = settings_of(dials)
        if not (0 < chest_mm < math.inf) or not sizes or not all(0 < size < math.inf for size in sizes):
            raise FabricError(
                f"chest_mm, sizes: read {chest_mm!r} and {list(sizes)!r}; a chest above 0 mm and at least "
                "one number of stitches above 0 are accepted"
            )
        centre = self.centre if self.centre is not None else sum(settings) / len(settings)
        z = np.array(settings) - centre
        target = z if at is None else np.array([at - centre])
        weight, tau, cov = self.nodes.weight, self.nodes.tau, self.nodes.cov[0]
        swatch, offset = self._rows(0, z, piece=False, stage=BLOCKED)
        wanted, _ = self._rows(0, target, piece=True, stage=BLOCKED)
        width_mm = np.exp(swatch @ self.nodes.mean[0].T @ weight + offset + self._centre_of_size(0))
        length = width_mm[:, None] * np.array(sizes, dtype=float)  # (M, K)
        u2 = _next_u2(length, self.assumptions)
        V_swatch = swatch @ cov  # (G, M, p)
        own = (V_swatch * swatch).sum(-1)  # (G, M)
        shared = V_swatch @ wanted.T  # (G, M, R)
        now = ((wanted @ cov) * wanted).sum(-1) + (self.assumptions.piece_share * tau[:, None]) ** 2  # (G, R)
        total = (own + tau[:, None] ** 2)[:, :, None] + u2  # (G, M, K)
        after = now[:, None, None, :] - shared[:, :, None, :] ** 2 / total[..., None]  # (G, M, K, R)
        now_mm = float(self._chest_interval(now[:, None], chest_mm).mean())
        after_mm = self._chest_interval(after.reshape(len(tau), -1, len(target)), chest_mm).mean(-1)
        options = tuple(
            SwatchOption(dial, float(size), float(interval))
            for (dial, size), interval in zip(
                ((dial, size) for dial in settings for size in sizes), after_mm, strict=True
            )
        )
        narrowest = min(option.interval_mm for option in options)
        best = min(
            (option for option in options if option.interval_mm <= narrowest + CHEST_STEP_MM),
            key=lambda option: (option.stitches, option.interval_mm, option.dial),
        )
        return NextSwatch(best.dial, best.stitches, best.interval_mm, now_mm, options)

    # ---- inside --------------------------------------------------------------------------------------------

    def _chest_interval(self, variances: Matrix, chest_mm: float) -> Matrix:
        """Length of the chest's 90 % interval [mm] for variances (G, L, R) about one centre -> (L, R)."""
        nodes, *shape = variances.shape
        sd = np.sqrt(variances.reshape(nodes, -1).T)
        half = grid.mixture_quantiles(np.zeros_like(sd), sd, self.nodes.weight, _TAILS[2:])[:, 0]
        return chest_mm * 2 * np.sinh(half).reshape(shape)

    def _known(self) -> bool:
        return bool(self.table.seen.any())

    def _place(self, key: str) -> int:
        for place, specimen in enumerate(self.specimens):
            if specimen.key == key:
                return place
        keys = ", ".join(specimen.key for specimen in self.specimens) or "none: nothing was fitted"
        raise FabricError(f"key: read {key!r}; one of the fitted specimens is accepted ({keys})")

    def _cannot_carry(self, key: str) -> CannotSay:
        return CannotSay("cannot_carry", piece=key)

    def _refuse_dial(self, dial: float | None) -> CannotSay | None:
        if not self._known():
            return NO_SPECIMEN
        if dial is None:
            return None
        if not math.isfinite(dial):
            raise FabricError(f"dial: read {dial!r}; a dial number is accepted")
        if self.centre is None:
            return _NO_DIAL
        away = dial - self.centre
        if any(1 + slope * away <= grid.LEAST_STRETCH for slope in self.nodes.beta0.tolist()):
            return CannotSay("dial_too_far", dial=dial, centre=self.centre)
        return None

    @property
    def apart(self) -> bool:
        """Whether pieces were knitted at a dial that nobody said."""
        return bool(self.table.apart.any())

    def _z(self, dial: float | None) -> float:
        """Dial less the centre dial; nan for that of the pieces whose dial nobody said."""
        if dial is None and self.apart:
            return math.nan
        return 0.0 if dial is None or self.centre is None else dial - self.centre

    def _centre_of_size(self, c: int) -> float:
        return self.assumptions.size(DIRECTIONS[c]).mean

    def _rows(self, c: int, z: Matrix, piece: bool, stage: str) -> tuple[Matrix, Matrix]:
        """Design rows (M, p) and offsets (M,) of the next specimen at z (M,)."""
        apart = np.isnan(z)
        offset, gradient = grid.linear_dial(self.nodes.beta0[c : c + 1, None], np.where(apart, 0.0, z))
        x = np.zeros((len(z), self.table.m0.shape[1]))
        x[:, 0], x[:, 1], x[:, 2] = 1, gradient[0], piece
        x[apart, :3], x[apart, -1] = 0, 1
        if stage != BLOCKED:
            x[:, 2 + self.stages.index(stage)] = -1
        return x, offset[0]

    def _predict(self, c: int, z: Matrix, piece: bool, stage: str) -> tuple[Matrix, Matrix]:
        """Means and SDs (M, G) of ln(size) of the next specimen at z (M,)."""
        x, offset = self._rows(c, z, piece, stage)
        mean = x @ self.nodes.mean[c].T + (offset + self._centre_of_size(c))[:, None]
        var = ((x @ self.nodes.cov[c]) * x).sum(-1).T
        share = self.assumptions.piece_share if piece else 1.0
        var = var + (share * self.nodes.tau) ** 2
        if stage != BLOCKED:
            var = var + self.nodes.tau_change**2
        return mean, np.sqrt(var)

    def _both(self, z: Matrix, piece: bool, stage: str) -> list[tuple[Matrix, Matrix]]:
        """What `_predict` says, in both directions."""
        return [self._predict(c, z, piece, stage) for c in range(2)]

    def _own(self, c: int, places: Sequence[int]) -> tuple[Matrix, Matrix, Matrix]:
        """Some specimens' own ln(size): weights f (G, M, p) on theta, means (G, M), variances (G, M) at each node.

        eta = x'theta + c 1'D(y - X theta), extra variance c: f = x - c a.
        """
        nodes = self.nodes
        extra = nodes.c[c][:, places]
        f = nodes.x[c, places] - extra[..., None] * nodes.a[c][:, places]
        mean = (f @ nodes.mean[c][..., None])[..., 0] + extra * nodes.t[c][:, places]
        mean = mean + nodes.offset[c, places] + self._centre_of_size(c)
        return f, mean, ((f @ nodes.cov[c]) * f).sum(-1) + extra

    def _leans(self, c: int, place: int) -> tuple[str, ...]:
        """Codes of what a specimen's own size leans on that nothing measured here supports."""
        seen, given = self.table.seen[c, place], self.specimens[place]
        if seen[0]:
            return ()
        if not seen.any():
            return self._assumed(c, [given.dial], given.piece, BLOCKED)[0]
        read = [self.stages[k] for k in np.flatnonzero(seen)]
        return tuple(f"change:{stage}" for stage in read if not self._paired(c, stage))

    def _sizes(
        self,
        both: Sequence[tuple[Matrix, Matrix]],
        assumed: Sequence[Sequence[tuple[str, ...]]],
        read: Sequence[Sequence[bool]],
    ) -> list[list[StitchSize]]:
        """Sizes of each direction from node means and SDs (M, G).

        assumed, read  per size what it leans on, and whether it was read itself
        """
        mean, sd = (np.concatenate(each) for each in zip(*both, strict=True))
        log = grid.mixture_quantiles(mean, sd, self.nodes.weight, _TAILS)
        moments = (each.tolist() for each in grid.mixture_moments(mean, sd, self.nodes.weight))
        sizes: list[StitchSize] = []
        flat = (chain(*assumed), chain(*read), np.exp(log).tolist())
        for codes, seen, (low, middle, high), centre, spread in zip(*flat, *moments, strict=True):
            known = seen or "size" not in codes
            basis: Basis = ("mixed" if codes else "measured") if known else "assumed"
            sizes.append(StitchSize(middle, low, high, LEVEL, centre, spread, basis, codes))
        first = len(both[0][0])
        return [sizes[:first], sizes[first:]]

    def _gauges(
        self, both: Sequence[tuple[Matrix, Matrix]], dials: Sequence[float | None], piece: bool, stage: str
    ) -> list[Gauge]:
        """Gauges at some dials from what `_both` says of them."""
        assumed = [self._assumed(c, dials, piece, stage) for c in range(2)]
        sizes = self._sizes(both, assumed, [[False] * len(dials)] * 2)
        return [Gauge(w, h, dial, piece, stage) for w, h, dial in zip(*sizes, dials, strict=True)]

    def _dials_read(self, c: int) -> list[float]:
        """Dials at which something was read in a direction."""
        read = self.table.seen[c].any(-1)
        return [s.dial for s, seen in zip(self.specimens, read, strict=True) if seen and s.dial is not None]

    def _paired(self, c: int, stage: str) -> int:
        """Count the specimens read both at a stage and blocked."""
        if stage not in self.stages:
            return 0
        seen = self.table.seen[c]
        return int((seen[:, 0] & seen[:, self.stages.index(stage)]).sum())

    def _assumed(self, c: int, dials: Sequence[float | None], piece: bool, stage: str) -> list[tuple[str, ...]]:
        """Codes of what a prediction at each dial leans on that nothing measured here supports."""
        seen = self.table.seen[c]
        if not seen.any():
            return [("size",)] * len(dials)
        codes = []
        told = seen[(self.table.piece > 0) & ~self.table.apart].any() or DIRECTIONS[c] in self.assumptions.shift_known
        if piece and not told and not (self.apart and None in dials):
            codes.append("piece_shift")
        if stage != BLOCKED and not self._paired(c, stage):
            codes.append(f"change:{stage}")
        if stage == BLOCKED and not seen[:, 0].any():
            codes += [f"change:{s}" for k, s in enumerate(self.stages) if seen[:, k].any()]
        usual, read = tuple(codes), set(self._dials_read(c))
        elsewhere = [dial is not None and all(abs(dial - known) > SAME_DIAL for known in read) for dial in dials]
        sloping = any(elsewhere) and self.slope(DIRECTIONS[c]).share_from_data < 0.5
        return [("slope", *usual) if sloping and far else usual for far in elsewhere]


_TAILS = np.array([0.5 - LEVEL / 2, 0.5, 0.5 + LEVEL / 2])
NO_SPECIMEN = CannotSay("no_specimen")
_NO_DIAL = CannotSay("no_dial")


def _next_u2(length_mm: Matrix, assumptions: Assumptions) -> Matrix:
    """Relative variance of the next swatch's mean, each reading laid anew."""
    k = assumptions.next_readings
    reading2 = TAPE.reading_mm**2 + (TAPE.reading_share * length_mm) ** 2
    laying2 = TAPE.laying_mm**2 + (TAPE.laying_share * length_mm) ** 2
    return ((reading2 + laying2) / k + assumptions.next_resolution_mm**2 / 12) / length_mm**2


def fit_fabric(specimens: Iterable[Specimen], assumptions: Assumptions = DEFAULT) -> Fabric:
    """Fit the fabric model to swatches and pieces of one fabric.

    One fabric: equal yarn, strands, machine, carriage, tension, weights, stitch pattern and treatment; the
    caller groups what is equal. From none to dozens of specimens.

    Raises FabricError for sizes, counts or uncertainties that cannot be, and for names used twice.
    """
    given = tuple(specimens)
    laid = lay_out(given, assumptions)
    return Fabric(assumptions, given, laid.centre, laid.stages, laid.uncarried, laid.table, grid.solve(laid.table))
