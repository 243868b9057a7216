#!/usr/bin/env bash
# Ours, HiGHS and CP-SAT on the same problems and cores, one after the other; prints the tables of docs/quality.md.
# Needs python3 and, once, the package registry of Python. Run it on a machine that does nothing else.
#
#   SECONDS_EACH=60 INSTANCES=2 SEEDS=5 SIZES=small,medium,large MOVES=1000000,4000000 dev/instances/mip/bench.sh
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
cd "$here/../../.."

out=${OUT:-${TMPDIR:-/tmp}/setwright-bench}
venv=${VENV:-${TMPDIR:-/tmp}/setwright-mip}
seconds=${SECONDS_EACH:-60}
mkdir -p "$out"
rm -f "$out"/*.json "$out"/*.jsonl

if [ ! -x "$venv/bin/python" ]; then
  python3 -m venv "$venv"
  "$venv/bin/pip" install --quiet 'highspy>=1.7' 'ortools>=9.10'
fi

cargo build --quiet --release -p setwright-instances --bin bench
bench=${CARGO_TARGET_DIR:-target}/release/bench
"$bench" --sizes "${SIZES:-small,medium,large}" --instances "${INSTANCES:-2}" --seeds "${SEEDS:-5}" \
  --moves "${MOVES:-1000000,4000000}" --export "$out" > "$out/ours.tsv"

touch "$out/outside.jsonl"
for problem in "$out"/*.json; do
  for solver in highs cpsat; do
    echo "$(basename "$problem" .json): $solver, $seconds s" >&2
    "$venv/bin/python" "$here/model.py" "$problem" --solver "$solver" --seconds "$seconds" \
      --out "$out/outside.jsonl" > "$out/$solver.log" 2>&1
  done
done
"$bench" --evaluate "$out/outside.jsonl" > "$out/valued.jsonl"

echo "load before and now: $(cut -d' ' -f1-3 /proc/loadavg 2>/dev/null || echo unknown); cores: $(nproc)"
"$venv/bin/python" "$here/report.py" "$out/ours.tsv" "$out/valued.jsonl"
