#!/bin/sh
# Builds both programs, runs the same plain ADM1 year with each on every core, and
# prints the ratio. By hand only; needs a C compiler, cargo and
# `apt-get install libsundials-dev` (Debian 12: SUNDIALS 6.4.1).
#
#   comparison/run.sh [WORLDS [REPEATS]]
set -eu
cd "$(dirname "$0")/.."
worlds=${1:-200}
repeats=${2:-3}
# The fastest tolerance of each that keeps every day's gas of every world within
# 0.2 % of its tight solution; checked below.
engine_rtol=1e-1
cvode_rtol=1e-2
cores=$(nproc)
target=${CARGO_TARGET_DIR:-target}

cargo build --quiet --release --example ensemble_speed
mkdir -p "$target/comparison"
rm -f "$target"/comparison/core-*
cvode="$target/comparison/cvode_adm1"
cc -std=c11 -D_POSIX_C_SOURCE=200809L -O3 -march=native -Wall -Wextra -o "$cvode" comparison/cvode_adm1.c \
    -lsundials_cvode -lsundials_nvecserial -lsundials_sunlinsoldense -lsundials_sunmatrixdense -lm
engine="$target/release/examples/ensemble_speed"

echo "== The two against their tight solutions, CVODE against the oracle"
"$cvode" --oracle
"$cvode" --first 0 --last $((worlds - 1)) --rtol $cvode_rtol --check
"$engine" --only plain --worlds "$worlds" --tolerance $engine_rtol --check | grep 'daily gas'

echo "== Fastest of $repeats, $worlds worlds of 365 days, $cores cores"
best_cvode=0
best_engine=0
cpu_cvode=1e9
cpu_engine=1e9
larger() { awk -v a="$1" -v b="$2" 'BEGIN { print (a > b) ? a : b }'; }
smaller() { awk -v a="$1" -v b="$2" 'BEGIN { print (a < b) ? a : b }'; }
for _ in $(seq "$repeats"); do
    # One process a core; the slowest of them ends the run.
    started=$(date +%s.%N)
    for core in $(seq 0 $((cores - 1))); do
        "$cvode" --first $((core * worlds / cores)) --last $(((core + 1) * worlds / cores - 1)) \
            --rtol $cvode_rtol >"$target/comparison/core-$core" &
    done
    wait
    speed=$(awk -v a="$started" -v b="$(date +%s.%N)" -v n="$worlds" 'BEGIN { print n / (b - a) }')
    best_cvode=$(larger "$speed" "$best_cvode")
    cpu=$(cat "$target"/comparison/core-* | sed 's/.*CPU s \([0-9.]*\).*/\1/' | awk '{ s += $1 } END { print s }')
    cpu_cvode=$(smaller "$cpu" "$cpu_cvode")
    line=$("$engine" --only plain --worlds "$worlds" --tolerance $engine_rtol | grep '^plain')
    best_engine=$(larger "$(echo "$line" | awk '{ print $9 }')" "$best_engine")
    cpu_engine=$(smaller "$(echo "$line" | awk '{ print $10 }')" "$cpu_engine")
done
cat "$target/comparison/core-0"
awk -v e="$best_engine" -v c="$best_cvode" \
    'BEGIN { printf "by the clock: engine %.1f worlds per second, CVODE %.2f: %.0f times\n", e, c, e / c }'
awk -v e="$cpu_engine" -v c="$cpu_cvode" -v n="$worlds" \
    'BEGIN { printf "by processor time: engine %.2f ms a world, CVODE %.1f ms: %.0f times\n", 1e3 * e / n, 1e3 * c / n, c / e }'
