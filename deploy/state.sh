# shellcheck shell=bash
# The state of one Morrowloaf: the folder with its private PostgreSQL, who works in it, the program that runs
# on it, and how a command reaches its database. Sourced after lib.sh.
#
# In the state: data/ (PostgreSQL's), socket/, program/ (a copy, when the worker may not read the checkout),
# lock, running (while it is served: the folder of the socket), *.log. An `elsewhere` names another folder.

# The connections of PostgreSQL's own clients are told in full; whatever else the environment says about
# them would only mislead. With $MORROWLOAF_DB the environment may be part of it.
if [ -z "${MORROWLOAF_DB:-}" ]; then
    for name in "${!PG@}"; do unset "$name"; done
    private=true
else
    private=false
fi

# --- the folder, and who works in it ---

# Root gives the work to a user who can do nothing else on this machine: PostgreSQL refuses to run as root,
# and the server has no need to. Not `postgres`: that user may rule over other clusters here.
choose_worker() {
    [ -n "$worker" ] || die "user $(id -u) has no name on this system, which PostgreSQL asks for"
    is_root || return 0
    worker=
    [ ! -d "$state/data" ] || worker=$(stat -c %U "$state/data")
    case $worker in '' | root | UNKNOWN) worker=morrowloaf ;; esac
    getent passwd "$worker" >/dev/null ||
        useradd --system --user-group --no-create-home --home-dir /nonexistent --shell /usr/sbin/nologin "$worker"
}

worker_can_enter() {
    as_worker test -x "$1" 2>/dev/null
}

# A folder that others may pass through as root (the worker must), and nobody else's otherwise. One that was
# there keeps its permissions unless it is empty and root's.
make_state_folder() {
    local mode=700
    ! is_root || mode=711
    if [ ! -d "$1" ]; then
        mkdir -p "$(dirname "$1")" || die "the folder of $1 cannot be made"
        mkdir -m "$mode" "$1" || die "the folder $1 cannot be made"
    elif is_root && [ -O "$1" ] && [ -z "$(ls -A "$1")" ]; then
        chmod a+x "$1"
    fi
    [ -w "$1" ] || die "$1 belongs to $(stat -c %U "$1"); run this as that user"
}

# Sets state and worker. When the worker may not enter the folder (a checkout in /root), the state moves to
# /var/lib/morrowloaf and the folder remembers where: to loosen /root is not for us.
settle_state() {
    local wanted
    wanted=$(realpath -m "${MORROWLOAF_STATE:-$house/.state}")
    make_state_folder "$wanted"
    state=$wanted
    if [ -f "$wanted/elsewhere" ]; then
        state=$(cat "$wanted/elsewhere")
        [ -d "$state" ] || die "the data were in $state, which is gone; to begin anew remove $wanted/elsewhere"
    fi
    choose_worker
    if ! worker_can_enter "$state"; then
        [ ! -d "$state/data" ] || die "the data are in $state, which the user $worker may not enter"
        mkdir -p /var/lib/morrowloaf
        chmod 755 /var/lib/morrowloaf
        state=$(mktemp -d /var/lib/morrowloaf/state.XXXXXX)
        chmod 711 "$state"
        worker_can_enter "$state" || die "the user $worker may enter neither $wanted nor $state; set MORROWLOAF_STATE"
        echo "$state" >"$wanted/elsewhere"
        say "The user $worker, as whom PostgreSQL and the server run, may not enter $wanted."
        say "So the data are kept in $state; $wanted/elsewhere remembers that."
    fi
    [ ! -d "$state/data" ] || is_root || [ -O "$state/data" ] ||
        die "the data in $state belong to $(stat -c %U "$state/data"); run this as that user or as root"
}

# One at a time works on a state. The lock goes with this process, however it ends: what it starts does not
# inherit it (9>&-).
take_lock() {
    exec 9>>"$state/lock"
    flock -n 9 || return 1
    rm -f "$state/running"
}

# --- the program ---

build_program() {
    say "Building the program"
    build "$house/build" -DCMAKE_BUILD_TYPE=RelWithDebInfo -DMORROWLOAF_TESTS=OFF || exit 1
}

worker_can_read() {
    local unreadable
    unreadable=$(as_worker find "$@" ! -readable -print -quit 2>&1) && [ -z "$unreadable" ]
}

# Sets program and MORROWLOAF_SHARE: the checkout's own or, when the worker may not read those, a copy.
settle_program() {
    local folder=$state/program
    program=$house/build/morrowloaf
    export MORROWLOAF_SHARE=$house
    worker_can_read "$program" "$house/sql" "$house/static" "$house/deploy/demo.json" && return
    rm -rf "$folder.new"
    mkdir -p "$folder.new/deploy"
    cp "$program" "$folder.new/"
    cp -R "$house/sql" "$house/static" "$folder.new/"
    cp "$house/deploy/demo.json" "$folder.new/deploy/"
    chmod -R u=rwX,go=rX "$folder.new"
    rm -rf "$folder"
    mv "$folder.new" "$folder"
    use_copy
}

use_copy() {
    program=$state/program/morrowloaf
    export MORROWLOAF_SHARE=$state/program
}

morrowloaf() {
    as_worker "$program" "$@" 9>&-
}

# --- the private PostgreSQL ---

# Only the worker may connect, and only through the socket: as `postgres`, who rules the cluster and migrates,
# or as the server, who owns nothing.
make_cluster() {
    local programs fresh=$state/data.new
    [ ! -d "$state/data" ] || return 0
    programs=$(postgres_programs)
    say "Making a PostgreSQL cluster in $state/data"
    rm -rf "$fresh"
    make_worker_folder "$fresh"
    if ! as_worker "$programs/initdb" -D "$fresh" -U postgres -A peer -k -E UTF8 --locale=C --lc-ctype=C.UTF-8 \
        >"$state/initdb.log" 2>&1; then
        tail -n 20 "$state/initdb.log" >&2
        die "the PostgreSQL cluster could not be made"
    fi
    as_worker tee "$fresh/pg_hba.conf" >/dev/null <<<'local all all peer map=house'
    as_worker tee "$fresh/pg_ident.conf" >/dev/null <<TEXT
house "$worker" postgres
house "$worker" morrowloaf_server
TEXT
    as_worker tee -a "$fresh/postgresql.conf" >/dev/null <<'TEXT'

# Morrowloaf: what was acknowledged is never lost; reached through the socket alone.
fsync = on
full_page_writes = on
synchronous_commit = on
listen_addresses = ''
log_line_prefix = '%m [%p] '
TEXT
    mv "$fresh" "$state/data"
}

address_for() {
    echo "host=$socket port=5432 dbname=morrowloaf user=$1"
}

as_ruler() {
    as_worker "$programs/psql" -X -q -v ON_ERROR_STOP=1 "$@"
}

# Sets ruler_db, the connection of who may do everything, and MORROWLOAF_DB, the server's.
use_private() {
    programs=$(postgres_programs "$state/data")
    ruler_db=$(address_for postgres)
    MORROWLOAF_DB=$(address_for morrowloaf_server)
    export MORROWLOAF_DB
}

start_private() {
    make_cluster
    make_socket_folder "$state/socket" "$state/socket-at"
    start_postgres "$state/data" "$socket" "$state/postgresql.log"
    use_private
    as_ruler -d "${ruler_db/dbname=morrowloaf/dbname=postgres}" <<'SQL'
SELECT 'CREATE ROLE morrowloaf_server LOGIN'
 WHERE NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'morrowloaf_server') \gexec
SELECT 'CREATE DATABASE morrowloaf'
 WHERE NOT EXISTS (SELECT FROM pg_database WHERE datname = 'morrowloaf') \gexec
SQL
}

migrate_private() {
    MORROWLOAF_DB=$ruler_db morrowloaf migrate
    as_ruler -d "$ruler_db" -c 'SET client_min_messages = warning' -c 'GRANT morrowloaf_app TO morrowloaf_server'
}

stop_private() {
    stop_postgres
    [ -z "${socket:-}" ] || rm -rf "$socket"
    rm -f "$state/socket-at"
}

# A function of the script's own to call before PostgreSQL is stopped; empty: none.
at_end=

end() {
    trap '' INT TERM HUP
    [ -z "$at_end" ] || "$at_end"
    [ -z "${postgres_pid:-}" ] || stop_private
}

# Runs a command with the database at hand, whether it is served at present or not. That of $MORROWLOAF_DB is
# reached as whoever calls.
with_database() {
    local tries=0
    trap end EXIT
    trap 'exit 1' INT TERM HUP
    if ! $private; then
        programs=$(postgres_programs)
        ruler_db=$MORROWLOAF_DB
        "$@"
        return
    fi
    settle_state
    until take_lock; do
        if [ -s "$state/running" ]; then
            program=$house/build/morrowloaf
            export MORROWLOAF_SHARE=$house
            [ ! -d "$state/program" ] || use_copy
            socket=$(cat "$state/running")
            use_private
            "$@"
            return
        fi
        [ $((tries += 1)) -ne 10 ] || say "Waiting for another deploy/up to get ready"
        [ $tries -le 1200 ] || die "another deploy/up holds $state and does not get ready"
        sleep 0.5
    done
    [ -x "$house/build/morrowloaf" ] || build_program
    settle_program
    start_private
    migrate_private
    "$@"
}
