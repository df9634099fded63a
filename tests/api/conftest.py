"""Finds the modules that the tests share."""

import os
import sys

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import pytest  # noqa: E402

pytest.register_assert_rewrite("timekeeper")

from fixtures import *  # noqa: E402, F401, F403
from storework import begun, flour, nothing_stored, store  # noqa: E402, F401
