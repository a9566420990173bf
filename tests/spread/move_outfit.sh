#!/usr/bin/env bash
# Moves the books of one outfit from one database to another, while the proxy answers for them that they are on the move.
#
#   move_outfit.sh OUTFIT FROM TO
#
# OUTFIT is its id; FROM and TO are addresses of Postgres with the role that owns the tables. What it copies it compares,
# and where anything differs nothing is kept in TO. Afterwards the service that works on FROM sees nothing of the outfit any
# more; the rows stay there, since records are never deleted. Steps before and after: DEVELOPERS.md, "How an outfit moves".
set -euo pipefail

outfit=${1,,} from=$2 to=$3
[[ $outfit =~ ^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$ ]] || { echo "$1 is no id of an outfit" >&2; exit 2; }
policy="moved_away_${outfit//-/}"
# By name: the tables' owner is a member of the service's role, and still sees what is here.
elsewhere="outfit_id <> '$outfit' OR current_user <> 'skidway_service'"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# Everything is asked as the tables' owner, whom row-level security shows this outfit's rows alone.
export PGOPTIONS="-c skidway.outfit=$outfit -c client_min_messages=warning -c lock_timeout=10s"
ask() { psql --no-psqlrc --quiet --tuples-only --no-align --set ON_ERROR_STOP=1 "$@"; }
fail() { echo "$1" >&2; exit 1; }

# The tables, each behind those that its rows name.
tables=$(ask "$from" <<'SQL'
WITH RECURSIVE ours AS (
    SELECT oid FROM pg_class
    WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> '__diesel_schema_migrations'
), behind AS (
    SELECT oid, 0 AS depth FROM ours
    UNION
    SELECT conrelid, depth + 1 FROM behind JOIN pg_constraint ON confrelid = behind.oid
    WHERE contype = 'f' AND conrelid <> confrelid AND depth < 100
)
SELECT oid::regclass FROM behind GROUP BY oid ORDER BY max(depth), oid::regclass::text
SQL
)

# The columns of a table. Numbers of transactions mean nothing in another cluster: what is moved comes before everything that
# will happen there, in the order of its ids; and subscriptions to events were made after it.
columns() {
  ask "$from" --set table="$1" <<'SQL'
SELECT string_agg(CASE attname WHEN 'transaction_id' THEN '2::bigint AS transaction_id'
                               WHEN 'made_in' THEN '''3:3:''::text AS made_in' ELSE quote_ident(attname) END, ', '
                  ORDER BY attnum)
FROM pg_attribute WHERE attrelid = :'table'::regclass AND attnum > 0 AND NOT attisdropped
SQL
}

# What the database has of the outfit, a file for each table, in the order of the primary key as it is copied.
take_out() {
  mkdir "$work/$2"
  for table in $tables; do
    echo "\\copy (SELECT $(columns "$table") FROM $table ORDER BY $(key "$table")) TO '$work/$2/$table'"
  done | { echo 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY;'; cat; echo 'COMMIT;'; } | ask "$1" >/dev/null
}

key() {
  ask "$from" --set table="$1" <<'SQL'
SELECT string_agg(quote_ident(attname), ', ' ORDER BY place)
FROM pg_constraint CROSS JOIN unnest(conkey) WITH ORDINALITY AS part (number, place)
JOIN pg_attribute ON attrelid = conrelid AND attnum = number
WHERE conrelid = :'table'::regclass AND contype = 'p'
SQL
}

# 1. It can be moved.
[[ $(ask "$from" -c "SELECT count(*) FROM outfit") == 1 ]] || fail "FROM has no books of $outfit"
[[ $(ask "$to" -c "SELECT count(*) FROM outfit") == 0 ]] || fail "TO has books of $outfit already"
versions='SELECT string_agg(version, chr(10) ORDER BY version) FROM __diesel_schema_migrations'
[[ $(ask "$from" -c "$versions") == "$(ask "$to" -c "$versions")" ]] || fail "FROM and TO have not the same migrations"
# What is new must get later ids than what was moved, and ids begin with the time of whoever makes them.
newest=$(ask "$from" -c "SELECT coalesce(max(made_at), '-infinity') FROM audit_entry")
[[ $(ask "$to" -c "SELECT clock_timestamp() > '$newest'") == t ]] || fail "the clock of TO is behind the books: $newest"

# 2. From here on the database itself takes no record of it, whatever still comes past the proxy. Each table waits for the
#    transactions that have it in hand; one that goes on to a table behind this is undone as a whole.
reopen() { for table in $tables; do ask "$from" -c "DROP POLICY IF EXISTS $policy ON $table"; done; }
trap 'reopen; rm -rf "$work"' EXIT
for table in $tables; do
  ask "$from" -c "DROP POLICY IF EXISTS $policy ON $table;
                  CREATE POLICY $policy ON $table AS RESTRICTIVE FOR INSERT WITH CHECK ($elsewhere)"
done
waiting=$(ask "$from" -c "SET ROLE skidway_service" -c "SELECT count(*) FROM outfits_to_tell() AS told WHERE told = '$outfit'")
[[ $waiting == 0 ]] || fail "events of it are still to be delivered: wait until they are, or end its subscriptions"

# 3. All of it is copied in one transaction, under every rule of the other database. That database notes late changes by itself
#    while records come in, so it may have more of those than were here: weeks it names are stated once more, to the same.
noted=late_change
take_out "$from" before
for table in $tables; do
  again='' more="OR EXISTS (SELECT FROM (SELECT kept::text FROM $table AS kept EXCEPT ALL SELECT kept::text FROM moved AS kept) AS added)"
  if [[ $table == "$noted" ]]; then again='ON CONFLICT DO NOTHING' more=''; fi
  echo "CREATE TEMPORARY TABLE moved (LIKE $table) ON COMMIT DROP;"
  echo "\\copy moved FROM '$work/before/$table'"
  echo "INSERT INTO $table SELECT * FROM moved $again;"
  echo "DO \$\$ BEGIN
          IF EXISTS (SELECT FROM (SELECT kept::text FROM moved AS kept EXCEPT ALL SELECT kept::text FROM $table AS kept) AS lost)
             $more
          THEN RAISE EXCEPTION 'the copy of $table differs'; END IF;
        END \$\$;"
  echo "DROP TABLE moved;"
done | { echo 'BEGIN;'; cat; echo 'SET CONSTRAINTS ALL IMMEDIATE;'; echo 'COMMIT;'; } | ask "$to" >/dev/null

# 4. What is kept there now is what was here, byte for byte.
take_out "$to" after
[[ -z $(comm -23 <(sort "$work/before/$noted") <(sort "$work/after/$noted")) ]] || fail "late changes were lost; TO must not be used for $outfit"
diff -rq --exclude="$noted" "$work/before" "$work/after" >&2 || fail "the copy differs; FROM is open again, and TO must not be used for $outfit"

# 5. The service that works on FROM sees nothing of it any more.
trap 'rm -rf "$work"' EXIT
for table in $tables; do
  ask "$from" -c "DROP POLICY IF EXISTS $policy ON $table;
                  CREATE POLICY $policy ON $table AS RESTRICTIVE USING ($elsewhere) WITH CHECK ($elsewhere)"
done
echo "moved $(cat "$work"/before/* | wc -l) rows of $(wc -w <<<"$tables") tables; now: set map moved.map ${outfit//-/}"
