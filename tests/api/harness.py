"""The program under test and what it stands on: a PostgreSQL database of its own, the server as a
user starts it, and a client that holds every answer against the published contract.

MORROWLOAF names the binary. MORROWLOAF_TEST_CONNINFO is a libpq connection string (key=value form)
to a maintenance database as a superuser; without it a private cluster is made for the run.
"""

import atexit
import glob
import hashlib
import http.client
import json
import os
import pwd
import re
import shutil
import signal
import subprocess
import tempfile
import threading
import time
import uuid
from decimal import Decimal

import contract

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
STORES_NOTHING = ("/sessions", "/preview", "/water-temperature", "/offers", "/timetable", "/what-if", "/limit")  # and needs no key
START_SECONDS = 30
STOP_SECONDS = 30


def binary():
    path = os.environ.get("MORROWLOAF", os.path.join(ROOT, "build", "morrowloaf"))
    assert os.access(path, os.X_OK), f"no program at {path}: set MORROWLOAF"
    return path


def psql(conninfo, sql, seconds=600):
    """Runs SQL as the superuser and gives what it printed, unaligned."""
    done = subprocess.run(
        ["psql", "-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-d", conninfo, "-c", sql],
        capture_output=True, text=True, timeout=seconds)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


# --- PostgreSQL ---


class Cluster:
    """A PostgreSQL of our own: unix socket only, never as root."""

    def __init__(self, options=""):
        self.folder = tempfile.mkdtemp(prefix="morrowloaf-pg-")
        self.user = "postgres" if os.geteuid() == 0 else pwd.getpwuid(os.geteuid()).pw_name
        if os.geteuid() == 0:
            shutil.chown(self.folder, self.user)
        self.data = os.path.join(self.folder, "data")
        self.options = f"-c listen_addresses='' -c unix_socket_directories='{self.folder}' {options}"
        self.conninfo = f"host={self.folder} user=postgres dbname=postgres"
        self._as_user(self._tool("initdb"), "-D", self.data, "-U", "postgres", "--auth=trust",
                      "--encoding=UTF8", "--locale=C", "--no-sync")
        atexit.register(self.stop)  # also when the run is broken off
        self.start()

    def _tool(self, name):
        found = sorted(glob.glob(f"/usr/lib/postgresql/*/bin/{name}"))
        return found[-1] if found else shutil.which(name)

    def _as_user(self, *command, check=True):
        if os.geteuid() == 0:
            command = ("runuser", "-u", self.user, "--") + command
        return subprocess.run(command, check=check, stdout=subprocess.DEVNULL, cwd="/",
                              stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL).returncode

    def start(self):
        """Also after a crash, while processes of the one before are still dying."""
        for _ in range(100):
            if self._as_user(self._tool("pg_ctl"), "-D", self.data, "-w", "-l",
                             os.path.join(self.folder, "log"), "-o", self.options, "start",
                             check=False) == 0:
                return
            time.sleep(0.2)
        raise AssertionError("PostgreSQL does not start: see " + os.path.join(self.folder, "log"))

    def postmaster(self):
        with open(os.path.join(self.data, "postmaster.pid")) as pidfile:
            return int(pidfile.readline())

    def processes(self):
        """The postmaster and all its children."""
        parent = self.postmaster()
        children = subprocess.run(["ps", "-o", "pid=", "--ppid", str(parent)],
                                  capture_output=True, text=True).stdout.split()
        return [parent] + [int(pid) for pid in children]

    def signal(self, number, pids=None):
        for pid in pids or self.processes():
            try:
                os.kill(pid, number)
            except ProcessLookupError:
                pass

    def stop(self):
        if not os.path.exists(self.folder):
            return
        self._as_user(self._tool("pg_ctl"), "-D", self.data, "-m", "immediate", "-w", "stop",
                      check=False)
        shutil.rmtree(self.folder, ignore_errors=True)


class Databases:
    """Databases for servers, each a copy of one that was migrated and given three tokens."""

    def __init__(self, conninfo=None):
        self.cluster = None
        if not conninfo:
            self.cluster = Cluster("-c fsync=off -c full_page_writes=off")
            conninfo = self.cluster.conninfo
        self.conninfo = conninfo
        self.run = uuid.uuid4().hex[:8]
        self.count = 0
        self.made = []
        self.tokens = {}
        self.template = self._create("template0")
        program(self.template, "migrate")
        for role in ("owner", "baker", "counter"):
            said = program(self.template, "token", "add", f"t-{role}", "--role", role)
            self.tokens[role] = said.strip().splitlines()[-1]
        atexit.register(self.drop)

    def _create(self, template):
        self.count += 1
        name = f"morrowloaf_test_{self.run}_{self.count}"
        psql(self.conninfo, f"CREATE DATABASE {name} TEMPLATE {template}")
        self.made.append(name)
        # The tests do not crash this cluster; those that do (tests/faults) have one of their own.
        psql(self.conninfo, f"ALTER DATABASE {name} SET synchronous_commit = off")
        return self._conninfo(name)

    def _conninfo(self, name):
        return f"{self.conninfo} dbname={name}"

    def fresh(self):
        """The conninfo of a new database, migrated and empty."""
        return self._create(self.made[0])

    def drop(self):
        for name in self.made:
            subprocess.run(["psql", "-X", "-q", "-d", self.conninfo, "-c",
                            f"DROP DATABASE IF EXISTS {name} WITH (FORCE)"],
                           stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=60)
        self.made = []
        if self.cluster:
            self.cluster.stop()
            self.cluster = None


def open_bakeries(conninfo, count):
    """Adds empty bakeries to the database of a server, and gives the token of an owner of each."""
    tokens = [f"{number}.{uuid.uuid4().hex}" for number in range(2, count + 2)]
    digests = [hashlib.blake2b(token.encode(), digest_size=32).hexdigest() for token in tokens]
    rows = ", ".join(f"({token.split('.')[0]}, '{digest}')" for token, digest in zip(tokens, digests))
    psql(conninfo, f"""
        CREATE TEMPORARY TABLE wanted AS SELECT * FROM (VALUES {rows}) wanted (bakery_id, digest);
        INSERT INTO morrowloaf.bakery (bakery_id) SELECT bakery_id FROM wanted;
        INSERT INTO morrowloaf.access_token (bakery_id, digest, name, role)
        SELECT bakery_id, digest, 'owner', 'owner' FROM wanted;""")
    return tokens


# --- the program ---


def environment(conninfo, **more):
    return {**os.environ, "MORROWLOAF_DB": conninfo, "MORROWLOAF_LISTEN": "127.0.0.1:0", **more}


def program(conninfo, *words, status=0, typed=""):
    """Runs a command of the program and gives its standard output."""
    done = subprocess.run([binary(), *words], env=environment(conninfo), capture_output=True,
                          text=True, timeout=60, input=typed)
    assert done.returncode == status, f"morrowloaf {' '.join(words)}: {done.stderr}"
    return done.stdout


class Server:
    """`morrowloaf serve` on a port of the system's choice."""

    def __init__(self, conninfo, **more_environment):
        self.conninfo = conninfo
        self.environment = environment(conninfo, **more_environment)
        self.log = tempfile.NamedTemporaryFile(prefix="morrowloaf-log-", mode="w+", delete=False)
        self.process = None
        self.port = 0
        self.start()

    def start(self):
        self.log.seek(0, os.SEEK_END)
        begin = self.log.tell()
        self.process = subprocess.Popen([binary(), "serve"], env=self.environment,
                                        stdin=subprocess.DEVNULL, stdout=self.log, stderr=self.log)
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until and self.process.poll() is None:
            found = re.search(r"listening on http://127\.0\.0\.1:(\d+)", self.words(begin))
            if found:
                self.port = int(found.group(1))
                return
            time.sleep(0.01)
        raise AssertionError("the server does not come up:\n" + self.words(begin))

    def words(self, begin=0):
        """What it has logged."""
        with open(self.log.name, errors="replace") as log:
            log.seek(begin)
            return log.read()

    def stop(self):
        """Asks it to stop, and insists that nothing was wrong: a sanitizer's report is a failure."""
        self.process.send_signal(signal.SIGTERM)
        try:
            code = self.process.wait(STOP_SECONDS)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            code = "still running after SIGTERM"
        assert code == 0, f"the server ended with {code}:\n{self.words()[-6000:]}"
        os.unlink(self.log.name)

    def kill(self):
        self.process.kill()
        self.process.wait()

    def restart(self):
        self.process.send_signal(signal.SIGTERM)
        assert self.process.wait(STOP_SECONDS) == 0, self.words()[-6000:]
        self.start()


# --- asking it ---


class Answer:
    """What came back. Numbers with decimals are Decimal."""

    def __init__(self, status, headers, text):
        self.status = status
        self.headers = headers
        self.text = text
        is_json = "json" in (headers.get("Content-Type") or "")
        self.body = json.loads(text, parse_float=Decimal) if is_json and text else None

    @property
    def etag(self):
        return self.headers.get("ETag")

    @property
    def location(self):
        return self.headers.get("Location")

    @property
    def pointers(self):
        return [fault["pointer"] for fault in self.body["errors"]]

    def __getitem__(self, member):
        return self.body[member]

    def __repr__(self):
        return f"{self.status} {self.text[:600]}"


class Client:
    """Asks a server as the holder of a token. One connection a thread, kept open."""

    def __init__(self, server, token=None, checked=True):
        self.server = server
        self.token = token
        self.checked = checked
        self.local = threading.local()

    def _connection(self):
        known = getattr(self.local, "connection", None)
        if known is None or known.port != self.server.port:
            known = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
            self.local.connection = known
        return known

    def forget(self):
        """Drops the connection: the next request makes a new one."""
        known = getattr(self.local, "connection", None)
        if known is not None:
            known.close()
            self.local.connection = None

    def raw(self, method, path, body=None, headers=None):
        """Sends just this: no token, no media type, no key of our own. body is bytes or None."""
        connection = self._connection()
        try:
            try:
                connection.request(method, path, body=body, headers=headers or {})
            except (BrokenPipeError, ConnectionResetError):
                if connection.sock is None:  # not even connected
                    raise
                # Answered before it took the whole body.
            response = connection.getresponse()
            text = response.read().decode("utf-8")
        except (OSError, http.client.HTTPException):
            self.forget()
            raise
        if response.getheader("Connection", "").lower() == "close":
            self.forget()
        answer = Answer(response.status, response.headers, text)
        if self.checked:
            contract.check(method, path.split("?")[0], answer)
        return answer

    def ask(self, method, path, body=None, **headers):
        """A request under /api/v1 as a well-behaved client makes it. body: bytes, text or a value;
        headers with _ for -. A header of None leaves out what we would have sent."""
        if not path.startswith("/api/"):
            path = "/api/v1" + path
        sent = {}
        if self.token:
            sent["Authorization"] = f"Bearer {self.token}"
        if body is not None:
            sent["Content-Type"] = "application/json"
        if method == "POST" and not path.endswith(STORES_NOTHING):
            sent["Idempotency-Key"] = uuid.uuid4().hex
        for name, value in headers.items():
            sent[name.replace("_", "-")] = value
        sent = {name: value for name, value in sent.items() if value is not None}
        return self.raw(method, path, as_bytes(body), sent)

    def get(self, path, **headers):
        return self.ask("GET", path, **headers)

    def put(self, path, body, **headers):
        return self.ask("PUT", path, body, **headers)

    def post(self, path, body=None, **headers):
        return self.ask("POST", path, body, **headers)

    def delete(self, path, **headers):
        return self.ask("DELETE", path, **headers)

    def list(self, path):
        """All items of a list, page after page."""
        items = []
        while path:
            answer = self.get(path)
            assert answer.status == 200, answer
            items += answer["items"]
            path = answer["next"]
        return items


def as_bytes(body):
    if body is None or isinstance(body, bytes):
        return body
    if isinstance(body, str):
        return body.encode()
    return json.dumps(body, default=float).encode()


def enter(client, things):
    """PUTs every path: body in the order given; what an issue of entering must be is success."""
    for path, body in things.items():
        answer = client.put(path, body)
        assert answer.status in (200, 201), f"PUT {path}: {answer}"


def place(client, customer, date, **pieces):
    """An order; product codes with _ for -."""
    lines = [{"product": code.replace("_", "-"), "pieces": n} for code, n in pieces.items()]
    answer = client.post("/orders", {"customer": customer, "date": date, "lines": lines})
    assert answer.status == 201, answer
    return answer


def everything(client):
    """All that is stored, as text that can be compared: whatever a refused request left behind
    would show here."""
    dump = {"bakery": client.get("/bakery").text}
    for kind in ("ingredients", "suppliers", "starters", "formulas", "products", "customers",
                 "orders", "people", "tokens", "rates", "price-lists"):
        dump[kind] = client.list("/" + kind)
    for ingredient in dump["ingredients"]:
        code = ingredient["code"]
        dump["prices of " + code] = client.list(f"/ingredients/{code}/prices")
    for product in dump["products"]:
        dump["pricing of " + product["code"]] = client.get(f"/products/{product['code']}/pricing").text
    for price_list in dump["price-lists"]:
        dump["prices in " + price_list["code"]] = client.list(f"/price-lists/{price_list['code']}/prices")
    return dump


def at_once(calls):
    """Lets all of them go at the same moment; their answers."""
    gate, answers = threading.Barrier(len(calls)), [None] * len(calls)

    def run(n, call):
        gate.wait()
        answers[n] = call()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(calls)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers
