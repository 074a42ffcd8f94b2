#!/usr/bin/env bash
# Starts a private Slurm on this host, for tests: two nodes of two processors each. As root; needs the packages slurm-wlm and munge
# (testdata/install.sh). It touches nothing of the system: no systemd, no /etc/slurm, no /run/munge.
#
#   up.sh FOLDER [PID]     # FOLDER is remembered as the name of this Slurm; given again, it finds the one that runs
#
# On stdout one line, `export SLURM_CONF=...`, and exit 0 once all nodes take jobs; everything else on stderr. Where PID is given,
# all of it is stopped when that process has ended. down.sh FOLDER stops it.
#
# All files lie in a folder with a short name under /tmp: addresses of unix sockets have 108 characters at most, and the folders that
# tests get are longer.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
nodes=2 cpus=2 max_array=17

die() { echo "up.sh: $*" >&2; exit 1; }
[ $# -ge 1 ] || die "usage: up.sh FOLDER [PID]"
for b in slurmctld slurmd munged mungekey sinfo scontrol sbatch flock; do
	command -v "$b" >/dev/null || die "$b not found: testdata/install.sh installs it"
done
[ "$(id -u)" = 0 ] || die "wants root: Slurm's daemons start jobs for other users"
umask 022 # munged refuses folders that a group may write to
mkdir -p "$1"
folder=$(cd "$1" && pwd -P)
exec 9>"$folder/lock"
flock -w 60 9 || die "another up.sh or down.sh is at work on $folder"
if [ -s "$folder/where" ] && [ -d "$(cat "$folder/where")" ]; then
	dir=$(cat "$folder/where")
else
	dir=$(mktemp -d /tmp/slurm-XXXXXX)
	chmod 755 "$dir"
	mkdir "$dir"/{munge,state,spool,log,pid}
	echo "$dir" >"$folder/where"
fi
. "$here/processes.sh"
export SLURM_CONF=$dir/slurm.conf
socket=$dir/munge/socket

wait_for() { # SECONDS WHAT COMMAND...
	local end=$((SECONDS + $1)) what=$2
	shift 2
	until "$@" >/dev/null 2>&1; do
		if [ $SECONDS -ge $end ]; then
			tail -n 3 "$dir"/log/* >&2
			"$here/down.sh" "$folder" --locked || true
			die "$what: waited in vain"
		fi
		sleep 0.05
	done
}

free() { ! (exec 3<>"/dev/tcp/127.0.0.1/$1") 2>/dev/null; }

free_ports() { # a base port with as many free behind it as there are nodes
	local base i
	for _ in $(seq 50); do
		base=$((20000 + RANDOM % 10000))
		for i in $(seq 0 $nodes); do free $((base + i)) || continue 2; done
		echo $base
		return
	done
	die "no free ports found"
}

configure() {
	local host port loopback i
	host=$(hostname -s)
	port=$(free_ports)
	# Where the host's own name means loopback, nobody outside can reach the daemons at all.
	case $(getent ahostsv4 "$host" | head -n 1) in
	127.*) loopback=NoInAddrAny,NoCtldInAddrAny ;;
	*) loopback= ;;
	esac
	cat <<-END
		ClusterName=test
		SlurmctldHost=$host(127.0.0.1)
		SlurmctldPort=$port
		SlurmUser=root
		SlurmdUser=root
		AuthType=auth/munge
		AuthInfo=socket=$socket,cred_expire=5
		CryptoType=crypto/munge
		${loopback:+CommunicationParameters=$loopback}
		StateSaveLocation=$dir/state
		SlurmdSpoolDir=$dir/spool/%n
		SlurmctldPidFile=$dir/pid/slurmctld.own
		SlurmdPidFile=$dir/pid/slurmd-%n.own
		SlurmctldLogFile=$dir/log/slurmctld
		SlurmdLogFile=$dir/log/slurmd-%n
		SlurmdParameters=config_overrides
		ProctrackType=proctrack/pgid
		TaskPlugin=task/none
		SwitchType=switch/none
		MpiDefault=none
		JobAcctGatherType=jobacct_gather/none
		AccountingStorageType=accounting_storage/none
		SchedulerType=sched/backfill
		SchedulerParameters=batch_sched_delay=0,sched_interval=2,sched_min_interval=0,bf_interval=1,default_queue_depth=10000
		SelectType=select/cons_tres
		SelectTypeParameters=CR_Core_Memory
		PriorityType=priority/basic
		ReturnToService=2
		MaxArraySize=$max_array
		MinJobAge=300
		KillWait=30
		InactiveLimit=0
		CompleteWait=0
		EnforcePartLimits=ALL
		MailProg=/bin/true
		PropagateResourceLimits=NONE
	END
	for i in $(seq $nodes); do
		echo "NodeName=n$i NodeHostname=$host NodeAddr=127.0.0.1 Port=$((port + i)) CPUs=$cpus Boards=1 SocketsPerBoard=1 CoresPerSocket=$cpus ThreadsPerCore=1 RealMemory=4000"
	done
	echo "PartitionName=main Nodes=ALL Default=YES MaxTime=INFINITE DefaultTime=60 State=UP"
	echo "PartitionName=short Nodes=ALL MaxTime=5 DefaultTime=1 State=UP"
}

[ -s "$dir/munge/key" ] || mungekey --create --keyfile="$dir/munge/key" --bits=1024
chmod 600 "$dir/munge/key"
if ! alive munged; then
	rm -f "$socket" "$socket.lock"
	launch munged munged --foreground --force --num-threads=2 --key-file="$dir/munge/key" --socket="$socket" \
		--pid-file="$dir/munge/pid" --log-file="$dir/log/munge" --seed-file="$dir/munge/seed"
fi
wait_for 10 munge sh -c "munge -n -S '$socket' | unmunge -S '$socket'"
[ -s "$SLURM_CONF" ] || configure >"$SLURM_CONF"
alive slurmctld || launch slurmctld slurmctld -D -f "$SLURM_CONF"
for i in $(seq $nodes); do
	mkdir -p "$dir/spool/n$i"
	alive "slurmd-n$i" || launch "slurmd-n$i" slurmd -D -N "n$i" -f "$SLURM_CONF"
done

ready() { [ "$(sinfo -h -N -p main -o '%N %t' | awk '$2 ~ /^(idle|mix|alloc|comp)$/' | wc -l)" -ge $nodes ]; }
wait_for 30 "nodes to come up" ready
if [ -n "${2:-}" ] && ! alive watch; then
	launch watch sh -c "while kill -0 $2 2>/dev/null; do sleep 1; done; exec '$here/down.sh' '$folder'"
fi
echo "export SLURM_CONF=$SLURM_CONF"
