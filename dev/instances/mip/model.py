#!/usr/bin/env python3
"""The planner's problem written for general solvers: HiGHS and OR-tools CP-SAT. For developers only.

    model.py PROBLEM.json --solver highs|cpsat --seconds 60 [--threads 2] --out RESULTS.jsonl

One frame (the days and foci of our best plan) is given to the solver, which makes its task easier than ours. A
variable for each exercise, mode, sets and session carries time, dose and price; a variable for each pair ties two of
them into a block. Benefit and strain price are tangents drawn from the optimistic side, closer than 0.001 points, so
a solver's bound holds for the frame, and its plan is valued again by `bench --evaluate`. The order of blocks is left
out: a plan that no order keeps is found out by that valuation.
"""

import argparse
import json
import math
import time

STRAIGHT, ALTERNATING, SAME_FIRST, SAME_SECOND = range(0, 4), range(4, 7), range(7, 9), 2
FINE = 1000  # tangents are whole numbers in 1/1000 of a millionth a unit


class Model:
    """Whole-number variables and rows, before they belong to a solver."""

    def __init__(self):
        self.low, self.high, self.gain, self.whole = [], [], [], []
        self.rows = []  # (least or None, most or None, [(variable, factor)])

    def variable(self, low, high, gain=0, whole=True):
        self.low.append(low)
        self.high.append(high)
        self.gain.append(gain)
        self.whole.append(whole)
        return len(self.low) - 1

    def row(self, terms, least=None, most=None):
        self.rows.append((least, most, [(v, f) for v, f in terms if f != 0]))


class Problem(Model):
    """The model of a problem."""

    def __init__(self, data):
        super().__init__()
        self.data = data
        self.sessions = range(len(data["days"]))
        self.lifts = data["lifts"]
        self.items = {}  # (session, lift, mode, sets) -> variable
        self.pairs = {}  # (session, first, second, mode, sets) -> variable
        for s in self.sessions:
            self.add_items(s)
            self.add_pairs(s)
            self.add_session_rules(s)
        self.add_doses()
        self.add_cycle_rules()
        self.add_locks()

    def items_of(self, s, keep=lambda lift, mode, sets: True):
        return [
            (v, l, choice)
            for l, lift in enumerate(self.lifts)
            for choice in lift["choices"]
            if (v := self.items.get((s, l, choice[0], choice[1]))) is not None
            and keep(l, choice[0], choice[1])
        ]

    def add_items(self, s):
        tables = self.data["tables"]
        for l, lift in enumerate(self.lifts):
            if self.data["eligible"][s][l]:
                for mode, sets, length, _, _ in lift["choices"]:
                    price = tables["exercise_price"] + tables["time_price"] * length
                    self.items[s, l, mode, sets] = self.variable(0, 1, -price)

    def add_pairs(self, s):
        """Who stands with whom: every item in a pair has one partner."""
        partners = {}
        tables = [(self.data["may_alternate"], ALTERNATING, 0), (self.data["may_share_muscle"], SAME_FIRST, SAME_SECOND)]
        for pairs, modes, step in tables:
            for a, b in pairs:
                for mode in modes:
                    for sets in range(1, 6):
                        first, second = (s, a, mode, sets), (s, b, mode + step, sets)
                        if first in self.items and second in self.items:
                            v = self.variable(0, 1)
                            self.pairs[s, a, b, mode, sets] = v
                            partners.setdefault(first, []).append(v)
                            partners.setdefault(second, []).append(v)
        for key, item in self.items.items():
            if key[0] == s and key[2] not in STRAIGHT:
                self.row([(v, 1) for v in partners.get(key, [])] + [(item, -1)], 0, 0)

    def add_session_rules(self, s):
        data = self.data
        items = self.items_of(s)
        for l in range(len(self.lifts)):
            own = [(v, 1) for v, lift, _ in items if lift == l]
            if own:
                self.row(own, most=1)
        self.row([(v, 1) for v, _, _ in items], most=data["most_exercises"])
        for k in range(3):
            costs = [(v, self.lifts[l]["costs"][k] * c[1]) for v, l, c in items]
            self.row(costs, most=data["most"][k])
        locked = {lock["lift"] for lock in data["locks"]}
        for pattern, most in enumerate(data["variants"]):
            own = [(v, 1) for v, l, _ in items if self.lifts[l]["pattern"] == pattern and l not in locked]
            if own:
                self.row(own, most=most)
        self.add_time(s, items)
        if data["balanced"][s]:
            self.add_balances([s])

    def add_time(self, s, items):
        """Blocks, the longer ramp of the first lift of each family, and the start when anything is ramped."""
        data = self.data
        length = [(v, c[2]) for v, _, c in items]
        start = self.variable(0, 1, -data["tables"]["time_price"] * data["start"])
        length.append((start, data["start"]))
        ramped = [(v, l, c) for v, l, c in items if self.lifts[l]["family"] is not None]
        for family in {self.lifts[l]["family"] for _, l, _ in ramped}:
            own = [(v, l, c) for v, l, c in ramped if self.lifts[l]["family"] == family]
            own.sort(key=lambda i: self.lifts[i[1]]["rank"])
            leads = []
            for position, (v, l, c) in enumerate(own):
                lead = self.variable(0, 1, -data["tables"]["time_price"] * c[3])
                length.append((lead, c[3]))
                self.row([(lead, 1), (v, -1)], most=0)
                leads.append((lead, 1))
                last = position + 1 == len(own) or own[position + 1][1] != l
                if last:
                    present = [(w, -1) for w, m, _ in own if m == l]
                    self.row(leads + present, least=0)
        for l in {l for _, l, _ in ramped}:
            self.row([(start, 1)] + [(v, -1) for v, m, _ in ramped if m == l], least=0)
        self.row(length, most=data["minutes"][s])

    def sides(self, sessions):
        out = [[], [], [], []]
        for s in sessions:
            for v, l, c in self.items_of(s):
                if self.lifts[l]["side"] is not None:
                    out[self.lifts[l]["side"]].append((v, c[1]))
        return out

    def add_balances(self, sessions):
        """The lesser side has at least three fifths of the greater, less the slack."""
        sides = self.sides(sessions)
        for k, applies in enumerate(self.data["balances"]):
            for a, b in [(2 * k, 2 * k + 1), (2 * k + 1, 2 * k)]:
                if applies:
                    terms = [(v, 5 * n) for v, n in sides[a]] + [(v, -3 * n) for v, n in sides[b]]
                    self.row(terms, least=-5 * self.data["balance_slack"])

    def add_doses(self):
        data, tables = self.data, self.data["tables"]
        self.raw = {}
        for m in range(len(data["muscles"])):
            quality, raw_all = [], []
            for s in self.sessions:
                raw = []
                for v, l, c in self.items_of(s):
                    q = dict(map(tuple, self.lifts[l]["quarters"])).get(m)
                    if q:
                        raw.append((v, q * c[1]))
                        quality.append((v, q * c[4]))
                self.raw[m, s] = raw
                raw_all += raw
            if not raw_all:
                continue
            if tables["least"][m] > 0 or tables["most"][m] is not None:
                self.row(raw_all, least=tables["least"][m], most=tables["most"][m])
            self.add_benefit(m, quality)
            for to in self.sessions:
                self.add_strain(m, to)

    def add_benefit(self, m, quality):
        weight = self.data["tables"]["weight_1024"][m] / 1024
        if weight == 0:
            return
        per_unit = 7 / self.data["cycle_days"] / self.data["units"]["dose"]
        scale = weight * self.data["units"]["point"]
        most = min(sum(f for _, f in quality), 120 * 256)
        benefit = lambda d: scale * math.sqrt(per_unit * d)
        v = self.variable(0, math.ceil(benefit(most)) + 1, 1, whole=False)
        # Nothing is worth nothing, and no set gives less than the least item: a chord, then tangents.
        dose = float(min(f for _, f in quality if f > 0))
        chord = math.ceil((benefit(dose) + 2) / dose * FINE)
        self.row([(v, FINE)] + [(w, -chord * f) for w, f in quality], most=0)
        while dose < most * 1.2:
            slope = benefit(dose) / (2 * dose)
            constant = benefit(dose) / 2 + 2  # two millionths for the rounding of the planner's table
            a, b = math.ceil(slope * FINE), math.ceil(constant * FINE)
            self.row([(v, FINE)] + [(w, -a * f) for w, f in quality], most=b)
            dose *= 1.12

    def add_strain(self, m, to):
        """Ceiling, and price by tangents from below."""
        data, tables = self.data, self.data["tables"]
        terms = [(v, f * data["carry"][m][s][to]) for s in self.sessions for v, f in self.raw[m, s]]
        if not terms:
            return
        self.row(terms, most=tables["strain_max"])
        factor, free, top = tables["strain_factor"][m], tables["free_strain"], tables["strain_max"]
        if factor == 0 or top <= free:
            return
        price = self.variable(0, math.ceil(factor * (top - free) ** 2) + 2, -1, whole=False)
        at = free + data["units"]["strain"] / 8
        while at <= top:
            over = at - free
            slope = math.floor(2 * factor * over * FINE)
            constant = math.floor((factor * over * over - 2 * factor * over * at - 1) * FINE) - 1
            # the slope was rounded down: at strains up to the top that only lowers the price
            self.row([(price, FINE)] + [(v, -slope * f) for v, f in terms], least=constant)
            at += data["units"]["strain"] / 4

    def add_cycle_rules(self):
        data = self.data
        self.add_balances(self.sessions)
        heavy = {}
        for s in self.sessions:
            own = [(v, 1) for v, l, _ in self.items_of(s) if self.lifts[l]["spine_heavy"]]
            heavy[s] = self.variable(0, 1)
            self.row(own + [(heavy[s], -data["most_spine_heavy"])], most=0)
        for a, b in data["spine_pairs"]:
            self.row([(heavy[a], 1), (heavy[b], 1)], most=1)
        for m, least in enumerate(data["sessions_least"]):
            if least > 0:
                trained = []
                for s in self.sessions:
                    t = self.variable(0, 1)
                    self.row([(t, -data["trained_quarters"])] + self.raw[m, s], least=0)
                    trained.append((t, 1))
                self.row(trained, least=least)

    def add_locks(self):
        for lock in self.data["locks"]:
            where = self.sessions if lock["session"] is None else [lock["session"]]
            fits = lambda sets: lock["sets"] is None or lock["sets"] == sets
            l, other = lock["lift"], lock["with"]
            if other is None:
                terms = [(v, 1) for s in where for v, m, c in self.items_of(s) if m == l and fits(c[1])]
            else:
                terms = [(v, 1) for (s, a, b, _, n), v in self.pairs.items()
                         if s in where and {a, b} == {l, other} and fits(n)]
            self.row(terms, least=1)

    def plan(self, value):
        """Blocks by session of a solution; `value` gives the value of a variable."""
        taken = lambda v: value(v) > 0.5
        sessions = [[] for _ in self.sessions]
        for (s, l, mode, sets), v in self.items.items():
            if mode in STRAIGHT and taken(v):
                sessions[s].append([l, None, sets, mode])
        for (s, a, b, mode, sets), v in self.pairs.items():
            if taken(v):
                sessions[s].append([a, b, sets, mode])
        return sessions


def solve_highs(problem, seconds, threads):
    import highspy
    import numpy as np

    h = highspy.Highs()
    h.setOptionValue("time_limit", float(seconds))
    h.setOptionValue("threads", threads)
    h.setOptionValue("mip_rel_gap", 0.0)
    h.setOptionValue("output_flag", False)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(problem.low), len(problem.rows)
    lp.sense_ = highspy.ObjSense.kMaximize
    # Columns of value and strain price in points, and rows by their greatest factor, so that no number is huge.
    point = problem.data["units"]["point"]
    unit = np.array([1.0 if whole else point for whole in problem.whole])
    lp.col_cost_ = np.array(problem.gain, dtype=float) * unit / point
    lp.col_lower_ = np.array(problem.low, dtype=float) / unit
    lp.col_upper_ = np.array(problem.high, dtype=float) / unit
    lp.integrality_ = [highspy.HighsVarType.kInteger if w else highspy.HighsVarType.kContinuous for w in problem.whole]
    starts, index, factors, lower, upper = [0], [], [], [], []
    for least, most, terms in problem.rows:
        scale = max((abs(f) * unit[v] for v, f in terms), default=1)
        index += [v for v, _ in terms]
        factors += [f * unit[v] / scale for v, f in terms]
        lower.append(-highspy.kHighsInf if least is None else least / scale)
        upper.append(highspy.kHighsInf if most is None else most / scale)
        starts.append(len(index))
    lp.row_lower_, lp.row_upper_ = np.array(lower), np.array(upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    lp.a_matrix_.index_ = np.array(index, dtype=np.int32)
    lp.a_matrix_.value_ = np.array(factors)
    h.passModel(lp)
    h.run()
    info = h.getInfo()
    solved = info.primal_solution_status == 2
    solution = h.getSolution().col_value if solved else None
    bound = info.mip_dual_bound
    return {
        "status": h.modelStatusToString(h.getModelStatus()),
        "claimed": info.objective_function_value if solved else None,
        "bound": bound if math.isfinite(bound) else None,
        "plan": problem.plan(lambda v: solution[v]) if solved else None,
    }


def solve_cpsat(problem, seconds, threads):
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    variables = [model.new_int_var(l, h, "") for l, h in zip(problem.low, problem.high)]
    largest = 1 << 50
    for least, most, terms in problem.rows:
        domain = cp_model.Domain(-largest if least is None else least, largest if most is None else most)
        vs, fs = [variables[v] for v, _ in terms], [f for _, f in terms]
        model.add_linear_expression_in_domain(cp_model.LinearExpr.weighted_sum(vs, fs), domain)
    priced = [(variables[v], g) for v, g in enumerate(problem.gain) if g]
    model.maximize(cp_model.LinearExpr.weighted_sum([v for v, _ in priced], [g for _, g in priced]))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = threads
    status = solver.solve(model)
    solved = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    point = problem.data["units"]["point"]
    bound = solver.best_objective_bound
    return {
        "status": solver.status_name(status),
        "claimed": solver.objective_value / point if solved else None,
        # It says 0 when it knows nothing.
        "bound": bound / point if bound != 0 and abs(bound) < 1e15 else None,
        "plan": problem.plan(lambda v: solver.value(variables[v])) if solved else None,
    }


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("problem")
    parser.add_argument("--solver", choices=["highs", "cpsat"], required=True)
    parser.add_argument("--out", required=True, help="a line of JSON is added to this file")
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--threads", type=int, default=2)
    arguments = parser.parse_args()
    with open(arguments.problem) as file:
        data = json.load(file)
        if data.get("version", 1) != 1:
            raise SystemExit("this model holds the first value; the problem is written for the second (docs/models.md)")
    start = time.monotonic()
    problem = Problem(data)
    built = time.monotonic()
    solve = {"highs": solve_highs, "cpsat": solve_cpsat}[arguments.solver]
    result = solve(problem, arguments.seconds, arguments.threads)
    result |= {key: data[key] for key in ["name", "size", "seed", "days"]}
    result |= {
        "solver": arguments.solver,
        "columns": len(problem.low),
        "rows": len(problem.rows),
        "build_s": round(built - start, 2),
        "solve_s": round(time.monotonic() - built, 2),
        "ours": data["ours"]["value"] / data["units"]["point"],
    }
    with open(arguments.out, "a") as file:
        file.write(json.dumps(result) + "\n")


if __name__ == "__main__":
    main()
