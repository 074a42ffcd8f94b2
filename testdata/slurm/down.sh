#!/usr/bin/env bash
# Stops the Slurm that up.sh FOLDER has started, its jobs first, and takes its files away. Nothing runs: nothing is done.
#
#   down.sh FOLDER
set -uo pipefail
here=$(cd "$(dirname "$0")" && pwd)
[ $# -ge 1 ] || { echo "down.sh: usage: down.sh FOLDER" >&2; exit 1; }
[ -d "$1" ] || exit 0
folder=$(cd "$1" && pwd -P)
if [ "${2:-}" != --locked ]; then
	exec 9>"$folder/lock"
	flock -w 60 9 || { echo "down.sh: another up.sh or down.sh is at work on $folder" >&2; exit 1; }
fi
[ -s "$folder/where" ] || exit 0
dir=$(cat "$folder/where")
case $dir in /tmp/slurm-??????) ;; *) echo "down.sh: $folder/where names $dir, which up.sh has not made" >&2; exit 1 ;; esac
[ -d "$dir" ] || exit 0
. "$here/processes.sh"
export SLURM_CONF=$dir/slurm.conf

if alive slurmctld; then # so that no job outlives its daemon
	timeout 10 scancel --state=PENDING --user=root 2>/dev/null
	timeout 10 scancel --user=root --full --signal=KILL 2>/dev/null
	timeout 10 scancel --user=root 2>/dev/null
	end=$((SECONDS + 3))
	while [ $SECONDS -lt $end ] && [ -n "$(timeout 3 squeue -h -o %i 2>/dev/null)" ]; do sleep 0.1; done
fi
daemons=()
for file in "$dir"/pid/slurmd-*; do
	case $file in *.own | *'*') ;; *) daemons+=("$(basename "$file")") ;; esac
done
stop TERM 10 ${daemons[@]+"${daemons[@]}"} slurmctld
stop KILL 2 munged

# What is left of jobs has our SLURM_CONF in its environment, and the number of a job, but for Slurm's own guard of a job.
grep -lzxF "SLURM_CONF=$SLURM_CONF" /proc/[0-9]*/environ 2>/dev/null | while IFS=/ read -r _ _ pid _; do
	if grep -qz '^SLURM_JOB_ID=' "/proc/$pid/environ" 2>/dev/null || grep -q '^slurmstepd' "/proc/$pid/cmdline" 2>/dev/null; then
		kill -KILL "$pid" 2>/dev/null
	fi
done
rm -rf "$dir" "$folder/where"
exit 0
