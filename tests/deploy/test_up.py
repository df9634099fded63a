"""deploy/up, deploy/backup and deploy/restore, as their user meets them: started, stopped, killed and
started again. The program is built by the scripts themselves, into build/."""

import datetime
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request

import pytest

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
START_SECONDS = 240  # the first start builds the program
STOP_SECONDS = 60


def environment(state, **more):
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("MORROWLOAF", "PG", "ASAN", "UBSAN"))}
    return {**kept, "MORROWLOAF_STATE": str(state), "MORROWLOAF_LISTEN": "127.0.0.1:0", **more}


def run(state, name, *words, status=0, stdin="", **more):
    done = subprocess.run([f"deploy/{name}", *words], env=environment(state, **more), input=stdin, cwd=ROOT,
                          capture_output=True, text=True, timeout=START_SECONDS)
    assert done.returncode == status, done.stderr
    return done


def processes():
    """What runs: number -> (parent, words)."""
    found = {}
    for line in subprocess.run(["ps", "-eo", "pid=,ppid=,args="], capture_output=True,
                               text=True).stdout.splitlines():
        pid, parent, words = line.split(None, 2)
        found[int(pid)] = (int(parent), words)
    return found


def below(pid):
    """A process and all that it started, parents first."""
    tree, all_of_them = [pid], processes()
    for known in tree:
        tree += [child for child, (parent, _) in all_of_them.items() if parent == known]
    return tree


def ignore_interrupts():
    signal.signal(signal.SIGINT, signal.SIG_IGN)


class Up:
    """A running deploy/up, begun as a shell begins what it puts in the background."""

    def __init__(self, state, log, *words, **more):
        self.log = log
        with open(log, "w") as out:
            self.process = subprocess.Popen(["deploy/up", *words], env=environment(state, **more), cwd=ROOT,
                                            stdin=subprocess.DEVNULL, stdout=out, stderr=out,
                                            preexec_fn=ignore_interrupts)
        until = time.monotonic() + START_SECONDS
        while "Ctrl-C stops" not in self.said():
            assert self.process.poll() is None and time.monotonic() < until, self.said()
            time.sleep(0.05)
        self.address = re.search(r"Morrowloaf is at (http://[0-9.:]+)/", self.said()).group(1)
        found = re.search(r"Sign in as (\S+) with the password (\S+)", self.said())
        self.name, self.password = found.groups() if found else (None, None)

    def said(self):
        with open(self.log) as log:
            return log.read()

    def ask(self, method, path, body=None, token=None):
        """Status and answer; the answer is None when it is no JSON."""
        request = urllib.request.Request(self.address + path, method=method)
        if token:
            request.add_header("Authorization", "Bearer " + token)
        if body is not None:
            request.data = json.dumps(body).encode()
            request.add_header("Content-Type", "application/json")
        try:
            with urllib.request.urlopen(request, timeout=20) as answer:
                status, text = answer.status, answer.read()
        except urllib.error.HTTPError as error:
            status, text = error.code, error.read()
        try:
            return status, json.loads(text)
        except ValueError:
            return status, None

    def sign_in(self, name, password):
        return self.ask("POST", "/api/v1/sessions", {"name": name, "password": password})[0]

    def stop(self, number=signal.SIGINT):
        """Asks the script alone to stop, and sees all of them end."""
        them = below(self.process.pid)
        self.process.send_signal(number)
        assert self.process.wait(STOP_SECONDS) == 0, self.said()
        ended(them)

    def kill_all(self):
        them = below(self.process.pid)
        for pid in them:
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                pass
        self.process.wait(STOP_SECONDS)
        return them


def ended(them):
    until = time.monotonic() + STOP_SECONDS
    while True:
        alive = [pid for pid in them if pid in processes() and "defunct" not in processes()[pid][1]]
        if not alive:
            return
        assert time.monotonic() < until, [processes().get(pid) for pid in alive]
        time.sleep(0.05)


@pytest.fixture
def start(tmp_path_factory):
    """start(state, words...): a running deploy/up that is gone after the test, however that ends."""
    running = []

    def begin(state, *words, **more):
        log = tmp_path_factory.mktemp("log") / "up.log"
        running.append(Up(state, log, *words, **more))
        return running[-1]

    yield begin
    for one in running:
        if one.process.poll() is None:
            one.kill_all()


@pytest.fixture(scope="module")
def states(tmp_path_factory):
    """One folder for states that users other than root may pass through."""
    folder = subprocess.run(["mktemp", "-d", "/tmp/morrowloaf-deploy.XXXXXX"], capture_output=True, text=True,
                            check=True).stdout.strip()
    os.chmod(folder, 0o755)
    yield folder
    subprocess.run(["rm", "-rf", folder])


@pytest.fixture(scope="module")
def demo(states):
    return os.path.join(states, "demo")


@pytest.fixture(scope="module")
def first(demo, tmp_path_factory):
    """The first start of a state, stopped again: what it said."""
    up = Up(demo, tmp_path_factory.mktemp("log") / "up.log")
    try:
        tomorrow = (datetime.date.today() + datetime.timedelta(days=2)).isoformat()
        up.token = run(demo, "up", "token", "first", "--role", "owner").stdout.splitlines()[-1]
        up.bakery = up.ask("GET", "/api/v1/bakery", token=up.token)
        up.production = up.ask("GET", f"/api/v1/days/{tomorrow}/production", token=up.token)
        up.costs = up.ask("GET", f"/api/v1/days/{tomorrow}/cost", token=up.token)
        up.signed_in = up.sign_in(up.name, up.password)
        up.page = up.ask("GET", "/")[0]
        up.again = run(demo, "up", status=1).stderr
        up.tree = {pid: processes()[pid] for pid in below(up.process.pid)}
        up.owners = {user for pid in up.tree for user in owner_of(pid)}
        up.stop()
    finally:
        if up.process.poll() is None:
            up.kill_all()
    return up


def owner_of(pid):
    words = processes()[pid][1]
    if "postgres" not in words and "morrowloaf serve" not in words:
        return []
    return [os.stat(f"/proc/{pid}").st_uid]


def test_a_new_state_has_the_demo_and_a_way_in(first):
    assert first.signed_in == 201
    assert first.page == 200
    assert first.bakery[0] == 200 and first.bakery[1]["name"]
    assert first.production[0] == 200 and len(first.production[1]["products"]) > 5
    assert first.costs[0] == 200 and first.costs[1]["missing"] == []


def test_a_second_copy_says_so_and_stops(first):
    assert "at work" in first.again


def test_neither_postgresql_nor_the_server_is_root(first):
    assert first.owners and 0 not in first.owners


def test_the_database_is_reached_through_its_socket_alone(first):
    words = [words for _, words in first.tree.values() if "postgres -D" in words]
    assert len(words) == 1 and "listen_addresses=" in words[0].split()


def test_a_second_start_finds_its_data(first, demo, start):
    up = start(demo)
    assert up.password is None
    assert up.sign_in(first.name, first.password) == 201
    assert up.ask("GET", "/api/v1/bakery", token=first.token)[0] == 200
    up.stop(signal.SIGTERM)
    assert not os.path.exists(os.path.join(demo, "socket"))


def test_killed_hard_it_starts_again(first, demo, start):
    up = start(demo)
    body = {"name": "Written just before the lamp went out"}
    assert up.ask("PUT", "/api/v1/suppliers/lamp", body, first.token)[0] in (200, 201)
    up.kill_all()
    again = start(demo)
    assert again.ask("GET", "/api/v1/suppliers/lamp", token=first.token)[1]["name"] == body["name"]
    again.stop()


def test_the_lock_file_of_a_dead_postgresql_does_not_keep_it_from_starting(first, demo, start):
    start(demo).kill_all()
    # The number has since gone to another process of the same user: this one's sleep.
    user = os.stat(os.path.join(demo, "data")).st_uid
    sleeper = subprocess.Popen(["sleep", "300"], user=user if os.geteuid() == 0 else None)
    lock = os.path.join(demo, "data", "postmaster.pid")
    with open(lock) as file:
        lines = file.read().split("\n")
    with open(lock, "w") as file:
        file.write("\n".join([str(sleeper.pid)] + lines[1:]))
    try:
        start(demo).stop()
    finally:
        sleeper.kill()
        sleeper.wait()


def test_the_script_killed_alone_takes_the_rest_with_it(first, demo, start):
    up = start(demo)
    them = below(up.process.pid)
    os.kill(up.process.pid, signal.SIGKILL)
    ended(them)
    start(demo).stop()


def test_tokens_and_people_while_it_is_stopped(first, demo, start):
    token = run(demo, "up", "token", "stopped", "--role", "counter").stdout.splitlines()[-1]
    run(demo, "up", "user", "mara", "--role", "baker", stdin="a long enough word\n")
    up = start(demo)
    assert up.ask("GET", "/api/v1/sessions/current", token=token)[1]["role"] == "counter"
    assert up.sign_in("mara", "a long enough word") == 201
    up.stop()


@pytest.mark.parametrize("words", [["token"], ["token", "x"], ["user", "x", "--role", "king"], ["nonsense"],
                                   ["--empty", "more"]])
def test_wrong_words_are_refused(first, demo, words):
    assert run(demo, "up", *words, status=2).stderr


def test_a_short_password_is_refused(first, demo):
    done = run(demo, "up", "user", "mara", "--role", "baker", stdin="short\n", status=1)
    assert "10 characters" in done.stderr


def test_a_start_that_fails_still_tells_the_password(first, states, start):
    """The first person is there by then, and nobody would know the word."""
    state = os.path.join(states, "taken")
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        said = run(state, "up", "--empty", status=1, MORROWLOAF_LISTEN="127.0.0.1:%d" % other.getsockname()[1]).stderr
    assert "cannot listen" in said
    name, password = re.search(r"Sign in as (\S+) with the password (\S+)", said).groups()
    up = start(state, "--empty")
    assert up.password is None and up.sign_in(name, password) == 201
    up.stop()


def test_empty_is_empty_and_a_long_path_is_no_hindrance(first, states, start):
    state = os.path.join(states, "a folder with spaces and 'marks', " + "deep" * 20)
    up = start(state, "--empty")
    token = run(state, "up", "token", "any", "--role", "owner").stdout.splitlines()[-1]
    assert up.ask("GET", "/api/v1/bakery", token=token)[0] == 404
    assert up.sign_in(up.name, up.password) == 201
    with open(os.path.join(state, "socket-at")) as file:
        folder = file.read().strip()
    assert os.stat(folder).st_mode & 0o777 == 0o700
    up.stop()
    assert not os.path.exists(folder)


def test_another_database(first, demo, states, start):
    """MORROWLOAF_DB: here one more database in the PostgreSQL of a running one."""
    host = start(demo)
    state = os.path.join(states, "other")
    with open(os.path.join(demo, "running")) as file:
        socket = file.read().strip()
    user = os.stat(os.path.join(demo, "data")).st_uid
    ruler = f"host={socket} port=5432 user=postgres"
    done = subprocess.run(["psql", "-X", "-d", ruler + " dbname=postgres", "-c", "CREATE DATABASE other"],
                          user=user if os.geteuid() == 0 else None, capture_output=True, text=True, cwd="/")
    assert done.returncode == 0, done.stderr
    up = start(state, "--empty", MORROWLOAF_DB=ruler + " dbname=other")
    assert up.sign_in(up.name, up.password) == 201
    assert not os.path.exists(os.path.join(state, "data"))
    token = run(state, "up", "token", "other", "--role", "owner", MORROWLOAF_DB=ruler + " dbname=other")
    assert up.ask("PUT", "/api/v1/suppliers/mill", {"name": "Mill"}, token.stdout.splitlines()[-1])[0] == 201
    up.stop()

    # Backup and restore reach it as who calls, who may not be able to enter this checkout.
    copy = os.path.join(states, "copy")
    for folder in ("deploy", "sql"):
        shutil.copytree(os.path.join(ROOT, folder), os.path.join(copy, folder))
    if os.geteuid() == 0:
        os.chown(copy, user, -1)

    def as_ruler(database, *words):
        return subprocess.run(words, env=environment(state, MORROWLOAF_DB=f"{ruler} dbname={database}"), cwd=copy,
                              user=user if os.geteuid() == 0 else None, capture_output=True, text=True)

    def psql(database, sql):
        return as_ruler(database, "psql", "-X", "-A", "-t", "-d", f"{ruler} dbname={database}", "-c", sql)

    done = as_ruler("other", "deploy/backup", "other.dump")
    assert done.returncode == 0, done.stderr
    assert psql("postgres", "CREATE DATABASE third").returncode == 0
    done = as_ruler("third", "deploy/restore", "other.dump")
    assert done.returncode == 0, done.stderr
    assert psql("third", "SELECT name FROM morrowloaf.supplier").stdout == "Mill\n"
    assert as_ruler("third", "deploy/restore", "other.dump").returncode == 1
    host.stop()


def test_backup_and_restore(first, demo, states, start):
    file = os.path.join(states, "backup.dump")
    up = start(demo)
    run(demo, "backup", file)
    assert os.stat(file).st_mode & 0o077 == 0
    assert run(demo, "backup", file, status=1).stderr
    assert up.ask("PUT", "/api/v1/suppliers/later", {"name": "After the backup"}, first.token)[0] == 201
    assert "running" in run(demo, "restore", file, status=1).stderr
    up.stop()
    run(demo, "restore", file)
    again = start(demo)
    assert again.ask("GET", "/api/v1/suppliers/later", token=first.token)[0] == 404
    assert again.ask("GET", "/api/v1/suppliers/tollgate-mill", token=first.token)[0] == 200
    assert again.sign_in(first.name, first.password) == 201
    again.stop()


def test_a_damaged_backup_is_not_restored(first, demo, states):
    file = os.path.join(states, "damaged.dump")
    with open(os.path.join(states, "backup.dump"), "rb") as whole, open(file, "wb") as half:
        half.write(whole.read()[:-2000])
    run(demo, "restore", file, status=1)
    run(demo, "up", "token", "still", "--role", "owner")
