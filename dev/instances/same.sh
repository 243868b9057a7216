#!/usr/bin/env bash
# The same seed gives the same programme: the demo roster planned twice, on one core and on two, by the dev build and
# by the release build. Everything the program prints as JSON must be equal but the seconds. Needs taskset.
#
#   MOVES=400000 SEED=1 dev/instances/same.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."

target=${CARGO_TARGET_DIR:-target}
cargo build --quiet -p setwright
cargo build --quiet --release -p setwright

planned() { # profile, cores, brief
  { taskset -c "$2" "$target/$1/setwright" plan "$3" --json --moves "${MOVES:-400000}" --seed "${SEED:-1}" || true; } |
    grep -v '"seconds"' | sha256sum
}

differ=0
for brief in data/demo/*.toml; do
  of_release=$(planned release 0,1 "$brief")
  for way in "release 0,1" "release 0" "debug 0,1" "debug 0"; do
    read -r profile cores <<< "$way"
    if [ "$(planned "$profile" "$cores" "$brief")" != "$of_release" ]; then
      echo "$brief: the $profile build on cores $cores plans something else"
      differ=$((differ + 1))
    fi
  done
done
echo "$(ls data/demo/*.toml | wc -l) briefs, each planned 5 times: $differ differ"
[ "$differ" = 0 ]
