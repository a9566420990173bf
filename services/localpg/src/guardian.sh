# Starts a database server and ends it when the process that wanted it is gone, however that went.
#
# That process holds the other end of our standard input. A line there is the name of a signal to pass on; its
# end means that nobody needs the server any more. The kernel closes it even after `kill -9`.
#
# Arguments: the signal that ends the server, two directories to remove afterwards (each may be empty), and then
# the server's command line.

ending=$1 scratch=$2 socket=$3
shift 3

# Whoever ends the whole session must find the server up until its user has finished with it.
trap '' HUP INT TERM

exec 3<&0 </dev/null
"$@" 3<&- &
server=$!

# No standard output here: it carries the lock that says the server lives.
(
    while read -r signal; do kill -s "$signal" "$server"; done
    # Repeated, because a server that is only just starting does not listen yet.
    while kill -s "$ending" "$server"; do sleep 1; done
) <&3 >/dev/null 2>&1 &
listener=$!
exec 3<&-

wait "$server"
kill -s KILL "$listener"
# A killed process is there until it is waited for: whoever waits for us must find nothing left.
wait "$listener" 2>/dev/null
for directory in "$scratch" "$socket"; do
    [ -z "$directory" ] || rm -rf -- "$directory"
done
