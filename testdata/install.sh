#!/bin/sh
# Installs what the tests compare and work with, on Debian 12 as root: the outside readers DuckDB for Node, VTK for Python and Chromium, and
# Slurm.
# Quiet and idempotent; what is there already is left alone.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
wanted=""
command -v node >/dev/null 2>&1 && command -v npm >/dev/null 2>&1 || wanted="$wanted nodejs npm"
/usr/bin/python3 -c 'import vtk' >/dev/null 2>&1 || wanted="$wanted python3-vtk9"
[ -x "${CHROMIUM:-/usr/bin/chromium}" ] || wanted="$wanted chromium"
command -v slurmctld >/dev/null 2>&1 && command -v slurmd >/dev/null 2>&1 && command -v sbatch >/dev/null 2>&1 || wanted="$wanted slurm-wlm"
command -v munged >/dev/null 2>&1 && command -v mungekey >/dev/null 2>&1 || wanted="$wanted munge"
if [ -n "$wanted" ]; then
	export DEBIAN_FRONTEND=noninteractive
	apt-get -qq -o DPkg::Lock::Timeout=300 update >/dev/null
	# shellcheck disable=SC2086 # a list of names
	apt-get -qq -y -o DPkg::Lock::Timeout=300 install --no-install-recommends $wanted >/dev/null
fi
cd "$here/readers"
if ! cmp -s package-lock.json node_modules/.installed; then
	npm ci --no-audit --no-fund --loglevel=error >/dev/null
	cp package-lock.json node_modules/.installed
fi
