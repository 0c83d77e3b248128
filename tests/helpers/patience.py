"""How long a test waits for what it needs, which ends the wait as soon as it is there."""

LONGEST_WAIT_S = 300.0
"""However busy the machine is; only what never comes is waited for so long."""
BROWSER_WAIT_S = 60.0
"""What a page is waited for: a browser may lose an event, and such a test is tried again."""
