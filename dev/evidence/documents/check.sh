#!/usr/bin/env bash
# Documents and calendars held against libraries from PyPI, in a virtual environment of its own. Needs python3 with venv;
# qpdf is asked too where it is installed.
#   dev/evidence/documents/check.sh [PROGRAM] [FOLDER]
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$here/../../..
folder=${2:-$(mktemp -d)}
program=${1:-}
if [ -z "$program" ]; then
  (cd "$root" && cargo build --quiet -p setwright)
  program=${CARGO_TARGET_DIR:-$root/target}/debug/setwright
fi
mkdir -p "$folder"
[ -x "$folder/venv/bin/outloud" ] || {
  python3 -m venv "$folder/venv"
  "$folder/venv/bin/pip" install --quiet --disable-pip-version-check -r "$here/requirements.txt"
}
"$folder/venv/bin/python" "$here/check.py" "$program" "$folder/documents"
if command -v qpdf >/dev/null; then
  for pdf in "$folder"/documents/*.pdf; do qpdf --check "$pdf" >/dev/null; done
  echo "qpdf: no syntax or stream error in any"
fi
"$folder/venv/bin/python" "$here/../calendar/expand.py" "$program"
