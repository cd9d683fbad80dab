#!/bin/sh
# Makes what docker-compose.yml wants in deploy/secrets: a password each for the database's
# administrator, owner and server, and the addresses made from them; for the accounts beside
# it the administrator's password, the secret between the two, and the list of providers. What
# is there already stays. The folder is closed to others; the files in it are not, because the containers
# read them as other users.
set -eu
host=${1:-database}
dir=$(cd "$(dirname "$0")" && pwd)/secrets
mkdir -p "$dir"
chmod 700 "$dir"
for name in postgres owner server client accounts; do
	[ -s "$dir/$name.password" ] || od -An -N24 -tx1 /dev/urandom | tr -d ' \n' >"$dir/$name.password"
	chmod 644 "$dir/$name.password"
done
for name in owner server; do
	printf 'postgres://lathmark_%s:%s@%s/lathmark\n' "$name" "$(cat "$dir/$name.password")" "$host" >"$dir/$name.url"
	chmod 644 "$dir/$name.url"
done
if [ ! -s "$dir/providers.json" ]; then
	printf '[{"id": "accounts", "label": "your account", "issuer": "%s/realms/lathmark", "client_id": "lathmark", "client_secret_file": "/run/secrets/client_secret"}]\n' \
		"${ACCOUNTS_ADDRESS:-http://127.0.0.1:8081}" >"$dir/providers.json"
	chmod 644 "$dir/providers.json"
fi
