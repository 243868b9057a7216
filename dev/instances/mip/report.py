#!/usr/bin/env python3
"""The table of a benchmark, in Markdown: report.py OURS.tsv OUTSIDE.jsonl

OURS.tsv is what `bench` printed, OUTSIDE.jsonl what `bench --evaluate` printed of the other solvers' plans.
"""

import json
import re
import statistics
import sys

BOUND = re.compile(r"# (.+): best value ([\d.]+), bound ([\d.]+), gap .*, \d+ rounds in ([\d.]+) s")


def ours(path):
    """By instance: runs by rounded number of moves, the best value, the bound and its seconds."""
    runs, bounds = {}, {}
    with open(path) as file:
        for line in file:
            if match := BOUND.match(line):
                bounds[match[1]] = tuple(map(float, match.groups()[1:]))
            elif not line.startswith(("#", "instance")):
                name, _, _, moves, value, short, seconds, speed = line.split("\t")
                budget = round(int(moves), -4)
                run = (float(value) if short == "0" else None, float(seconds), float(speed))
                runs.setdefault(name, {}).setdefault(budget, []).append(run)
    return runs, bounds


def outside(path):
    with open(path) as file:
        return {(d["name"], d["solver"]): d for d in map(json.loads, filter(str.strip, file))}


def cell(value, form="{:.2f}"):
    return "none" if value is None else form.format(value)


def row(*cells):
    print("| " + " | ".join(cells) + " |")


def finder(runs):
    row("instance", "moves", "seconds", "moves a second", "worst", "median", "best", "seeds within 1 % of the best known")
    row(*["--"] * 8)
    for name, budgets in runs.items():
        known = max((v for many in budgets.values() for v, _, _ in many if v is not None), default=None)
        for budget, many in sorted(budgets.items()):
            values = [v for v, _, _ in many if v is not None]
            near = sum(v >= known - 0.01 * abs(known) for v in values) if values else 0
            row(
                name,
                f"{budget:,}",
                cell(statistics.median(s for _, s, _ in many)),
                f"{statistics.median(m for _, _, m in many):,.0f}",
                cell(min(values, default=None)),
                cell(statistics.median(values) if values else None),
                cell(max(values, default=None)),
                f"{near} of {len(many)}",
            )


def side_by_side(runs, bounds, others):
    print()
    row("instance", "ours: median value", "seconds", "bound", "gap", "HiGHS: value", "bound", "gap",
        "CP-SAT: value", "bound", "gap", "ours / HiGHS", "ours / CP-SAT")
    row(*["--"] * 13)
    for name, budgets in runs.items():
        many = budgets[max(budgets)]
        values = [v for v, _, _ in many if v is not None]
        median = statistics.median(values) if values else None
        best, bound, bound_s = bounds.get(name, (None, None, 0.0))
        seconds = statistics.median(s for _, s, _ in many)
        cells = [name, cell(median), f"{seconds:.2f} + {bound_s:.1f}", cell(bound), gap(best, bound)]
        ratios = []
        for solver in ["highs", "cpsat"]:
            d = others.get((name, solver), {})
            value, limit = d.get("value"), d.get("bound")
            cells += [cell(value), cell(limit), gap(value, limit)]
            ratios.append("none found" if value is None or median is None else f"{median / value:.3f}")
        row(*cells, *ratios)


def gap(value, bound):
    return "none" if value is None or bound is None else f"{100 * (bound - value) / abs(bound):.1f} %"


def main():
    runs, bounds = ours(sys.argv[1])
    others = outside(sys.argv[2])
    finder(runs)
    side_by_side(runs, bounds, others)
    wrong = [f"{name} {solver}: {d['wrong']}" for (name, solver), d in others.items() if d.get("wrong")]
    print("\nPlans of other solvers that break a rule left out of their model:", "; ".join(wrong) or "none")


if __name__ == "__main__":
    main()
