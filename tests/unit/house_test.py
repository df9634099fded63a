"""The order of the house, read from the sources: which folder may know which, where the libraries of
others are used, and how long files and functions are."""

import os
import re
import statistics
import unittest

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
SERVER = os.path.join(ROOT, "server")

# Which folders of server/ a folder may include, besides itself. "" is server/ itself.
MAY_KNOW = {
    "base": set(),
    "json": {"base"},
    "db": {"base"},
    "http": {"base", "json"},
    "bakery": {"base"},
    "store": {"base", "db", "bakery"},
    "api": {"base", "http", "json", "store", "bakery"},
    "": {"base", "json", "db", "http", "bakery", "store", "api"},
}
# The only folder that may include a library's header.
OWNS = {"jansson.h": "json", "libpq-fe.h": "db", "microhttpd.h": "http", "sodium.h": "http"}
# Estimates of hours, and of how safe a stock is; nothing weighed or paid comes out of them.
MAY_FLOAT = {f"bakery/{name}.{end}" for name in ("growth", "reorder", "ripening", "stock_use") for end in "ch"}
FLOATING = re.compile(r"\b(float|double|growth_(starter|yeast|lactobacilli)\s*\()|\bmath\.h\b")
# The rules and the arithmetic touch neither the outside nor the clock.
NOT_IN_BAKERY = {"time.h", "sys/time.h", "unistd.h", "fcntl.h", "pthread.h", "errno.h", "locale.h"}

FILE_LINES, FUNCTION_LINES = 500, 60
FUNCTION_MEDIAN, FUNCTION_NINETIETH = 14, 45

INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]', re.M)


def sources(folder=SERVER):
    for place, _, names in os.walk(folder):
        for name in sorted(names):
            if name.endswith((".c", ".h")):
                yield os.path.join(place, name)


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


def folder_of(path):
    parts = os.path.relpath(path, SERVER).split(os.sep)
    return parts[0] if len(parts) > 1 else ""


def wrong_includes(path, text):
    folder = folder_of(path)
    for mark, name in INCLUDE.findall(text):
        known = name.split("/")[0] if "/" in name else ""
        if mark == '"' and known != folder and known not in MAY_KNOW[folder]:
            yield f"{path}: {folder or 'server'}/ may not know {name}"
        if mark == "<" and OWNS.get(name, folder) != folder:
            yield f"{path}: only {OWNS[name]}/ includes {name}"
        if mark == "<" and folder == "bakery" and name in NOT_IN_BAKERY:
            yield f"{path}: the arithmetic has no use for {name}"


def without_comments(text):
    text = re.sub(r"/\*.*?\*/", lambda m: "\n" * m.group(0).count("\n"), text, flags=re.S)
    return re.sub(r'"(?:\\.|[^"\\\n])*"', '""', text)


def functions(text):
    """Lengths of the function bodies, braces included, by the layout that clang-format enforces: a
    function's opening brace stands alone in the first column."""
    start = None
    for number, line in enumerate(text.split("\n"), 1):
        if line == "{":
            start = number
        elif line.startswith("}") and start is not None:
            yield start, number - start + 1
            start = None


class House(unittest.TestCase):
    def setUp(self):
        self.files = {path: read(path) for path in sources()}
        self.assertGreater(len(self.files), 20, "the sources were not found")

    def report(self, faults):
        faults = list(faults)
        self.assertEqual([], faults, "\n" + "\n".join(faults))

    def test_folders_know_only_what_they_may(self):
        self.report(f for path, text in self.files.items() for f in wrong_includes(path, text))

    def test_the_check_of_includes_can_fail(self):
        place = os.path.join(SERVER, "bakery", "x.c")
        self.assertTrue(list(wrong_includes(place, '#include "db/db.h"\n')))
        self.assertTrue(list(wrong_includes(place, "#include <jansson.h>\n")))
        self.assertTrue(list(wrong_includes(place, "# include <time.h>\n")))
        self.assertFalse(list(wrong_includes(place, '#include "base/date.h"\n#include <stdint.h>\n')))

    def test_nothing_weighed_or_paid_is_floating(self):
        for path, text in self.files.items():
            name = os.path.relpath(path, SERVER).replace(os.sep, "/")
            if folder_of(path) not in ("json", "http") and name not in MAY_FLOAT:
                found = FLOATING.search(without_comments(text))
                self.assertIsNone(found, f"{path} has a floating number")

    def test_the_check_of_floating_can_fail(self):
        for text in ("double x;\n", "x = (float)y;\n", "#include <math.h>\n",
                     "hours = 2 / growth_starter(c);\n"):
            self.assertTrue(FLOATING.search(without_comments(text)), text)
        for text in ("/* double */\n", '"twice, a double feed"\n', "growth_time(2, c);\n"):
            self.assertFalse(FLOATING.search(without_comments(text)), text)
        for name in MAY_FLOAT:
            self.assertIn(os.path.join(SERVER, *name.split("/")), self.files)

    def test_every_file_opens_with_its_purpose(self):
        self.report(path for path, text in self.files.items() if not text.startswith("/*"))

    def test_files_are_short(self):
        self.report(f"{path}: {text.count(chr(10))} lines" for path, text in self.files.items()
                    if text.count("\n") > FILE_LINES)

    def test_functions_are_short(self):
        lengths = []
        for path, text in self.files.items():
            for start, length in functions(text):
                lengths.append(length)
                self.assertLessEqual(length, FUNCTION_LINES, f"{path}:{start}")
        self.assertGreater(len(lengths), 50)
        ninetieth = sorted(lengths)[len(lengths) * 9 // 10]
        print(f"functions: {len(lengths)}, median {statistics.median(lengths)}, ninetieth {ninetieth}")
        self.assertLessEqual(statistics.median(lengths), FUNCTION_MEDIAN)
        self.assertLessEqual(ninetieth, FUNCTION_NINETIETH)


if __name__ == "__main__":
    unittest.main()
