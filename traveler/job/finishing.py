"""Names of what happened to the welded part, which the steps ask for and the gate and the exceptions look at."""

STRAIGHTENING = "straightening"
ARC_STRIKES = "arc strikes"
INTERRUPTION = "interruption of welding"
NOTHING = "none"
"""The answer to each of them where it did not happen."""
