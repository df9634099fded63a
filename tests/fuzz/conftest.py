"""Fuzzing shares the fixtures of tests/api. MORROWLOAF_FUZZ_SECONDS sets how long each goes on."""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "api"))

from fixtures import *  # noqa: E402, F401, F403
