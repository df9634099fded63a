"""What the program does when it cannot begin: it says why and ends, and never half serves."""

import subprocess

import pytest

import harness


@pytest.fixture
def database(cluster):
    name = f"empty_{database_number()}"
    harness.psql(cluster.conninfo, f"CREATE DATABASE {name}")
    return f"{cluster.conninfo} dbname={name}"


def database_number(count=[0]):
    count[0] += 1
    return count[0]


def serve(conninfo, **more):
    done = subprocess.run([harness.binary(), "serve"], env=harness.environment(conninfo, **more), capture_output=True,
                          text=True, timeout=30)
    assert done.returncode != 0
    return done.stderr


def test_without_a_database_it_says_so():
    assert "/nowhere" in serve("host=/nowhere dbname=none") or "connect" in serve("host=/nowhere dbname=none")


def test_a_database_that_was_not_migrated_is_refused(database):
    assert "migrat" in serve(database)


def test_a_schema_that_is_newer_than_the_program_is_refused(database):
    harness.program(database, "migrate")
    harness.psql(database, "INSERT INTO morrowloaf.migration SELECT number + 1, 'later', checksum FROM morrowloaf.migration "
                           "ORDER BY number DESC LIMIT 1")
    assert "newer" in serve(database)
    harness.program(database, "migrate", status=1)


def test_a_migration_that_was_changed_after_it_ran_is_refused(database):
    harness.program(database, "migrate")
    harness.psql(database, "UPDATE morrowloaf.migration SET checksum = 'another'")
    assert serve(database)


def test_migrating_twice_and_at_once_is_migrating_once(database):
    running = [subprocess.Popen([harness.binary(), "migrate"], env=harness.environment(database), stderr=subprocess.PIPE)
               for _ in range(4)]
    errors = [process.communicate(timeout=60)[1] for process in running]
    assert [process.returncode for process in running] == [0] * 4, errors
    harness.Server(database).stop()


def test_a_port_that_is_taken_is_a_failure(cluster, bakery):
    first = harness.Server(bakery[0])
    assert serve(bakery[0], MORROWLOAF_LISTEN=f"127.0.0.1:{first.port}")
    first.stop()


@pytest.mark.parametrize("name, value", [("MORROWLOAF_READERS", "none"), ("MORROWLOAF_DEADLINE_MS", "-1"), ("MORROWLOAF_LISTEN", "here")])
def test_a_setting_that_makes_no_sense_is_named(cluster, name, value):
    assert name in serve(cluster.conninfo, **{name: value})
