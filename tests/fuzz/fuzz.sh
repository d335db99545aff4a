#!/bin/sh
# Runs one libFuzzer target for some seconds. usage: fuzz.sh TARGET SECONDS WORDS
# New inputs gather in a folder beside the target; what breaks it is left there as well.
set -e
target=$1 seconds=$2 words=$3
found=$target.corpus
seeds=$target.seeds
mkdir -p "$found" "$seeds"
for file in $(git ls-files '*.slv'); do cp "$file" "$seeds/$(echo "$file" | tr / -)"; done
start=$(date +%s)
"$target" -max_total_time="$seconds" -max_len=6000 -timeout=10 -rss_limit_mb=2048 -dict="$words" \
    -print_final_stats=1 -artifact_prefix="$target-" "$found" tests/fuzz/corpus "$seeds" > "$target.log" 2>&1 || { tail -n 60 "$target.log"; exit 1; }
runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$target.log")
echo "$(basename "$target"): $runs executions in $(($(date +%s) - start)) s, nothing found"
