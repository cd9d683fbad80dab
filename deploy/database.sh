#!/bin/sh
# Prepares a database for Lathmark: makes it if it is missing, makes the roles
# lathmark_owner and lathmark_server, gives them their passwords, and gives the database
# to its owner. Run it as an administrator of the PostgreSQL, who is named in the usual
# way (PGHOST, PGUSER, ...). Running it again sets the passwords again and changes nothing
# else.
#
#   OWNER_PASSWORD_FILE    file with the password for lathmark_owner
#   SERVER_PASSWORD_FILE   file with the password for lathmark_server
#   LATHMARK_DB            name of the database (lathmark)
#   ROLES                  the roles' SQL (../migrations/roles.sql)
#
# In the container of the database it runs by itself, once, when the data folder is new.
set -eu
: "${OWNER_PASSWORD_FILE:?is not set: the file with the password for lathmark_owner}"
: "${SERVER_PASSWORD_FILE:?is not set: the file with the password for lathmark_server}"
here=$(cd "$(dirname "$0")" && pwd)
roles=${ROLES:-$here/../migrations/roles.sql}
db=${LATHMARK_DB:-lathmark}
for file in "$OWNER_PASSWORD_FILE" "$SERVER_PASSWORD_FILE" "$roles"; do
	[ -s "$file" ] && [ -r "$file" ] || { echo "$file is empty or cannot be read" >&2; exit 1; }
done
export PGUSER="${POSTGRES_USER:-${PGUSER:-postgres}}" PGOPTIONS='--client-min-messages=warning'
in_db() { psql --no-psqlrc --quiet --set=ON_ERROR_STOP=1 --set=db="$db" "$@"; }

in_db --dbname=postgres <<'SQL'
select format('create database %I template template0 encoding ''UTF8''', :'db')
 where not exists (select from pg_database where datname = :'db') \gexec
SQL
in_db --dbname="$db" --file="$roles"
# psql reads the passwords itself: on a command line anybody on the machine could see them.
export OWNER_PASSWORD_FILE SERVER_PASSWORD_FILE
in_db --dbname="$db" <<'SQL'
\set owner_password `cat "$OWNER_PASSWORD_FILE"`
\set server_password `cat "$SERVER_PASSWORD_FILE"`
alter role lathmark_owner password :'owner_password';
alter role lathmark_server password :'server_password';
alter database :"db" owner to lathmark_owner;
revoke all on database :"db" from public;
grant connect on database :"db" to lathmark_server;
SQL
