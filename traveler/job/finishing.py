"""Names of what happened to the welded part, which the steps ask for and the gate and the exceptions look at."""

STRAIGHTENING = "straightening"
ARC_STRIKES = "arc strikes"
INTERRUPTION = "interruption of welding"
COATED = "coating"
NOTHING = "none"
"""The answer where nothing of the kind happened."""
