#!/bin/sh
# Installs what the demo and the tests need beside Go: PostgreSQL 15 or newer and, for
# the tests, Chromium and Node.js 18 or newer with npm. On Debian and its kin with apt, as
# root or where sudo asks for no password; anywhere else it says what to install and ends
# with 1.
# Where nothing is missing it does nothing and says nothing.
#
# LATHMARK_SETUP=dry prints what would be run instead of running it.
set -eu

# newest_postgres prints the major version of the newest initdb to be found, or 0.
newest_postgres() {
	{
		echo 0
		# A ? stands for any blank in a folder's name, which would split it here.
		for dir in $(printf %s "$PATH" | tr ' :' '? ') \
			/usr/lib/postgresql/*/bin /usr/pgsql-*/bin /opt/homebrew/opt/postgresql@*/bin \
			/usr/local/opt/postgresql@*/bin /usr/local/pgsql/bin; do
			if [ -x "$dir/initdb" ] && [ -x "$dir/postgres" ]; then
				"$dir/initdb" --version 2>/dev/null | sed -n 's/^[^)]*) \([0-9][0-9]*\).*/\1/p'
			fi
		done
	} | sort -n | tail -n 1
}

missing_packages() {
	[ "$(newest_postgres)" -ge 15 ] || echo postgresql
	has chromium chromium-browser google-chrome || echo chromium
	has node && [ "$(node --version | sed 's/^v\([0-9]*\).*/\1/')" -ge 18 ] || echo nodejs
	has npm || echo npm
}

# has tells whether one of the programs is there.
has() {
	for name in "$@"; do
		if command -v "$name" >/dev/null 2>&1; then return 0; fi
	done
	return 1
}

by_hand() {
	echo "Missing on this machine: $missing. $1" >&2
	echo 'Please install PostgreSQL 15 or newer (its programs initdb and postgres), Chromium, and Node.js 18 or newer with npm, then run this again.' >&2
	echo 'On Debian or Ubuntu:  sudo apt-get install postgresql chromium nodejs npm' >&2
	echo 'On Fedora:            sudo dnf install postgresql-server chromium nodejs npm' >&2
	echo 'On macOS:             brew install postgresql@17 node && brew install --cask chromium' >&2
	exit 1
}

missing=$(missing_packages | xargs)
[ -n "$missing" ] || exit 0

command -v apt-get >/dev/null 2>&1 || by_hand 'There is no apt-get to install it with.'
if [ "$(id -u)" = 0 ]; then
	as_root=''
elif command -v sudo >/dev/null 2>&1 && sudo -n true 2>/dev/null; then
	as_root='sudo -n'
else
	by_hand 'Installing it takes root, or sudo without a password.'
fi

run() {
	if [ "${LATHMARK_SETUP:-}" = dry ]; then echo "$*"; else "$@"; fi
}

# Debian would start a cluster of its own at once; nobody here asked for one.
if [ ! -e /etc/postgresql-common/createcluster.conf ]; then
	run $as_root mkdir -p /etc/postgresql-common
	run $as_root sh -c 'echo create_main_cluster = false > /etc/postgresql-common/createcluster.conf'
fi
run $as_root apt-get update -q
run $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q \
	--no-install-recommends -o Dpkg::Options::=--force-confold $missing
[ "${LATHMARK_SETUP:-}" = dry ] && exit 0
missing=$(missing_packages | xargs)
[ -z "$missing" ] || by_hand 'What apt-get installed was not enough.'
