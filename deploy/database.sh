#!/bin/sh
# Prepares a database for Lathmark: makes it if it is missing, makes the roles
# lathmark_owner and lathmark_server, and gives the database to its owner. The roles have
# no password, and lose one that they had: the operating system's users of the same names
# open the database over its socket (peer), or certificates over a network. Run it as an
# administrator of the PostgreSQL, who is named in the usual way (PGHOST, PGUSER, ...).
# Running it again changes nothing.
#
#   LATHMARK_DB            name of the database (lathmark)
#   ROLES                  the roles' SQL (../migrations/roles.sql)
#
# In the container of the database it runs by itself, once, when the data folder is new.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
roles=${ROLES:-$here/../migrations/roles.sql}
db=${LATHMARK_DB:-lathmark}
[ -s "$roles" ] && [ -r "$roles" ] || { echo "$roles is empty or cannot be read" >&2; exit 1; }
export PGUSER="${POSTGRES_USER:-${PGUSER:-postgres}}" PGOPTIONS='--client-min-messages=warning'
in_db() { psql --no-psqlrc --quiet --set=ON_ERROR_STOP=1 --set=db="$db" "$@"; }

in_db --dbname=postgres <<'SQL'
select format('create database %I template template0 encoding ''UTF8''', :'db')
 where not exists (select from pg_database where datname = :'db') \gexec
SQL
in_db --dbname="$db" --file="$roles"
in_db --dbname="$db" <<'SQL'
alter role lathmark_owner password null;
alter role lathmark_server password null;
alter database :"db" owner to lathmark_owner;
revoke all on database :"db" from public;
grant connect on database :"db" to lathmark_server;
SQL
