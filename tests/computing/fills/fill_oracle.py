"""The fill plan as a mixed-integer program, solved by HiGHS: an independent second opinion.

It knows single containers, single grades and single pours, and nothing of the way in which the
product searches. Tiers are solved one after the other, each with the ones before it held.
Solver: HiGHS (Huangfu and Hall 2018) through scipy.optimize.milp.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from longdry.model.plan.fills import FillProblem
from longdry.model.words import ContainerGrade, Grade

SLACK = 1e-5
BETWEEN_KM = 0.001
"""Between two waters of one place, so that no more is borne there than must be."""


class Program:
    """Rows and columns of a mixed-integer program, by name."""

    def __init__(self):
        self.lower, self.upper, self.whole = [], [], []
        self.rows, self.low, self.high = [], [], []

    def var(self, upper=np.inf, *, whole=False, lower=0.0):
        """Add a column; give its index."""
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(int(whole))
        return len(self.lower) - 1

    def row(self, terms, low=-np.inf, high=np.inf):
        """Hold low <= sum of coefficient times column <= high."""
        merged = defaultdict(float)
        for coefficient, column in terms:
            merged[column] += coefficient
        self.rows.append(merged)
        self.low.append(low)
        self.high.append(high)

    def least(self, terms):
        """Make a sum least; give its value and the columns."""
        cost = np.zeros(len(self.lower))
        for coefficient, column in terms:
            cost[column] += coefficient
        data = [v for row in self.rows for v in row.values()]
        cols = [c for row in self.rows for c in row]
        starts = np.cumsum([0] + [len(row) for row in self.rows])
        matrix = csr_array((data, cols, starts), shape=(len(self.rows), len(cost)))
        for presolve in (True, False):
            found = milp(
                cost,
                integrality=np.array(self.whole),
                bounds=Bounds(np.array(self.lower), np.array(self.upper)),
                constraints=LinearConstraint(matrix, np.array(self.low), np.array(self.high)),
                options={"mip_rel_gap": 0.0, "presolve": presolve},
            )
            if found.x is not None:
                break
        assert found.x is not None, found.message
        return found.fun, found.x


def best_verdicts(problem: FillProblem):
    """Give the objective up to the order of the verdicts."""
    return Oracle(problem).verdicts()


def best_objective(problem: FillProblem):
    """Give the objective: counts, litres missing, reserve short, order, litre-km, fills."""
    return Oracle(problem).solve()


class Oracle:
    """The program of one problem."""

    def __init__(self, problem):
        self.problem = problem
        self.program = Program()
        room = sum(v.size_l for v in problem.vessels)
        most = max([0.0] + [leg.full.total_l + leg.reserve.total_l for leg in problem.legs])
        self.big = room + most + 1.0
        self.holds = [
            sum(v.holds_l for v in problem.vessels if v.holds_grade is grade)
            for grade in (Grade.POTABLE, Grade.TREAT)
        ]
        self.board = None
        self.tainted = [
            self._fixed(v.holds_grade is Grade.TREAT and not v.cleanable) for v in problem.vessels
        ]
        self.legs = [self._stage(k) for k in range(len(problem.legs))]

    def _fixed(self, value):
        return self.program.var(float(value), lower=float(value))

    def _stage(self, k):
        leaving, taken = self._stop(k)
        return self._leg(k, leaving) | {"leaving": leaving, "taken": taken}

    def _stop(self, k):
        """Containers and pours at stop k; give (potable, lower) on leaving and the fill mark."""
        p, stop = self.program, self.problem.stops[k]
        arriving = self.board or [self._fixed(h) for h in self.holds]
        usable = stop.grade is not None
        limit = 1000.0 if stop.limit_l is None else stop.limit_l
        if k == 0 and (not usable or limit == 0.0):
            return arriving, self._fixed(0)
        is_potable = usable and stop.grade is Grade.POTABLE
        is_lower = usable and stop.grade is Grade.TREAT
        treat = 1000.0 if stop.treat_l is None else stop.treat_l
        take_p = p.var(limit if is_potable else 0.0)
        take_u = p.var(limit if is_lower else 0.0)
        treated = p.var(treat if is_lower else 0.0)
        lowered, left_p, left_u = p.var(), p.var(), p.var()
        potable, lower = p.var(), p.var()
        p.row([(-1, potable), (1, arriving[0]), (1, take_p), (1, treated), (-1, lowered),
               (-1, left_p)], 0, 0)  # fmt: skip
        p.row([(-1, lower), (1, arriving[1]), (1, take_u), (-1, treated), (1, lowered),
               (-1, left_u)], 0, 0)  # fmt: skip
        taken = p.var(1, whole=True)
        p.row([(1, take_p), (1, take_u), (1, treated), (-3 * self.big, taken)], high=0)
        self._containers(potable, lower)
        return [potable, lower], taken

    def _containers(self, potable, lower):
        p = self.program
        inside = ([], [])
        by_carrier = defaultdict(list)
        for i, vessel in enumerate(self.problem.vessels):
            clean = p.var(vessel.size_l)
            inside[0].append((1, clean))
            by_carrier[vessel.carrier].append((1, clean))
            if vessel.grade is ContainerGrade.POTABLE:
                continue
            dirty, mark = p.var(vessel.size_l), p.var(1, whole=True)
            inside[1].append((1, dirty))
            by_carrier[vessel.carrier].append((1, dirty))
            p.row([(1, dirty), (-vessel.size_l, mark)], high=0)
            p.row([(1, clean), (vessel.size_l, mark)], high=vessel.size_l)
            if not vessel.cleanable:
                p.row([(1, mark), (-1, self.tainted[i])], low=0)
                self.tainted[i] = mark
        p.row([*inside[0], (-1, potable)], 0, 0)
        p.row([*inside[1], (-1, lower)], 0, 0)
        for carrier in self.problem.carriers:
            tare = sum(v.tare_kg for v in self.problem.vessels if v.carrier == carrier.name)
            if by_carrier[carrier.name]:
                p.row(by_carrier[carrier.name], high=max(0.0, carrier.payload_left_kg - tare))

    def _leg(self, k, leaving):
        """Uses, rations and reserve of leg k."""
        p, leg, big = self.program, self.problem.legs[k], self.big
        full, lean, bare, dead = (p.var(1, whole=True) for _ in range(4))
        p.row([(1, full), (1, lean), (1, bare), (1, dead)], 1, 1)
        rations = ((full, leg.full), (lean, leg.lean), (bare, leg.bare), (dead, leg.bare))
        treat = 1000.0 if leg.treat_l is None else leg.treat_l
        clean_p, clean_q, treated, dirty_q = p.var(), p.var(), p.var(treat), p.var()
        miss_p, miss_q, lost_p, lost_u = p.var(), p.var(), p.var(), p.var()
        p.row([(1, clean_p), (1, treated), (1, miss_p)]
              + [(-n.potable_l, mark) for mark, n in rations], 0, 0)  # fmt: skip
        p.row([(1, clean_q), (1, dirty_q), (1, miss_q)]
              + [(-(n.treat_l + n.any_l), mark) for mark, n in rations], 0, 0)  # fmt: skip
        p.row([(1, miss_p), (1, miss_q), (1, lost_p), (1, lost_u), (-3 * big, dead)], high=0)
        potable, lower = p.var(), p.var()
        p.row([(-1, potable), (1, leaving[0]), (-1, clean_p), (-1, clean_q), (-1, lost_p)], 0, 0)
        p.row([(-1, lower), (1, leaving[1]), (-1, treated), (-1, dirty_q), (-1, lost_u)], 0, 0)
        p.row([(1, potable), (1, lower), (2 * big, dead)], high=2 * big)
        self.board = [potable, lower]
        short = self._reserve(leg, dead)
        into = p.var(1, whole=True)
        p.row([(1, short), (-big, into), (-big, lean), (-big, bare), (-big, dead)], high=0)
        return {"marks": (dead, bare, lean, into), "missing": (miss_p, miss_q), "short": short,
                "arriving": self.board, "all": (full, lean, bare, dead, into)}  # fmt: skip

    def _reserve(self, leg, dead):
        p, (potable, lower) = self.program, self.board
        treat = 1000.0 if leg.reserve_treat_l is None else leg.reserve_treat_l
        clean_p, clean_q, treated, dirty_q = p.var(), p.var(), p.var(treat), p.var()
        short_p, short_q, short = p.var(), p.var(), p.var()
        lower_l = leg.reserve.treat_l + leg.reserve.any_l
        p.row([(1, clean_p), (1, treated), (1, short_p)], leg.reserve.potable_l, np.inf)
        p.row([(1, clean_q), (1, dirty_q), (1, short_q)], lower_l, np.inf)
        p.row([(1, clean_p), (1, clean_q), (-1, potable)], high=0)
        p.row([(1, treated), (1, dirty_q), (-1, lower)], high=0)
        p.row([(1, short), (-1, short_p), (-1, short_q), (self.big, dead)], low=0)
        return short

    def verdicts(self):
        """Solve the tiers of the verdicts, the first first; hold them from now on."""
        legs = self.legs
        weights = (9**3, 9**2, 9, 1)
        counted = [(w, m) for leg in legs for w, m in zip(weights, leg["marks"], strict=True)]
        value, x = self.held(counted, whole=True)
        counts = [round(sum(x[leg["marks"][j]] for leg in legs)) for j in range(4)]
        missing = short = 0.0
        order = 0
        if counts[0]:
            missing, x = self.held([(1, m) for leg in legs for m in leg["missing"]])
        if value:
            short, x = self.held([(1, leg["short"]) for leg in legs])
            order, x = self._order()
        for column in (c for leg in legs for c in leg["all"]):
            self.program.lower[column] = self.program.upper[column] = round(x[column])
        return (*counts, missing, short, order)

    def solve(self):
        """Solve all tiers."""
        verdicts, legs = self.verdicts(), self.legs
        litre_km, _ = self.held([
            (max(leg.km, BETWEEN_KM) / 2.0, column)
            for leg, found in zip(self.problem.legs, legs, strict=True)
            for column in (*found["leaving"], *found["arriving"])
        ])  # fmt: skip
        fills, _ = self.held([(1, leg["taken"]) for leg in legs], whole=True)
        return (*verdicts, litre_km, round(fills))

    def _order(self):
        severity = (4, 3, 2, 1)
        order = 0
        for part in (range(4, len(self.legs)), range(min(4, len(self.legs)))):
            terms = [
                (s * 5**k, m)
                for k in part
                for s, m in zip(severity, self.legs[k]["marks"], strict=True)
            ]
            scale = 5 ** min(part, default=0)
            value, x = self.held([(w / scale, m) for w, m in terms], whole=True)
            order += round(value) * scale
        return order, x

    def held(self, terms, *, whole=False):
        """Make a tier least and hold it from now on."""
        if not terms:
            return 0.0, None
        value, x = self.program.least(terms)
        value = round(value) if whole else value
        self.program.row(terms, high=value + (0.5 if whole else SLACK))
        return value, x
