"""Harnesses that take any bytes: `harnesses` says what must hold, `run` searches with Atheris, `test_harnesses` tries a few examples."""
