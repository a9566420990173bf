#!/bin/sh
# Run once by the database's own image when its data directory is new: makes the role that the service logs in as, which owns
# its database and may make the service's lesser roles, and is no superuser. The superuser is left without a password: it
# gets in through the socket inside the container alone.
set -eu
psql --no-psqlrc --quiet --set ON_ERROR_STOP=1 --username "$POSTGRES_USER" --dbname postgres \
  --set password="$(cat "$POSTGRES_PASSWORD_FILE")" <<'SQL'
CREATE ROLE skidway LOGIN CREATEROLE NOSUPERUSER NOCREATEDB PASSWORD :'password';
CREATE DATABASE skidway OWNER skidway;
ALTER ROLE CURRENT_USER PASSWORD NULL;
SQL
