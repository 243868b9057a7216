"""Posterior of recovery by NUTS, from the statistical model alone.

Reads the models that `setwright-sim reference` writes, one JSON object a line, and shares no code with the estimator: the
observations' joint law is built as one dense normal from independent causes, where the estimator filters; parameters are
sampled by NUTS, where the estimator slices.

    cargo build --release -p setwright-sim
    target/release/setwright-sim reference --clients 24 > models.jsonl
    python -m venv venv && venv/bin/pip install -r dev/evidence/nuts/requirements.txt
    venv/bin/python dev/evidence/nuts/reference.py models.jsonl dev/evidence/nuts/summary.json

First the log-likelihoods that the estimator gives at some points are compared; a difference above 0.02 on its grid ends the
run. The summary is written after each client. What the estimator settles before it samples (which sets are slips, the size of the
noise, the widening of outliers, the order effect within exercises) is taken from it and is the same on both sides.
"""

import datetime
import json
import platform
import sys
import time

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from numpyro.diagnostics import effective_sample_size, split_gelman_rubin
from numpyro.infer import MCMC, NUTS

jax.config.update("jax_enable_x64", True)
WEEK_H = 168.0
FIRST_SD = 0.5  # spread of a lift's strength about its first observation
BREAK_WEEKS, BREAK_SD = 2.0, 0.015
CHAINS, WARM_UP, DRAWS = 2, 600, 6000
LOG_LIKELIHOOD_OFF = 0.02
GRID_REACH = 3.0  # spreads of the prior


def dense(model):
    """Mean and covariance of all observations if nothing tired the client, and a whitening matrix."""
    s = model["strength"]
    at = np.array([x["at_h"] for x in model["sessions"]])
    weeks = (at - at[0]) / WEEK_H
    obs = np.array(model["observations"], dtype=float)
    session, lift = obs[:, 0].astype(int), obs[:, 1].astype(int)
    told, variance, fall, bend, ease, order, before = obs[:, 2:].T
    count, sessions = len(obs), len(at)
    step = np.diff(weeks, prepend=weeks[0])
    columns, variances = [], []

    def cause(coefficients, var):
        columns.append(coefficients)
        variances.append(np.broadcast_to(var, coefficients.shape[1]).copy())

    met = {}
    for k, e in zip(session, lift):
        met.setdefault(e, k)
    first = np.array([met[e] for e in lift])
    since = weeks[session] - weeks[first]
    mean = np.zeros(count)
    begun = {}
    for i in range(count):
        begun.setdefault(lift[i], told[i])
    mean += np.array([begun[e] for e in lift]) + since * s["growth"][0]
    cause(since[:, None], s["growth"][1] ** 2)
    # A change of the client's growth at session j acts from j, or from when the lift was met, to the observation.
    j = np.arange(1, sessions)
    reach = weeks[session][:, None] - weeks[np.maximum(j[None, :], first[:, None])]
    cause(np.maximum(reach, 0.0), s["growth_drift"] ** 2 * step[1:])
    rest = BREAK_SD**2 * np.maximum(step[1:] - BREAK_WEEKS, 0.0)
    for e in sorted(met):
        of = (lift == e)[:, None]
        cause(of.astype(float), FIRST_SD**2)
        cause(np.where(of, since[:, None], 0.0), s["growth_exercise"] ** 2)
        later = of & (j[None, :] > met[e]) & (j[None, :] <= session[:, None])
        cause(np.where(later, weeks[session][:, None] - weeks[j][None, :], 0.0), s["growth_exercise_drift"] ** 2 * step[1:])
        cause(later.astype(float), s["level_drift"] ** 2 * step[1:] + rest)
    for coefficient, (centre, sd) in (
        (-order, s["order"]),
        (-before, s["before"]),
        (-fall, s["rir_bias"]),
        (bend, (0.0, s["curve"])),
        (ease, (0.0, s["ease"])),
    ):
        mean += coefficient * centre
        cause(coefficient[:, None], sd**2)
    cause(np.eye(sessions)[session], np.array([x["day_variance"] for x in model["sessions"]]))
    h, d = np.hstack(columns), np.concatenate(variances)
    covariance = (h * d) @ h.T + np.diag(variance)
    factor = np.linalg.cholesky(covariance)
    whiten = np.linalg.solve(factor, np.eye(count))
    return told - mean, whiten, session, lift


def likelihood(model):
    """Log-likelihood of log time constants and log depths of the muscles followed."""
    off, whiten, session, lift = dense(model)
    muscles = [m for m, _ in model["muscles"]]
    at = np.array([x["at_h"] for x in model["sessions"]])
    drops = np.array([x["drops"] for x in model["sessions"]])[:, muscles]
    weights = np.zeros((len(model["lifts"]), len(muscles)))
    for e, x in enumerate(model["lifts"]):
        for m, w in x["weights"]:
            weights[e, muscles.index(m)] = w
    gap = at[:, None] - at[None, :]
    earlier = jnp.array(gap > 0)
    gap = jnp.array(np.maximum(gap, 0.0))
    start_h, start_drop = model["start"]
    from_start = jnp.array(at - start_h)
    off, whiten, drops, weights = map(jnp.array, (off, whiten, drops, weights))

    def of(log_tau, log_depth):
        rate = jnp.exp(-log_tau)

        def left(r, drop):
            kept = jnp.where(earlier, jnp.exp(-gap * r), 0.0)
            return kept @ drop + start_drop * jnp.exp(-from_start * r)

        tired = jax.vmap(left, in_axes=(0, 1), out_axes=1)(rate, drops) * jnp.exp(log_depth)
        missing = jnp.sum(weights[lift] * tired[session], axis=1)
        white = whiten @ (off + missing)
        return -0.5 * white @ white

    return of


def compare(model, of):
    """Largest difference between the estimator's log-likelihoods and these, each beside that of no fatigue: where all time
    constants lie on the estimator's grid, and where one lies beyond it and is held at its end."""
    muscles = [m for m, _ in model["muscles"]]
    none = of(jnp.zeros(len(muscles)), jnp.full(len(muscles), -jnp.inf))
    median, spread = np.log(np.array(model["tau_median_h"])[muscles]), np.hypot(*model["tau_spread"])
    inside = outside = 0.0
    for point in model["points"]:
        log_tau, depth = (np.array(point[k])[muscles] for k in ("log_tau", "depth"))
        off = abs(float(of(jnp.array(log_tau), jnp.log(jnp.array(depth))) - none) - point["log_likelihood"])
        if np.max(np.abs(log_tau - median)) <= GRID_REACH * spread:
            inside = max(inside, off)
        else:
            outside = max(outside, off)
    return inside, outside


def sample(model, of, seed):
    muscles = [m for m, _ in model["muscles"]]
    median = jnp.log(jnp.array(model["tau_median_h"])[jnp.array(muscles)])
    (tau_person, tau_muscle), (depth_person, depth_muscle) = model["tau_spread"], model["depth_spread"]

    def law():
        unit = dist.Normal(0.0, 1.0)
        person = numpyro.sample("person", unit.expand([2]))
        own = numpyro.sample("own", unit.expand([2, len(muscles)]))
        log_tau = numpyro.deterministic("tau", median + tau_person * person[0] + tau_muscle * own[0])
        log_depth = numpyro.deterministic("depth", depth_person * person[1] + depth_muscle * own[1])
        numpyro.factor("seen", of(log_tau, log_depth))

    mcmc = MCMC(NUTS(law), num_warmup=WARM_UP, num_samples=DRAWS, num_chains=CHAINS, chain_method="sequential", progress_bar=False)
    start = time.perf_counter()
    mcmc.run(jax.random.PRNGKey(seed), extra_fields=("num_steps",))
    seconds = time.perf_counter() - start
    draws = {k: np.asarray(v) for k, v in mcmc.get_samples(group_by_chain=True).items()}
    steps = int(np.asarray(mcmc.get_extra_fields()["num_steps"]).sum())
    depth = draws["depth"] + np.log(model["usual_drop"] / model["ready_drop"])
    draws["ready"] = np.exp(draws["tau"]) * np.maximum(depth, 0.0)
    return draws, seconds, steps


def summary(model, draws):
    out, least, worst = {}, np.inf, 0.0
    for kind in ("tau", "depth", "ready"):
        for i, (_, name) in enumerate(model["muscles"]):
            x = draws[kind][:, :, i]
            ess, r_hat = float(effective_sample_size(x)), float(split_gelman_rubin(x))
            least, worst = min(least, ess), max(worst, r_hat)
            low, middle, high = np.quantile(x, [0.05, 0.5, 0.95])
            out[f"{kind} {name}"] = [round(float(v), 5) for v in (low, middle, high, x.std())]
    return out, least, worst


def main(models, target):
    report = {
        "made": datetime.date.today().isoformat(),
        "with": {"python": platform.python_version(), "numpyro": numpyro.__version__, "jax": jax.__version__},
        "chains": CHAINS, "warm_up": WARM_UP, "draws": DRAWS,
        "quantity": ["5th", "50th", "95th centile", "standard deviation"],
        "clients": [],
    }
    with open(models, encoding="utf-8") as lines:
        for nth, line in enumerate(lines):
            model = json.loads(line)
            of = jax.jit(likelihood(model))
            off, outside = compare(model, of)
            if off > LOG_LIKELIHOOD_OFF:
                sys.exit(f"client {nth}: log-likelihoods differ by {off}")
            draws, seconds, steps = sample(model, of, nth)
            quantities, ess, r_hat = summary(model, draws)
            report["clients"].append({
                "nth": nth, "sets": model["sets"], "log_likelihood_off": round(off, 5), "beyond_the_grid_off": round(outside, 5),
                "seconds": round(seconds, 2),
                "steps": steps, "least_ess": round(ess), "worst_r_hat": round(r_hat, 4), "quantities": quantities,
            })
            print(f"client {nth}: off {off:.5f}, ess {ess:.0f}, r_hat {r_hat:.4f}, {seconds:.1f} s, {steps} steps", flush=True)
            with open(target, "w", encoding="utf-8") as file:
                json.dump(report, file, separators=(",", ":"))


if __name__ == "__main__":
    main(*sys.argv[1:3])
