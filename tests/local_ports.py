"""Ports of this machine for servers that tests start."""

import random
import socket
from contextlib import closing


def listens(port):
    """Whether something answers at a port of this machine."""
    with closing(socket.socket()) as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def free_port():
    """A port that is free now, below those that the system hands out by itself (to kernels, for instance)."""
    while listens(port := random.randrange(20_000, 32_000)):
        pass
    return port
