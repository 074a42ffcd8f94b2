# Sourced by up.sh and down.sh: keeps "pid start-time" of each daemon in $dir/pid, so that a number that was given to another process
# meanwhile is never signalled.

# started PID prints when it was started; nothing for one that has ended, be it that its parent has not noticed yet.
started() {
	local stat
	{ read -r stat <"/proc/$1/stat"; } 2>/dev/null || return 0
	stat=${stat##*) }
	# shellcheck disable=SC2086 # a list of fields
	set -- $stat
	[ "$1" = Z ] || echo "${20}"
}

# alive NAME
alive() {
	local pid when
	[ -r "$dir/pid/$1" ] && read -r pid when <"$dir/pid/$1" && [ -n "$when" ] && [ "$(started "$pid")" = "$when" ]
}

# launch NAME COMMAND... starts a daemon that stays in the foreground by itself, apart from this shell and its lock.
launch() {
	local name=$1
	shift
	setsid "$@" </dev/null >>"$dir/log/$name.out" 2>&1 9>&- &
	echo "$! $(started $!)" >"$dir/pid/$name"
	disown $!
}

# stop SIGNAL SECONDS NAME... all at once; what is still there then is killed.
stop() {
	local signal=$1 end=$((SECONDS + $2)) name pid when living
	shift 2
	for name in "$@"; do
		if alive "$name" && read -r pid when <"$dir/pid/$name"; then kill -"$signal" "$pid" 2>/dev/null || true; fi
	done
	while [ $SECONDS -lt $end ]; do
		living=
		for name in "$@"; do if alive "$name"; then living=yes; fi; done
		[ -n "$living" ] || break
		sleep 0.05
	done
	for name in "$@"; do
		if alive "$name" && read -r pid when <"$dir/pid/$name"; then kill -KILL "$pid" 2>/dev/null || true; fi
		rm -f "$dir/pid/$name"
	done
}
