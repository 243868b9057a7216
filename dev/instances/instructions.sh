#!/usr/bin/env bash
# Instructions per move of the search, by callgrind: two runs that differ only in their number of moves, so that
# everything else cancels out. Needs valgrind.
#
#   SIZES=small,medium,large MOVES=200000 dev/instances/instructions.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

moves=${MOVES:-200000}
cargo build --quiet --release -p setwright-instances --bin bench
bench=${CARGO_TARGET_DIR:-target}/release/bench
out=$(mktemp)
trap 'rm -f "$out"' EXIT

counted() { # size, moves
  valgrind --tool=callgrind --callgrind-out-file="$out" "$bench" --sizes "$1" --instances 1 --seeds 1 --moves "$2" \
    --no-bound > /dev/null 2>&1
  awk '/^(summary|totals):/ { print $2; exit }' "$out"
}

IFS=, read -ra sizes <<< "${SIZES:-small,medium,large}"
for size in "${sizes[@]}"; do
  few=$(counted "$size" "$moves")
  many=$(counted "$size" $((2 * moves)))
  echo "$size 0: $(((many - few) / moves)) instructions a move"
done
