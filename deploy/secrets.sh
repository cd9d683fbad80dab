#!/bin/sh
# Makes what docker-compose.yml wants in deploy/secrets, for the accounts beside the server: the
# administrator's password there, the secret between the two, and the list of providers. The database
# needs none. What is there already stays: for a new secret remove its file first. The folder is
# closed to others; the files in it are not, because the containers read them as other users.
set -eu
dir=$(cd "$(dirname "$0")" && pwd)/secrets
mkdir -p "$dir"
chmod 700 "$dir"
for name in client accounts; do
	[ -s "$dir/$name.password" ] || od -An -N24 -tx1 /dev/urandom | tr -d ' \n' >"$dir/$name.password"
	chmod 644 "$dir/$name.password"
done
if [ ! -s "$dir/providers.json" ]; then
	printf '[{"id": "accounts", "label": "your account", "issuer": "%s/realms/lathmark", "client_id": "lathmark", "client_secret_file": "/run/secrets/client_secret"}]\n' \
		"${ACCOUNTS_ADDRESS:-http://127.0.0.1:8081}" >"$dir/providers.json"
	chmod 644 "$dir/providers.json"
fi
