#!/bin/sh
# Runs a PostgreSQL server for tests as the user it is started as, for as long as somebody uses it.
#
# Arguments: the folder of PostgreSQL's programs, a folder for everything, a file that every user holds a shared lock
# on, the port. The port is written to FOLDER/port once the server answers. A few seconds after the last lock is gone,
# however its holder ended, the server is stopped and the folder's contents are removed.
set -u
bin=$1 folder=$2 users=$3 port=$4

"$bin/initdb" -D "$folder/data" -U classwright --auth=trust --encoding=UTF8 --locale=C >"$folder/log" 2>&1 || exit 1
"$bin/postgres" -D "$folder/data" -p "$port" -k "$folder" \
  -c listen_addresses=127.0.0.1 -c max_connections=200 -c shared_buffers=64MB >>"$folder/log" 2>&1 &
server=$!

until "$bin/pg_isready" -q -h 127.0.0.1 -p "$port"; do
  kill -0 "$server" 2>/dev/null || exit 1
  sleep 0.05
done
echo "$port" >"$folder/port.new" && mv "$folder/port.new" "$folder/port"

idle=0
while [ "$idle" -lt 3 ] && kill -0 "$server" 2>/dev/null; do
  sleep 1
  if flock --nonblock --exclusive "$users" true; then idle=$((idle + 1)); else idle=0; fi
done

# Whoever comes now waits until the server is gone, and starts another.
exec 9<"$users"
flock --exclusive 9
rm -f "$folder/port"
kill -INT "$server" 2>/dev/null
wait "$server"
rm -rf "$folder/data"
