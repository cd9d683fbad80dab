#!/bin/sh
# Installs what is missing beside Go. `setup.sh demo`: PostgreSQL 15 or newer. `setup.sh
# test`, or without an argument: Chromium and Node.js 18.18 or newer with npm as well. On
# Debian and its derivatives it uses apt, as root or where sudo asks for no password;
# anywhere else it says what to install and ends with 1.
# If nothing is missing it does nothing and says nothing.
#
# LATHMARK_SETUP=dry prints what would be run instead of running it.
set -eu

case "${1:-test}" in
demo) for_tests='' ;;
test) for_tests=yes ;;
*)
	echo 'Usage: setup.sh [demo|test]' >&2
	exit 2
	;;
esac

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
	[ -n "$for_tests" ] || return 0
	has chromium chromium-browser google-chrome || echo chromium
	# As web/package.json asks for it: 18.18.
	has node && [ "$(($(node --version | sed 's/^v\([0-9]*\)\.\([0-9]*\).*/\1 * 100 + \2/')))" -ge 1818 ] || echo nodejs
	has npm || echo npm
}

# has reports whether one of the programs is installed.
has() {
	for name in "$@"; do
		if command -v "$name" >/dev/null 2>&1; then return 0; fi
	done
	return 1
}

# by_hand says what is missing, why it was not installed, and how to install it.
by_hand() {
	echo "Missing on this machine: $missing. $1" >&2
	if [ -n "$for_tests" ]; then
		echo 'Please install PostgreSQL 15 or newer (its programs initdb and postgres), Chromium, and Node.js 18.18 or newer with npm, then run this again.' >&2
		echo 'On Debian or Ubuntu:  sudo apt-get install postgresql chromium nodejs npm' >&2
		echo 'On Fedora:            sudo dnf install postgresql-server chromium nodejs npm' >&2
		echo 'On macOS:             brew install postgresql@17 node && brew install --cask chromium' >&2
	else
		echo 'Please install PostgreSQL 15 or newer (its programs initdb and postgres), then run this again.' >&2
		echo 'On Debian or Ubuntu:  sudo apt-get install postgresql' >&2
		echo 'On Fedora:            sudo dnf install postgresql-server' >&2
		echo 'On macOS:             brew install postgresql@17' >&2
	fi
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

# megabytes is about how much a package downloads with what it needs, on Debian 12.
megabytes() {
	case "$1" in
	postgresql) echo 65 ;;
	chromium) echo 200 ;;
	nodejs) echo 30 ;;
	npm) echo 15 ;;
	esac
}

total=0
for package in $missing; do total=$((total + $(megabytes "$package"))); done
[ "${LATHMARK_SETUP:-}" = dry ] || echo "Fetching $(echo "$missing" | sed 's/ /, /g') with apt-get (about $total MB) ..."

# Debian would start a cluster of its own at once; nobody here asked for one.
if [ ! -e /etc/postgresql-common/createcluster.conf ]; then
	run $as_root mkdir -p /etc/postgresql-common
	run $as_root sh -c 'echo create_main_cluster = false > /etc/postgresql-common/createcluster.conf'
fi
run $as_root apt-get update -qq || by_hand 'apt-get cannot read its package lists: is this machine online?'
run $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq \
	--no-install-recommends -o Dpkg::Options::=--force-confold -o Dpkg::Use-Pty=0 $missing ||
	by_hand 'apt-get could not install it; its message is above.'
[ "${LATHMARK_SETUP:-}" = dry ] && exit 0
missing=$(missing_packages | xargs)
[ -z "$missing" ] || by_hand 'What apt-get installed was not enough.'
