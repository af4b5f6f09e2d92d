"""What all tests share: hypothesis runs the same examples each time, and Ctrl-C is heard."""

from __future__ import annotations

import signal

from hypothesis import HealthCheck, settings

settings.register_profile("steady", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("steady")

# A shell starts what it puts into the background deaf to Ctrl-C, and so would be the programs on which tests press it.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)
