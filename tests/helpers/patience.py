"""How long a test waits for what it needs, which ends the wait as soon as it is there."""

LONGEST_WAIT_S = 300.0
"""However busy the machine is; only what never comes is waited for so long."""
