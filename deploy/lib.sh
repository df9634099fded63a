# shellcheck shell=bash
# What the scripts of deploy/ and tests/run share; sourced, never run.
#
# Words: the house is this checkout; the worker is the user that PostgreSQL and the server run as, never
# root. As an ordinary user the worker is oneself.

house=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd -P)
worker=$(id -un) || worker=
# shellcheck disable=SC2034 # used by those who source this
came_from=$PWD
self=$(readlink -f "$0")
# The worker may not be allowed where the caller stands.
[ -z "${MORROWLOAF_STATE:-}" ] || MORROWLOAF_STATE=$(realpath -m "$MORROWLOAF_STATE")
cd /

# Debian's packages that the program is built with and runs on, and those of a database of its own.
# shellcheck disable=SC2034 # used by those who source this
program_packages=(gcc libc6-dev make cmake pkgconf libmicrohttpd-dev libpq-dev libjansson-dev libsodium-dev tzdata)
# shellcheck disable=SC2034
database_packages=(postgresql postgresql-client)

say() {
    printf '%s\n' "$*" >&2 || true
}

die() {
    say "$(basename "$0"): $*"
    exit 1
}

is_root() {
    [ "$(id -u)" = 0 ]
}

# --- packages ---

package_is_there() {
    case $1 in
        # Any server version will do, and it need not have come from Debian's meta-package.
        postgresql) compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null ;;
        postgresql-client) compgen -G '/usr/lib/postgresql/*/bin/psql' >/dev/null ;;
        *) [ "$(dpkg-query -W -f '${db:Status-Status}' "$1" 2>/dev/null)" = installed ] ;;
    esac
}

# Installs those of the packages that are missing; asks apt nothing when none is.
need_packages() {
    local name missing=() superuser=()
    command -v dpkg-query >/dev/null || die "this needs Debian 12 or a system made like it (no dpkg-query here)"
    for name in "$@"; do
        package_is_there "$name" || missing+=("$name")
    done
    [ ${#missing[@]} -gt 0 ] || return 0
    if ! is_root; then
        command -v sudo >/dev/null ||
            die "these packages are missing and there is no sudo; as root: apt-get install ${missing[*]}"
        superuser=(sudo)
    fi
    say "Installing Debian's packages: ${missing[*]}"
    "${superuser[@]}" bash -s "${missing[@]}" <<'INSTALL' || die "the packages could not be installed; see above"
set -eu
export DEBIAN_FRONTEND=noninteractive
log=$(mktemp)
quiet() {
    "$@" >"$log" 2>&1 || { tail -n 30 "$log" >&2; return 1; }
}
# We bring a PostgreSQL cluster of our own: a first installation need not make and start another.
no_cluster=/etc/postgresql-common/createcluster.d/morrowloaf.conf
clean_up() {
    rm -f "$log" "$no_cluster"
}
trap clean_up EXIT
if ! compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null; then
    mkdir -p "$(dirname "$no_cluster")"
    echo 'create_main_cluster = false' >"$no_cluster"
fi
quiet apt-get -o DPkg::Lock::Timeout=300 update || echo 'apt-get update failed; trying with the lists that are here' >&2
quiet apt-get -o DPkg::Lock::Timeout=300 install -y --no-install-recommends "$@"
INSTALL
}

# --- who does what ---

# Runs a command as the worker: in this very process when called in a subshell with exec.
as_worker() {
    if is_root; then
        HOME=/nonexistent setpriv --reuid="$worker" --regid="$(id -g "$worker")" --init-groups -- "$@"
    else
        "$@"
    fi
}

# A new folder that is the worker's alone.
make_worker_folder() {
    mkdir -m 700 "$1"
    ! is_root || chown "$worker:" "$1"
}

# Root brings the packages, but a checkout that belongs to somebody is built and run as that user: so that
# `sudo deploy/up` and `deploy/up` find the same files, and nothing of theirs ends up root's.
become_owner_of_house() {
    local owner
    is_root || return 0
    owner=$(stat -c %U "$house")
    case $owner in root | UNKNOWN) return 0 ;; esac
    unset XDG_RUNTIME_DIR
    HOME=$(getent passwd "$owner" | cut -d: -f6)
    export HOME
    exec setpriv --reuid="$owner" --regid="$(id -g "$owner")" --init-groups -- "$self" "$@"
}

# --- building ---

# build FOLDER CMAKE-OPTION...: configures and builds; shows the compiler's words only when it fails.
build() {
    local folder=$1 log
    shift
    mkdir -p "$folder" 2>/dev/null || true
    [ -w "$folder" ] || die "$folder is not yours to write to; clone the repository as this user"
    log=$folder/build.log
    if [ -f "$folder/CMakeCache.txt" ] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$house" "$folder/CMakeCache.txt"; then
        rm -rf "$folder/CMakeCache.txt" "$folder/CMakeFiles" # the checkout was moved
    fi
    if ! { cmake -S "$house" -B "$folder" "$@" && cmake --build "$folder" -j "$(nproc)"; } >"$log" 2>&1; then
        tail -n 40 "$log" >&2
        say "building failed; all of it is in $log"
        return 1
    fi
}

# --- PostgreSQL ---

# The folder of PostgreSQL's programs: of the version that made the data folder, else the newest.
postgres_programs() {
    local data=${1:-} version
    if [ -n "$data" ] && version=$(as_worker cat "$data/PG_VERSION" 2>/dev/null); then
        [ -x "/usr/lib/postgresql/$version/bin/postgres" ] ||
            die "the data in $data were made by PostgreSQL $version, which is not installed: apt-get install postgresql-$version"
        echo "/usr/lib/postgresql/$version/bin"
        return
    fi
    printf '%s\n' /usr/lib/postgresql/*/bin/initdb | sort -V | tail -n 1 | xargs dirname
}

# A process whose working folder is this one, as those of PostgreSQL are.
at_work_in() {
    as_worker find /proc -mindepth 2 -maxdepth 2 -path '/proc/[0-9]*/cwd' -printf '%l\t%h\n' 2>/dev/null |
        folder=$1 awk -F '\t' '$1 == ENVIRON["folder"] && !found { print substr($2, 7); found = 1 }' || true
}

# Waits until no process works in a data folder, and takes away the lock file of one that was killed: its
# process number may since have gone to another, for which PostgreSQL would take it.
wait_until_idle() {
    local data=$1 tries=0 busy
    data=$(readlink -f "$data")
    while busy=$(at_work_in "$data") && [ -n "$busy" ]; do
        [ $((tries += 1)) -le 300 ] || die "a PostgreSQL is at work in $data (process $busy)"
        [ $tries -ne 10 ] || say "Waiting for an earlier PostgreSQL to stop"
        sleep 0.2
    done
    as_worker rm -f "$data/postmaster.pid"
}

# A folder for the socket: in the state, unless its path is too long for a socket or not plain enough for a
# connection string.
make_socket_folder() {
    local wanted=$1 remembered=$2 old
    if [ -f "$remembered" ]; then
        old=$(cat "$remembered")
        case $old in */morrowloaf.??????) rm -rf "$old" ;; esac
        rm -f "$remembered"
    fi
    socket=$wanted
    if [[ ${#wanted} -gt 90 || ! $wanted =~ ^[A-Za-z0-9/._+@=-]+$ ]]; then
        socket=$(mktemp -u "${XDG_RUNTIME_DIR:-/tmp}/morrowloaf.XXXXXX")
        echo "$socket" >"$remembered"
    fi
    rm -rf "$socket"
    make_worker_folder "$socket"
}

# start_postgres DATA SOCKET-FOLDER LOG OPTION...: starts it as a child of this script and waits until it
# answers. Its own session keeps Ctrl-C from it: the server stops first. Should this script be killed, it
# stops by itself.
start_postgres() {
    local data=$1 socket_folder=$2 log=$3 programs tries=0 identity=()
    shift 3
    programs=$(postgres_programs "$data")
    wait_until_idle "$data"
    is_root && identity=("--reuid=$worker" "--regid=$(id -g "$worker")" --init-groups)
    setsid setpriv "${identity[@]}" --pdeathsig INT -- "$programs/postgres" -D "$data" -k "$socket_folder" \
        -c listen_addresses= -c port=5432 "$@" </dev/null >>"$log" 2>&1 9>&- &
    postgres_pid=$!
    until as_worker "$programs/pg_isready" -q -h "$socket_folder" -p 5432; do
        if ! kill -0 "$postgres_pid" 2>/dev/null; then
            tail -n 20 "$log" >&2
            die "PostgreSQL did not start; its words are in $log"
        fi
        [ $((tries += 1)) -ne 100 ] || say "PostgreSQL is putting its data in order after a hard stop"
        [ $tries -le 6000 ] || die "PostgreSQL does not answer; its words are in $log"
        sleep 0.1
    done
}

stop_postgres() {
    local tries=0
    [ -n "${postgres_pid:-}" ] || return 0
    kill -INT "$postgres_pid" 2>/dev/null || true
    while kill -0 "$postgres_pid" 2>/dev/null; do
        [ $((tries += 1)) -ne 600 ] || kill -QUIT "$postgres_pid" 2>/dev/null || true
        sleep 0.1
    done
    wait "$postgres_pid" 2>/dev/null || true
    postgres_pid=
}
