"""Arbitrary bytes to the JSON reader, by libFuzzer with sanitizers, from a few good bodies on."""

import json
import os
import re
import shutil
import subprocess

import pytest

from harness import ROOT

SECONDS = int(os.environ.get("MORROWLOAF_FUZZ_SECONDS", "8"))
GOOD = [
    {"customer": "cafe", "date": "2027-03-28", "lines": [{"product": "bun", "pieces": 12}], "note": "Back door"},
    {"customer": "a-1", "date": "1900-01-01", "ready_at": "06:30",
     "lines": [{"product": "x", "pieces": 2.0, "pct": 66.6667, "price": "18.400001"}, {"product": "y", "pieces": 1e2, "pct": "1e-4"}]},
    {"customer": None, "date": "2027-02-30", "lines": [[]], "é\u0001": {"deep": [[[{}]]]}, "note": "\ud83c\udf5e"},
]
TEXTS = [b'{"a":1,"a":2}', b'{"pieces": 9223372036854775808}', b'{"pct": 1e400}', b'"\\u0000"', b'"\xed\xa0\x80"', b"[" * 3000, b"NaN", b""]


@pytest.fixture(scope="module")
def fuzzer(tmp_path_factory):
    compiler = shutil.which("clang") or shutil.which("clang-14")
    if not compiler:
        pytest.skip("needs clang")
    folder = tmp_path_factory.mktemp("fuzz")
    flags = subprocess.run(["pkg-config", "--cflags", "--libs", "jansson"], capture_output=True, text=True, check=True).stdout.split()
    sources = [os.path.join(ROOT, "server", part, name) for part in ("base", "json")
               for name in sorted(os.listdir(os.path.join(ROOT, "server", part))) if name.endswith(".c")]
    program = str(folder / "reader_fuzz")
    subprocess.run([compiler, "-std=gnu17", "-g", "-O1", "-D_GNU_SOURCE", "-fno-strict-aliasing",
                    "-fsanitize=fuzzer,address,undefined", "-fno-sanitize-recover=all", "-I", os.path.join(ROOT, "server"),
                    os.path.join(ROOT, "tests", "fuzz", "reader_fuzz.c"), *sources, *flags, "-lpthread", "-o", program], check=True)
    return program


def test_no_bytes_bring_the_reader_down(fuzzer, tmp_path):
    corpus = tmp_path / "corpus"
    corpus.mkdir()
    for n, text in enumerate([json.dumps(body).encode() for body in GOOD] + TEXTS):
        (corpus / f"seed-{n}").write_bytes(text)
    words = tmp_path / "words"
    words.write_text("".join(f'"\\"{word}\\""\n' for word in ("customer", "date", "lines", "product", "pieces", "pct", "price", "note")))
    environment = {name: value for name, value in os.environ.items() if name not in ("ASAN_OPTIONS", "UBSAN_OPTIONS")}
    done = subprocess.run([fuzzer, f"-max_total_time={SECONDS}", "-seed=1", "-max_len=4000", "-timeout=10", f"-dict={words}",
                           "-print_final_stats=1", f"-artifact_prefix={tmp_path}/", str(corpus)],
                          capture_output=True, text=True, timeout=SECONDS + 120, env=environment)
    assert done.returncode == 0, done.stderr[-4000:]
    runs = int(re.search(r"number_of_executed_units: (\d+)", done.stderr).group(1))
    assert runs > 1000, "it has really run"
